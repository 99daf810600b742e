// SPDX-License-Identifier: GPL-3.0-or-later
// Lines searched for once more, with more asked of them.
#include <algorithm>
#include <catch2/catch.hpp>

#include "solver/route/joints.h"
#include "solver/route/lines.h"
#include "tests/route/bays.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

// Two lines side by side, 300 mm apart, each straight across or with a bend.
struct Again {
  Bay bay =
      bay_of({}, neck("a", {0, 0, 0}, {1, 0, 0}), neck("b", {500, 120, 40}, {-1, 0, 0}), Make::straight_hose);
  std::vector<Stock> stock{hose(), tube()};
  FieldStore store;
  GapTable gaps = even_gaps(10);
  std::vector<LineWish> wishes{2};

  Again() {
    bay.lines[0].line.makes = {Make::straight_hose, Make::bent_tube};
    bay.necks.push_back(neck("c", {0, 300, 0}, {1, 0, 0}));
    bay.necks.push_back(neck("d", {500, 420, 40}, {-1, 0, 0}));
    bay.lines.push_back(bay.lines[0]);
    bay.lines[1].line.name = "other";
    bay.lines[1].from = 2;
    bay.lines[1].to = 3;
  }
  std::vector<LineSearch> first() { return route_lines(bay, store, gaps, stock, {}); }
  std::vector<LineSearch> again(const std::vector<LineSearch>& known, std::vector<std::size_t> lines) {
    return route_again(bay, store, gaps, stock, {}, known, wishes, lines);
  }
};

double length_of(const LineSearch& search) {
  return length_mm(search.route->centreline);
}

}  // namespace

TEST_CASE("a line asked to be longer is, and the others stay where they lie") {
  Again job;
  const auto known = job.first();
  REQUIRE(known[0].route);
  REQUIRE(known[1].route);
  const double wanted = length_of(known[0]) + 40;
  job.wishes[0].least_length_mm = wanted;
  const auto longer = job.again(known, {0});
  REQUIRE(longer[0].route);
  CHECK(length_of(longer[0]) >= wanted);
  CHECK(length_of(longer[0]) < wanted + 60);
  CHECK(bend_table(longer[1].route->centreline).rows.size() ==
        bend_table(known[1].route->centreline).rows.size());
  CHECK(length_of(longer[1]) == length_of(known[1]));
}

TEST_CASE("a line asked for wider bends turns no tighter than that") {
  Again job;
  const auto known = job.first();
  job.wishes[0].radius_factor = 2;
  const auto wider = job.again(known, {0});
  REQUIRE(wider[0].route);
  CHECK(*tightest_bend_mm(wider[0].route->centreline) >= 2 * 60 - 1e-6);
}

TEST_CASE("a line asked to keep further off does") {
  Again job;
  Body body;
  body.obstacles = {box("block", {220, -400, -400}, {280, 40, 400})};
  job.bay.bodies[0].body = std::make_shared<const Body>(std::move(body));
  const auto known = job.first();
  REQUIRE(known[0].route);
  job.wishes[0].more_reserve_mm = 15;
  const auto off = job.again(known, {0});
  REQUIRE(off[0].route);
  CHECK(off[0].route->worst_spare_mm >= 14);
  CHECK(known[0].route->worst_spare_mm < 14);
}

TEST_CASE("a line asked for without a make takes the next one, and keeps what it has when none is left") {
  Again job;
  const auto known = job.first();
  REQUIRE(known[0].route->make == Make::straight_hose);
  job.wishes[0].without = {Make::straight_hose};
  const auto next = job.again(known, {0});
  REQUIRE(next[0].route);
  CHECK(next[0].route->make == Make::bent_tube);
  job.wishes[0].without = {Make::straight_hose, Make::bent_tube};
  const auto none = job.again(next, {0});
  REQUIRE(none[0].route);
  CHECK(none[0].route->make == Make::bent_tube);
  CHECK(none[0].outcome == SearchOutcome::found);
}

TEST_CASE("a line searched for again keeps clear of those that stay") {
  Again job;
  job.bay.lines[1].line.name = "across";  // laid first, straight through the other's nearest way
  job.bay.necks[2] = neck("c", {250, -300, 20}, {0, 1, 0});
  job.bay.necks[3] = neck("d", {250, 400, 20}, {0, -1, 0});
  const auto known = job.first();
  REQUIRE(known[0].route);
  REQUIRE(known[1].route);
  REQUIRE(length_of(known[1]) < 700 + 1);
  const auto again = job.again(known, {0});
  REQUIRE(again[0].route);
  double least = 1e9;
  for (double s = 0; s < length_of(again[0]); s += 2)
    for (double t = 0; t < length_of(again[1]); t += 2)
      least = std::min(
          least, (point_at(again[0].route->centreline, s) - point_at(again[1].route->centreline, t)).norm());
  CHECK(least >= 30 + 10 - 0.5);  // two halves of 30 mm hose and the gap; sampled every 2 mm
}

TEST_CASE("many joints are taken only where no other make does with few") {
  // Two elbows that lie further apart than their legs reach: straights and joiners go between.
  FieldStore store;
  const GapTable gaps = even_gaps(10);
  const std::vector<Stock> stock{elbow_set(), hose()};
  const auto routed = [&](const Vec3& end, std::vector<Make> makes) {
    Bay bay = bay_of({}, neck("a", {0, 0, 0}, {1, 0, 0}), neck("b", end, {-1, 0, 0}), makes.front());
    bay.lines[0].line.makes = std::move(makes);
    return route_lines(bay, store, gaps, stock, {}).front();
  };
  const LineSearch far = routed({900, 700, 0}, {Make::elbows_and_straights, Make::straight_hose});
  REQUIRE(far.route);
  CHECK(far.route->make == Make::straight_hose);
  CHECK(far.route->joints == 2);
  REQUIRE(far.alternatives.size() == 1);
  CHECK(far.alternatives[0].make == Make::elbows_and_straights);
  CHECK(far.alternatives[0].joints > kFewJoints);

  const LineSearch alone = routed({900, 700, 0}, {Make::elbows_and_straights});
  REQUIRE(alone.route);
  CHECK(alone.route->joints > kFewJoints);

  const LineSearch near = routed({350, 150, 0}, {Make::elbows_and_straights, Make::straight_hose});
  REQUIRE(near.route);
  CHECK(near.route->make == Make::elbows_and_straights);
  CHECK(near.route->joints <= kFewJoints);
  CHECK(near.alternatives.empty());
}

TEST_CASE("a line asked for few joints keeps what it has rather than take many") {
  FieldStore store;
  const GapTable gaps = even_gaps(10);
  const std::vector<Stock> stock{elbow_set(), hose()};
  Bay bay = bay_of({}, neck("a", {0, 0, 0}, {1, 0, 0}), neck("b", {900, 700, 0}, {-1, 0, 0}),
                   Make::elbows_and_straights);
  bay.lines[0].line.makes = {Make::elbows_and_straights, Make::straight_hose};
  const auto known = route_lines(bay, store, gaps, stock, {});
  REQUIRE(known[0].route);
  REQUIRE(known[0].route->make == Make::straight_hose);
  std::vector<LineWish> wishes(1);
  wishes[0].without = {Make::straight_hose};
  const std::vector<std::size_t> lines{0};
  const auto many = route_again(bay, store, gaps, stock, {}, known, wishes, lines);
  REQUIRE(many[0].route);
  CHECK(many[0].route->make == Make::elbows_and_straights);
  wishes[0].few_joints = true;
  const auto kept = route_again(bay, store, gaps, stock, {}, known, wishes, lines);
  REQUIRE(kept[0].route);
  CHECK(kept[0].route->make == Make::straight_hose);
  CHECK(length_of(kept[0]) == length_of(known[0]));
}
