// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/view/camera.h"

#include <catch2/catch.hpp>

#include "solver/base/dice.h"

using namespace hosefit;

TEST_CASE("left and right are as seated, the front is ahead") {
  const Vec3 left_fender(500, -500, 300), right_fender(500, 500, 300), radiator(0, 0, 300),
      firewall(990, 0, 300);
  const auto x = [](Side side, const Vec3& p) { return project(looking_from(side), p).x(); };
  const auto y = [](Side side, const Vec3& p) { return project(looking_from(side), p).y(); };
  CHECK(x(Side::top, left_fender) < x(Side::top, right_fender));
  CHECK(y(Side::top, radiator) < y(Side::top, firewall));  // front of the vehicle at the top
  CHECK(x(Side::front, left_fender) > x(Side::front, right_fender));
  CHECK(x(Side::rear, left_fender) < x(Side::rear, right_fender));
  CHECK(x(Side::left, radiator) < x(Side::left, firewall));
  CHECK(x(Side::right, radiator) > x(Side::right, firewall));
  CHECK(x(Side::bottom, left_fender) > x(Side::bottom, right_fender));
  // What is nearer to the viewer has less depth.
  const auto depth = [](Side side, const Vec3& p) { return project(looking_from(side), p).z(); };
  CHECK(depth(Side::left, left_fender) < depth(Side::left, right_fender));
  CHECK(depth(Side::front, radiator) < depth(Side::front, firewall));
}

TEST_CASE("every camera is square and right-handed") {
  for (const Side side : kSides) {
    CAPTURE(word(side));
    const Camera camera = looking_from(side);
    Mat3 axes;
    axes << camera.right, camera.up, camera.towards;
    CHECK((axes.transpose() * axes - Mat3::Identity()).norm() < 1e-12);
    CHECK(axes.determinant() == Approx(1));
    CHECK(side_named(word(side)) == side);
  }
  CHECK_FALSE(side_named("above"));
}

TEST_CASE("a point is seen on the ray through its own pixel") {
  Dice dice(RunSeed{3}, 1);
  for (const Side side : kSides)
    for (int i = 0; i < 50; ++i) {
      CAPTURE(word(side), i);
      Camera camera = looking_from(side);
      camera.target_mm = {300, 20, 400};
      camera.distance_mm = 2500;
      camera.middle_px = {800, 450};
      camera.px_per_mm = 0.7;
      const Vec3 p(dice.between(-500, 900), dice.between(-500, 500), dice.between(0, 700));
      const Vec3 seen = project(camera, p);
      const Ray ray = ray_through(camera, seen.x(), seen.y());
      CHECK(ray.direction.cross(p - ray.origin_mm).norm() < 1e-8);
      CHECK(ray.direction.dot(p - ray.origin_mm) > 0);
    }
}

TEST_CASE("a fitted camera shows everything within the box and touches it") {
  Dice dice(RunSeed{4}, 1);
  for (const Side side : kSides)
    for (int i = 0; i < 20; ++i) {
      CAPTURE(word(side), i);
      std::vector<Vec3> points;
      for (int k = 0; k < 40; ++k)
        points.emplace_back(dice.between(-100, 1000), dice.between(-500, 600), dice.between(0, 800));
      const PixelBox box{26, 110, 26 + dice.between(200, 1500), 110 + dice.between(150, 900)};
      const Camera camera = fitted(looking_from(side), points, box);
      double fill = 0;
      for (const Vec3& p : points) {
        const Vec3 q = project(camera, p);
        CHECK(holds({box.left - 0.01, box.top - 0.01, box.right + 0.01, box.bottom + 0.01},
                    {q.x(), q.y(), q.x(), q.y()}));
        fill = std::max({fill, std::abs(q.x() - camera.middle_px.x()) / (box.width() / 2),
                         std::abs(q.y() - camera.middle_px.y()) / (box.height() / 2)});
      }
      CHECK(fill > 0.99);
    }
}
