// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/field/surface_tree.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numeric>

#include "solver/field/surface_index.h"
#include "tests/support/random_shapes.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

TriangleMesh large_mesh() {
  Dice dice({43}, 0);
  return bumpy_ball(dice, Vec3(200, -300, 900), 140, 100);
}

std::size_t depth_below(const SurfaceTree& tree, std::uint32_t at) {
  const SurfaceTree::Range& range = tree.ranges[at];
  if (range.left == 0) return 1;
  return 1 + std::max(depth_below(tree, range.left), depth_below(tree, range.right));
}

bool holds(const SurfaceTree::Range& range, const TriangleMesh& mesh, const SurfaceTree& tree,
           const Vec3& centre) {
  bool inside = true;
  for (std::uint32_t i = range.first; i < range.last; ++i)
    for (const std::uint32_t v : mesh.triangles[tree.order[i]])
      for (int k = 0; k < 3; ++k) {
        const double x = mesh.vertices_mm[v][k] - centre[k];
        inside = inside && x >= range.low[k] && x <= range.high[k];
      }
  return inside;
}

// Everything a tree promises of itself.
void check_tree(const TriangleMesh& mesh, const SurfaceTree& tree, const Vec3& centre) {
  std::vector<std::uint32_t> sorted = tree.order;
  std::sort(sorted.begin(), sorted.end());
  std::vector<std::uint32_t> all(mesh.triangles.size());
  std::iota(all.begin(), all.end(), 0U);
  REQUIRE(sorted == all);
  REQUIRE(tree.ranges.front().first == 0);
  REQUIRE(tree.ranges.front().last == sorted.size());
  CHECK(depth_below(tree, 0) <= 64);
  for (const SurfaceTree::Range& range : tree.ranges) {
    REQUIRE(range.last > range.first);
    if (range.left == 0) {
      REQUIRE(range.last - range.first <= SurfaceTree::kMostInALeaf);
    } else {
      const SurfaceTree::Range &left = tree.ranges[range.left], &right = tree.ranges[range.right];
      REQUIRE((left.first == range.first && left.last == right.first && right.last == range.last));
    }
    REQUIRE(holds(range, mesh, tree, centre));
  }
}

}  // namespace

TEST_CASE("a tree holds every triangle once, in boxes round it, in leaves that are full but for few") {
  const TriangleMesh mesh = large_mesh();
  const Vec3 centre = bounds(mesh).center();
  const SurfaceTree tree = surface_tree(mesh, centre);
  check_tree(mesh, tree, centre);
  const auto leaves = static_cast<std::size_t>(
      std::count_if(tree.ranges.begin(), tree.ranges.end(),
                    [](const SurfaceTree::Range& range) { return range.left == 0; }));
  CHECK(leaves * 7 < mesh.triangles.size());
}

TEST_CASE("a tree of triangles on top of each other, or along a line of growing steps, is no deeper") {
  TriangleMesh same, far;
  same.vertices_mm = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}};
  same.triangles.assign(3000, {0, 1, 2});
  for (std::uint32_t i = 0; i < 3000; ++i) {  // middles crowd at one end of every range, on each axis in turn
    const double size = std::ldexp(1.0, 27 - static_cast<int>(i / 7 % 150));
    const Vec3 at = size * Vec3::Unit(static_cast<int>(i % 3));
    far.vertices_mm.insert(far.vertices_mm.end(), {at, Vec3(0.9 * at), Vec3(0.95 * at)});
    far.triangles.push_back({3 * i, 3 * i + 1, 3 * i + 2});
  }
  for (const TriangleMesh& mesh : {same, far})
    check_tree(mesh, surface_tree(mesh, Vec3::Zero()), Vec3::Zero());
}

TEST_CASE("tree and index are the same on any number of threads") {
  const TriangleMesh mesh = large_mesh();
  REQUIRE(mesh.triangles.size() > 2 * 4096);  // below that one thread does it
  const Vec3 centre = bounds(mesh).center();
  const SurfaceTree one = surface_tree(mesh, centre);
  for (const unsigned threads : {2U, 3U, 8U}) {
    CAPTURE(threads);
    const SurfaceTree more = surface_tree(mesh, centre, Threads{threads});
    REQUIRE(more.order == one.order);
    check_tree(mesh, more, centre);
    REQUIRE(more.ranges.size() == one.ranges.size());
    const SurfaceIndex index(mesh, true), other(mesh, true, Threads{threads});
    REQUIRE(other.solid());
    Dice dice({43}, threads);
    for (int i = 0; i < 500; ++i) {
      const Vec3 p = centre + random_point(dice, 300);
      const auto a = index.nearest(p), b = other.nearest(p);
      REQUIRE(a->distance_mm == b->distance_mm);
      REQUIRE(a->triangle == b->triangle);
    }
  }
}
