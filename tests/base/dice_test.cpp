// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/base/dice.h"

#include <array>
#include <catch2/catch.hpp>
#include <set>

using namespace hosefit;

TEST_CASE("the same seed and task give the same stream, another of either a different one") {
  Dice a({7}, 3), b({7}, 3), other_task({7}, 4), other_seed({8}, 3);
  for (int i = 0; i < 100; ++i) {
    const auto bits = a.bits();
    CHECK(bits == b.bits());
    CHECK(bits != other_task.bits());
    CHECK(bits != other_seed.bits());
  }
}

TEST_CASE("neighbouring tasks start at different places") {
  std::set<std::uint64_t> firsts;
  for (std::uint64_t task = 0; task < 10000; ++task) firsts.insert(Dice({1}, task).bits());
  CHECK(firsts.size() == 10000);
}

TEST_CASE("numbers stay in range and fill it evenly") {
  Dice dice({2}, 0);
  std::array<int, 10> count{};
  double sum = 0;
  constexpr int kThrows = 100000;
  for (int i = 0; i < kThrows; ++i) {
    const double u = dice.unit();
    REQUIRE(u >= 0);
    REQUIRE(u < 1);
    sum += u;
    const auto face = dice.below(10);
    REQUIRE(face < 10);
    ++count[face];
    const double between = dice.between(-3, 5);
    REQUIRE(between >= -3);
    REQUIRE(between < 5);
  }
  // Five standard deviations: sqrt(1/12/n) for the mean, sqrt(n 0.1 0.9) for a face.
  CHECK(sum / kThrows == Approx(0.5).epsilon(0).margin(5 * 0.2887 / 316));
  for (const int n : count) CHECK(n == Approx(kThrows / 10).epsilon(0).margin(5 * 95));
}
