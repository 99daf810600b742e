// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/grade.h"

#include <catch2/catch.hpp>

#include "tests/route/bays.h"

using namespace hosefit;
using namespace hosefit::test;

TEST_CASE("the fall back of a line agrees with dense sampling at every pitch") {
  for (std::uint64_t task = 0; task < 60; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{7}, task);
    FilletChain chain;
    chain.points_mm = {Vec3::Zero()};
    for (int i = 0; i < 4; ++i)
      chain.points_mm.push_back(chain.points_mm.back() + dice.between(150, 250) * any_direction(dice));
    chain.radii_mm.assign(3, 40.0);
    const std::optional<Centreline> line = centreline_of(chain);
    if (!line) continue;
    for (const Grade grade : {Grade::rise, Grade::fall, Grade::one_way}) {
      const auto told = back_fall_mm(*line, grade);
      for (std::size_t k = 0; k < kPitches_deg.size(); ++k) {
        const double pitch = Angle::deg(kPitches_deg[k]).rad();
        double highest = -1e9, lowest = 1e9, falls = 0, rises = 0;
        for (double s = 0; s <= length_mm(*line); s += 0.2) {
          const Vec3 p = point_at(*line, s);
          const double h = p.x() * std::sin(pitch) + p.z() * std::cos(pitch);
          highest = std::max(highest, h);
          lowest = std::min(lowest, h);
          falls = std::max(falls, highest - h);
          rises = std::max(rises, h - lowest);
        }
        const double expected = grade == Grade::rise   ? falls
                                : grade == Grade::fall ? rises
                                                       : std::min(falls, rises);
        CHECK(told[k] == Approx(expected).margin(0.3));
      }
    }
  }
}

TEST_CASE("a line that may run freely never falls back") {
  const Centreline line{{Straight{Vec3(0, 0, 0), Vec3(0, 0, -300)}}};
  CHECK(back_fall_mm(line, Grade::free) == std::array<double, 3>{0, 0, 0});
  CHECK(back_fall_mm(line, Grade::rise)[1] == Approx(300));
  CHECK(back_fall_mm(line, Grade::fall)[1] == Approx(0).margin(1e-9));
}

TEST_CASE(
    "a line that nothing but its grade keeps from being made names that rule, in a bay without any obstacle "
    "too") {
  // Both necks point up: whatever is made rises first and falls last.
  const Bay bay = bay_of({}, neck("a", {0, 0, 0}, Vec3::UnitZ()), neck("b", {200, 0, 0}, Vec3::UnitZ()),
                         Make::straight_hose, Grade::fall);
  const LineSearch search = route_one(bay, hose());
  CHECK_FALSE(search.route);
  CHECK(search.outcome == SearchOutcome::budget_spent);
  CHECK_FALSE(search.nearest_miss);
  CHECK(search.attempts.front().breaks == "grade");
}
