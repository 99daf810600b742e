// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/geometry/winding_tree.h"

#include <catch2/catch.hpp>

#include "tests/support/random_shapes.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

// The oracle is the plain sum over all triangles.
void agrees_everywhere(const TriangleMesh& mesh, Dice& dice) {
  const WindingTree tree(std::make_shared<const TriangleMesh>(mesh));
  const AxisBox box = bounds(mesh);
  for (int i = 0; i < 60; ++i) {
    const Vec3 p = box.center() + 0.8 * random_point(dice, box.sizes().maxCoeff());
    CAPTURE(p.transpose());
    CHECK(tree.at(p) == Approx(winding_number(mesh, p)).epsilon(0).margin(1e-9));
  }
}

}  // namespace

TEST_CASE("the winding tree says what the sum over all triangles says") {
  for (std::uint64_t task = 0; task < 12; ++task) {
    CAPTURE(task);
    Dice dice({11}, task);
    const TriangleMesh ball = bumpy_ball(dice, random_point(dice, 500), 60, 4 + static_cast<int>(task));
    agrees_everywhere(ball, dice);
    TriangleMesh torn = ball;
    std::erase_if(torn.triangles, [&](const auto&) { return dice.unit() < 0.3; });
    agrees_everywhere(torn, dice);
    for (auto& t : torn.triangles) {
      if (dice.unit() < 0.2) std::swap(t[0], t[1]);
    }
    const std::size_t n = torn.triangles.size();
    for (std::size_t i = 0; i < n / 10; ++i) torn.triangles.push_back(torn.triangles[dice.below(n)]);
    agrees_everywhere(torn, dice);
  }
}

TEST_CASE("the winding tree of nothing is 0 everywhere") {
  CHECK(WindingTree(std::make_shared<const TriangleMesh>()).at({1, 2, 3}) == 0);
}

TEST_CASE("a half plane seen from straight over its edge fills a quarter of all directions") {
  // Closed form: the half plane is seen as a lune of 90 degrees. A strip of 2000 by 1000 times the height
  // misses it by less than 0.001.
  TriangleMesh strip;
  constexpr int kMany = 40;
  for (int i = 0; i <= kMany; ++i)
    for (const double x : {0.0, 1000.0}) strip.vertices_mm.emplace_back(x, -1000.0 + 2000.0 * i / kMany, 0);
  for (std::uint32_t i = 0; i < kMany; ++i) {
    strip.triangles.push_back({2 * i, 2 * i + 1, 2 * i + 3});
    strip.triangles.push_back({2 * i, 2 * i + 3, 2 * i + 2});
  }
  const WindingTree tree(std::make_shared<const TriangleMesh>(strip));
  CHECK(tree.at({0, 0, 1}) == Approx(-0.25).margin(0.001));
  CHECK(tree.at({0, 0, -1}) == Approx(0.25).margin(0.001));
  CHECK(tree.at({500, 0, 1}) == Approx(-0.5).margin(0.001));
}
