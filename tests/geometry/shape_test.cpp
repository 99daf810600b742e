// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/geometry/shape.h"

#include <catch2/catch.hpp>

#include "solver/geometry/triangulate_polygon.h"
#include "tests/support/random_shapes.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

// Six kinds have a closed form; kinds 6 and 7 of random_shape are rails and meshes.
Shape random_solid(Dice& dice, std::uint64_t task) {
  return random_shape(dice, task % 6, 100);
}

double volume(const TriangleMesh& mesh) {
  double sum = 0;
  for (const auto& t : mesh.triangles)
    sum += mesh.vertices_mm[t[0]].dot(mesh.vertices_mm[t[1]].cross(mesh.vertices_mm[t[2]])) / 6;
  return sum;
}

}  // namespace

TEST_CASE("signed distance agrees with a dense tessellation") {
  for (std::uint64_t task = 0; task < 36; ++task) {
    CAPTURE(task);
    Dice dice({6}, task);
    const Shape shape = random_solid(dice, task);
    const TriangleMesh dense = tessellate(shape, 0.02);
    for (int i = 0; i < 40; ++i) {
      const Vec3 near = random_surface_point(dice, dense) + dice.between(0, 30) * random_direction(dice);
      const Vec3 p = i % 2 == 0 ? random_point(dice, 200) : near;
      const double exact = signed_distance_mm(shape, p);
      // The tessellation stands off by up to 0.02 mm, so its signed distance is smaller by that, never
      // larger.
      const double slow = slow_signed_distance_mm(dense, p);
      REQUIRE(slow <= exact + 1e-9);
      REQUIRE(slow >= exact - 0.0201);
    }
  }
}

TEST_CASE("signed distance at places worked out by hand") {
  const double r2 = std::sqrt(2.0);
  CHECK(signed_distance_mm(BoxShape{Pose{}, {10, 20, 30}}, {13, 24, 0}) == Approx(5));
  CHECK(signed_distance_mm(BoxShape{Pose{}, {10, 20, 30}}, {0, 0, 0}) == Approx(-10));
  const CylinderShape cylinder{{0, 0, 0}, {0, 0, 40}, 10};
  CHECK(signed_distance_mm(cylinder, {13, 0, 44}) == Approx(5));
  CHECK(signed_distance_mm(cylinder, {0, 0, 37}) == Approx(-3));
  CHECK(signed_distance_mm(cylinder, {0, 0, -7}) == Approx(7));
  CHECK(signed_distance_mm(CapsuleShape{{0, 0, 0}, {0, 0, 40}, 10}, {0, 3, 44}) == Approx(-5));
  const ConeShape cone{{0, 0, 0}, {0, 0, 10}, 10, 0};
  CHECK(signed_distance_mm(cone, {10, 0, 10}) == Approx(10 / r2));
  CHECK(signed_distance_mm(cone, {0, 0, 14}) == Approx(4));
  CHECK(signed_distance_mm(cone, {0, 0, 1}) == Approx(-1));
  const ExtrusionShape corner{Pose{}, {{0, 0}, {20, 0}, {20, 10}, {10, 10}, {10, 20}, {0, 20}}, 30};
  CHECK(signed_distance_mm(corner, {13, 14, 15}) == Approx(3));
  CHECK(signed_distance_mm(corner, {5, 5, 15}) == Approx(-5));
  CHECK(signed_distance_mm(corner, {23, 5, 34}) == Approx(5));
}

TEST_CASE("a tessellation is closed, outward, contains its shape and stands off by no more than allowed") {
  for (const double overshoot : {0.05, 0.5, 3.0})
    for (std::uint64_t task = 100; task < 118; ++task) {
      CAPTURE(task, overshoot);
      Dice dice({6}, task);
      const Shape shape = random_solid(dice, task);
      const TriangleMesh mesh = tessellate(shape, overshoot);
      REQUIRE(is_closed(mesh));
      REQUIRE(volume(mesh) > 0);
      double worst = 0;
      for (const Vec3& v : mesh.vertices_mm) worst = std::max(worst, signed_distance_mm(shape, v));
      CHECK(worst <= overshoot * (1 + 1e-9) + 1e-9);
      for (int i = 0; i < 300; ++i) {
        const double d = signed_distance_mm(shape, random_surface_point(dice, mesh));
        REQUIRE(d >= -1e-9);
        REQUIRE(d <= overshoot * (1 + 1e-9) + 1e-9);
      }
    }
}

TEST_CASE("bounds contain the shape and touch it on every side") {
  for (std::uint64_t task = 200; task < 236; ++task) {
    CAPTURE(task);
    Dice dice({6}, task);
    const Shape shape = random_solid(dice, task);
    const AxisBox box = bounds(shape);
    const AxisBox around = bounds(tessellate(shape, 0.02));
    CHECK((around.min() - box.min()).maxCoeff() <= 1e-9);
    CHECK((box.max() - around.max()).maxCoeff() <= 1e-9);
    CHECK((box.min() - around.min()).maxCoeff() <= 0.021);
    CHECK((around.max() - box.max()).maxCoeff() <= 0.021);
  }
}

TEST_CASE("a shape moved by a pose is as far from a point moved with it") {
  for (std::uint64_t task = 300; task < 324; ++task) {
    CAPTURE(task);
    Dice dice({6}, task);
    const Shape shape = random_shape(dice, task, 100);
    const Pose pose = random_pose(dice, 400);
    const Shape moved = transformed(shape, pose);
    const Vec3 p = random_point(dice, 200);
    if (has_closed_form(shape)) {
      CHECK(signed_distance_mm(moved, pose.point(p)) ==
            Approx(signed_distance_mm(shape, p)).epsilon(0).margin(1e-9));
    } else {
      CHECK(slow_distance_mm(tessellate(moved, 0.05), pose.point(p)) ==
            Approx(slow_distance_mm(tessellate(shape, 0.05), p)).epsilon(0).margin(1e-9));
    }
  }
}

TEST_CASE("a rail is closed, outward, and as large as its section times its path") {
  for (std::uint64_t task = 400; task < 430; ++task) {
    CAPTURE(task);
    Dice dice({6}, task);
    const RailShape rail = std::get<RailShape>(random_rail(dice, 100));
    const TriangleMesh mesh = tessellate(rail, 0.05);
    CHECK(is_closed(mesh));
    double length = 0;
    for (std::size_t i = 0; i + 1 < rail.path_mm.size(); ++i) {
      length += (rail.path_mm[i + 1] - rail.path_mm[i]).norm();
      // Halfway along each leg the path is half the lesser side deep.
      const Vec3 middle = 0.5 * (rail.path_mm[i + 1] + rail.path_mm[i]);
      CHECK(slow_signed_distance_mm(mesh, middle) == Approx(-std::min(rail.width_mm, rail.height_mm) / 2));
    }
    // Mitres cut off on the inside of a corner what they add outside.
    CHECK(volume(mesh) == Approx(length * rail.width_mm * rail.height_mm).epsilon(1e-9));
  }
}

TEST_CASE("a rail's height stands along its up side") {
  const TriangleMesh mesh =
      tessellate(RailShape{{{0, 0, 0}, {100, 0, 0}, {100, 80, 0}}, Vec3::UnitZ(), 10, 40}, 0.05);
  const AxisBox box = bounds(mesh);
  CHECK((box.min() - Vec3(0, -5, -20)).norm() < 1e-9);
  CHECK((box.max() - Vec3(105, 80, 20)).norm() < 1e-9);
}

TEST_CASE("an outline of n corners gives n - 2 counter-clockwise triangles of the same area") {
  for (std::uint64_t task = 500; task < 560; ++task) {
    CAPTURE(task);
    Dice dice({6}, task);
    std::vector<Vec2> outline = std::get<ExtrusionShape>(random_extrusion(dice, 10)).outline_mm;
    // A corner in a straight row must not open the surface.
    outline.insert(outline.begin() + 1, 0.5 * (outline[0] + outline[1]));
    double area = 0;
    for (std::size_t i = 0; i < outline.size(); ++i) {
      const Vec2& a = outline[i];
      const Vec2& b = outline[(i + 1) % outline.size()];
      area += (a.x() * b.y() - a.y() * b.x()) / 2;
    }
    const auto triangles = triangulate_polygon(outline);
    CHECK(triangles.size() == outline.size() - 2);
    double sum = 0;
    for (const auto& t : triangles) {
      const Vec2 u = outline[t[1]] - outline[t[0]];
      const Vec2 v = outline[t[2]] - outline[t[0]];
      const double part = (u.x() * v.y() - u.y() * v.x()) / 2;
      CHECK(part > -1e-9);
      sum += part;
    }
    CHECK(sum == Approx(area));
  }
}
