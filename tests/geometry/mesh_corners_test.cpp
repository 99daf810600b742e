// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/geometry/mesh_corners.h"

#include <catch2/catch.hpp>

#include "tests/support/random_shapes.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

bool pairs(const TriangleMesh& mesh, unsigned threads = 1) {
  return edges_pair(mesh, CornersAtVertices(mesh), Threads{threads});
}

}  // namespace

TEST_CASE("every corner of a mesh stands once, at its own vertex, ascending") {
  Dice dice({41}, 0);
  const TriangleMesh mesh = bumpy_ball(dice, Vec3::Zero(), 80, 12);
  const CornersAtVertices corners(mesh);
  std::size_t count = 0;
  for (std::uint32_t v = 0; v < mesh.vertices_mm.size(); ++v) {
    std::int64_t last = -1;
    for (const std::uint32_t corner : corners.of(v)) {
      REQUIRE(mesh.triangles[corner / 3][corner % 3] == v);
      REQUIRE(static_cast<std::int64_t>(corner) > last);
      last = corner;
      ++count;
    }
  }
  CHECK(count == 3 * mesh.triangles.size());
}

TEST_CASE(
    "edges of a closed mesh pair, with a triangle turned or away they do not, on any number of threads") {
  Dice dice({41}, 1);
  const TriangleMesh ball = bumpy_ball(dice, Vec3::Zero(), 80, 120);
  REQUIRE(is_closed(ball));
  REQUIRE(ball.vertices_mm.size() > 2 * 8192);  // more than one task
  for (const unsigned threads : {1U, 4U}) {
    CHECK(pairs(ball, threads));
    for (int i = 0; i < 20; ++i) {
      const std::size_t t = dice.below(ball.triangles.size());
      TriangleMesh turned = ball, less = ball;
      std::swap(turned.triangles[t][0], turned.triangles[t][1]);
      less.triangles.erase(less.triangles.begin() + static_cast<std::ptrdiff_t>(t));
      CHECK_FALSE(pairs(turned, threads));
      CHECK_FALSE(pairs(less, threads));
    }
  }
}

TEST_CASE("a triangle with a corner twice leaves the edges as they are") {
  Dice dice({41}, 2);
  TriangleMesh ball = bumpy_ball(dice, Vec3::Zero(), 80, 8);
  ball.triangles.push_back({5, 5, 6});
  ball.triangles.push_back({7, 7, 7});
  CHECK(pairs(ball));
}
