// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/geometry/triangle_mesh.h"

#include <catch2/catch.hpp>

#include "tests/support/random_shapes.h"

using namespace hosefit;
using namespace hosefit::test;

TEST_CASE("the winding number is 1 inside a closed mesh and 0 outside") {
  for (std::uint64_t task = 0; task < 20; ++task) {
    CAPTURE(task);
    Dice dice({7}, task);
    const Vec3 centre = random_point(dice, 100);
    const TriangleMesh mesh = bumpy_ball(dice, centre, 50, 10);
    REQUIRE(is_closed(mesh));
    // Bumps reach from 0.75 to 1.25 radii; facets of 18 deg cut a little off.
    CHECK(winding_number(mesh, centre + dice.between(0, 30) * random_direction(dice)) == Approx(1));
    CHECK(winding_number(mesh, centre + dice.between(65, 200) * random_direction(dice)) ==
          Approx(0).epsilon(0).margin(1e-9));
  }
}

TEST_CASE("half a closed surface seen from its middle winds by half") {
  TriangleMesh mesh = tessellate(BoxShape{Pose{}, {10, 10, 10}}, 0.05);
  // The six triangles at corner (-1, -1, -1) and those at the opposite corner fill equal angles.
  std::vector<std::array<std::uint32_t, 3>> kept;
  for (const auto& t : mesh.triangles) {
    const Vec3 middle = mesh.vertices_mm[t[0]] + mesh.vertices_mm[t[1]] + mesh.vertices_mm[t[2]];
    if (middle.minCoeff() < -29) kept.push_back(t);
  }
  REQUIRE(kept.size() == 6);
  mesh.triangles = kept;
  CHECK_FALSE(is_closed(mesh));
  CHECK(winding_number(mesh, Vec3::Zero()) == Approx(0.5));
}

TEST_CASE("a mesh is closed only while every edge has its partner") {
  Dice dice({7}, 50);
  TriangleMesh mesh = bumpy_ball(dice, Vec3::Zero(), 50, 6);
  REQUIRE(is_closed(mesh));
  SECTION("corners repeated as in STL files") {
    TriangleMesh soup;
    for (const auto& t : mesh.triangles) {
      const auto n = static_cast<std::uint32_t>(soup.vertices_mm.size());
      for (const std::uint32_t v : t) soup.vertices_mm.push_back(mesh.vertices_mm[v]);
      soup.triangles.push_back({n, n + 1, n + 2});
    }
    CHECK(is_closed(soup));
  }
  SECTION("one triangle missing") {
    mesh.triangles.pop_back();
    CHECK_FALSE(is_closed(mesh));
  }
  SECTION("one triangle turned round") {
    std::swap(mesh.triangles[3][0], mesh.triangles[3][1]);
    CHECK_FALSE(is_closed(mesh));
  }
  SECTION("nothing at all") {
    CHECK_FALSE(is_closed(TriangleMesh{}));
  }
}
