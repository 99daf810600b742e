// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/field/surface_index.h"

#include <catch2/catch.hpp>

#include "solver/field/obstacle_index.h"
#include "tests/support/random_shapes.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

TriangleMesh joined(const TriangleMesh& a, const TriangleMesh& b) {
  TriangleMesh out = a;
  const auto shift = static_cast<std::uint32_t>(a.vertices_mm.size());
  out.vertices_mm.insert(out.vertices_mm.end(), b.vertices_mm.begin(), b.vertices_mm.end());
  for (const auto& t : b.triangles) out.triangles.push_back({t[0] + shift, t[1] + shift, t[2] + shift});
  return out;
}

TriangleMesh inside_out(TriangleMesh mesh) {
  for (auto& t : mesh.triangles) std::swap(t[0], t[1]);
  return mesh;
}

// As an STL file holds it: every triangle with corners of its own.
TriangleMesh unshared(const TriangleMesh& mesh) {
  TriangleMesh out;
  for (const auto& t : mesh.triangles) {
    const auto n = static_cast<std::uint32_t>(out.vertices_mm.size());
    for (const std::uint32_t v : t) out.vertices_mm.push_back(mesh.vertices_mm[v]);
    out.triangles.push_back({n, n + 1, n + 2});
  }
  return out;
}

TriangleMesh box_mesh(const Vec3& half, const Vec3& at = Vec3::Zero()) {
  return tessellate(BoxShape{Pose::translation(at), half}, 0.05);
}

double signed_to(const ObstacleIndex& index, const Vec3& p) {
  return index.nearest(p, std::numeric_limits<double>::infinity()).value().distance_mm;
}

}  // namespace

TEST_CASE("the index agrees with measuring every triangle, signs with the winding number") {
  for (std::uint64_t task = 0; task < 24; ++task) {
    CAPTURE(task);
    Dice dice({3}, task);
    const TriangleMesh mesh = tessellate(random_shape(dice, task, 200), 0.05);
    const SurfaceIndex index(mesh, true);
    REQUIRE(index.solid());
    for (int i = 0; i < 60; ++i) {
      const Vec3 near = random_surface_point(dice, mesh) + dice.between(0, 10) * random_direction(dice);
      const Vec3 p = i % 3 == 0 ? random_point(dice, 400) : near;
      const auto hit = index.nearest(p);
      REQUIRE(hit);
      REQUIRE(hit->distance_mm == Approx(slow_signed_distance_mm(mesh, p)).epsilon(0).margin(0.001));
      REQUIRE((hit->point_mm - p).norm() == Approx(std::abs(hit->distance_mm)).epsilon(0).margin(1e-9));
    }
  }
}

TEST_CASE("needles, repeated triangles and triangles without area are measured like any other") {
  Dice dice({3}, 50);
  TriangleMesh mesh;
  for (std::uint32_t i = 0; i < 300; ++i) {
    const Vec3 a = random_point(dice, 100);
    const Vec3 b = a + dice.between(0, 200) * random_direction(dice);
    const Vec3 c = i % 3 == 0   ? b
                   : i % 3 == 1 ? Vec3(0.5 * (a + b))
                                : Vec3(b + 1e-4 * random_direction(dice));
    mesh.vertices_mm.insert(mesh.vertices_mm.end(), {a, b, c});
    mesh.triangles.push_back({3 * i, 3 * i + 1, 3 * i + 2});
    mesh.triangles.push_back({3 * i, 3 * i + 1, 3 * i + 2});
  }
  const SurfaceIndex index(mesh, false);
  for (int i = 0; i < 300; ++i) {
    const Vec3 p = random_point(dice, 200);
    REQUIRE(index.nearest(p)->distance_mm == Approx(slow_distance_mm(mesh, p)).epsilon(0).margin(0.001));
  }
}

TEST_CASE("many triangles at one place do not upset the tree") {
  TriangleMesh mesh;
  mesh.vertices_mm = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}};
  mesh.triangles.assign(1000, {0, 1, 2});
  const SurfaceIndex index(mesh, false);
  CHECK(index.nearest({0.2, 0.2, 5})->distance_mm == Approx(5));
  CHECK(index.nearest({0.2, 0.2, 5})->triangle == 0);
}

TEST_CASE("a query limited in radius finds all within it and nothing beyond") {
  Dice dice({3}, 60);
  const TriangleMesh mesh = bumpy_ball(dice, Vec3(20, -30, 10), 80, 16);
  const SurfaceIndex index(mesh, false);
  for (int i = 0; i < 400; ++i) {
    const Vec3 p = random_point(dice, 200);
    const double d = slow_distance_mm(mesh, p);
    REQUIRE_FALSE(index.nearest(p, d - 0.01).has_value());
    REQUIRE(index.nearest(p, d + 0.01)->distance_mm == Approx(d).epsilon(0).margin(0.001));
  }
}

TEST_CASE("two solids pushed into each other in one mesh are solid as their union") {
  const TriangleMesh mesh = unshared(joined(box_mesh({50, 50, 50}), box_mesh({20, 20, 20}, {50, 0, 0})));
  const ObstacleIndex index(mesh, true);
  CHECK(signed_to(index, {35, 0, 0}) < 0);
  CHECK(signed_to(index, {0, 0, 0}) == Approx(-50));
  CHECK(signed_to(index, {29, 0, 0}) == Approx(-21));
  CHECK(signed_to(index, {80, 0, 0}) == Approx(10));
}

TEST_CASE("a cavity in a solid is outside") {
  const ObstacleIndex index(joined(box_mesh({50, 50, 50}), inside_out(box_mesh({20, 20, 20}))), true);
  CHECK(signed_to(index, {0, 0, 0}) == Approx(20));
  CHECK(signed_to(index, {30, 0, 0}) == Approx(-10));
  CHECK(signed_to(index, {60, 0, 0}) == Approx(10));
}

TEST_CASE("a closed mesh turned inside out is solid all the same") {
  const ObstacleIndex index(inside_out(box_mesh({50, 50, 50})), true);
  CHECK(signed_to(index, {0, 0, 0}) == Approx(-50));
  CHECK(signed_to(index, {70, 0, 0}) == Approx(20));
}

TEST_CASE("an open mesh called closed is a sheet") {
  TriangleMesh mesh = box_mesh({50, 50, 50});
  mesh.triangles.pop_back();
  const ObstacleIndex index(mesh, true);
  CHECK(signed_to(index, {10, 0, 0}) == Approx(40));
}
