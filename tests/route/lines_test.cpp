// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/lines.h"

#include <catch2/catch.hpp>

#include "solver/route/bend_rules.h"
#include "solver/route/grade.h"
#include "tests/route/bays.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

// A wall across the way with a square window; necks face each other a little off its middle.
Bay wall_with_window(double width_mm) {
  const double half = width_mm / 2;
  const double wide = 1500;
  std::vector<Obstacle> wall{box("left", {290, -wide, -wide}, {320, -half, wide}),
                             box("right", {290, half, -wide}, {320, wide, wide}),
                             box("under", {290, -half, -wide}, {320, half, -half}),
                             box("over", {290, -half, half}, {320, half, wide})};
  return bay_of(std::move(wall), neck("a", {0, 40, -25}, {1, 0, 0}), neck("b", {640, -60, 30}, {-1, 0, 0}),
                Make::straight_hose);
}

void check_rules_kept(const Bay& bay, const Stock& stock, const Route& route) {
  const BayLine& line = bay.lines[route.line];
  const PlacedNeck& from = bay.necks[line.from];
  const PlacedNeck& to = bay.necks[line.to];
  const BendRules rules = bend_rules(stock, from, to);
  CHECK((start_point(route.centreline) - from.end_mm).norm() < 1e-6);
  CHECK((end_point(route.centreline) - to.end_mm).norm() < 1e-6);
  CHECK((start_direction(route.centreline) - from.outward).norm() < 1e-6);
  CHECK((end_direction(route.centreline) + to.outward).norm() < 1e-6);
  const BendTable table = bend_table(route.centreline);
  REQUIRE(!table.rows.empty());
  CHECK(table.rows.front().feed_mm >= rules.lead_from_mm - 1e-5);
  CHECK(table.last_straight_mm >= rules.lead_to_mm - 1e-5);
  CHECK(table.rows.size() <= 6);
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    CHECK(table.rows[i].radius_mm >= rules.radii_mm.front() - 1e-6);
    CHECK(table.rows[i].bend_rad <= rules.most_bend_rad + 1e-6);
    if (i > 0) CHECK(table.rows[i].feed_mm >= rules.straight_between_mm - 1e-5);
  }
  for (std::size_t i = 0; i + 1 < route.centreline.pieces.size(); ++i) {
    const Piece& a = route.centreline.pieces[i];
    const Piece& b = route.centreline.pieces[i + 1];
    CHECK((point_at(a, length_mm(a)) - point_at(b, 0)).norm() < 1e-6);
    CHECK((direction_at(a, length_mm(a)) - direction_at(b, 0)).norm() < 1e-6);
  }
  REQUIRE(!route.sections.empty());
  CHECK(route.sections.front().from_s_mm == 0);
  CHECK(route.sections.back().to_s_mm == Approx(length_mm(route.centreline)));
}

}  // namespace

TEST_CASE("every route through a random bay passes a check by brute force") {
  int found = 0;
  for (std::uint64_t task = 0; task < 8; ++task) {
    CAPTURE(task);
    const WitnessBay w = witness_bay(task, tube(), 8, 1.5, 60);
    const LineSearch search = route_one(w.bay, tube(), 8);
    if (!search.route) continue;
    ++found;
    check_rules_kept(w.bay, tube(), *search.route);
    CHECK(brute_force_spare_mm(w.bay, *search.route, 8) >= 0);
    CHECK(search.route->worst_spare_mm <= brute_force_spare_mm(w.bay, *search.route, 8) + 25.0);
  }
  CHECK(found >= 7);
}

TEST_CASE("a window is passed when half a millimetre to spare and never when too small") {
  const double needed = 30 + 2 * 10;  // hose and a gap of 10 mm on both sides
  for (const double spare : {-2.0, -0.5, -0.1}) {
    CAPTURE(spare);
    const LineSearch search = route_one(wall_with_window(needed + 2 * spare), hose());
    CHECK_FALSE(search.route);
    CHECK(search.outcome != SearchOutcome::found);
  }
  for (const double spare : {0.5, 2.0, 10.0}) {
    CAPTURE(spare);
    const Bay bay = wall_with_window(needed + 2 * spare);
    const LineSearch search = route_one(bay, hose());
    REQUIRE(search.route);
    CHECK(brute_force_spare_mm(bay, *search.route, 10, 0.05) >= 0);
    CHECK(start_point(search.route->centreline).x() < 290);
    double crossing_y = 1e9;
    for (double s = 0; s < length_mm(search.route->centreline); s += 0.5)
      if (point_at(search.route->centreline, s).x() > 305) {
        crossing_y = point_at(search.route->centreline, s).y();
        break;
      }
    CHECK(std::abs(crossing_y) <= spare + 0.1);
  }
}

TEST_CASE("reversing a line, moving the world and asking again change nothing") {
  for (std::uint64_t task = 20; task < 24; ++task) {
    CAPTURE(task);
    const WitnessBay w = witness_bay(task, tube(), 8, 4.0, 25);
    const LineSearch first = route_one(w.bay, tube(), 8);
    const LineSearch again = route_one(w.bay, tube(), 8);
    const LineSearch back = route_one(turned_round(w.bay), tube(), 8);
    Dice dice(RunSeed{3}, task);
    const LineSearch elsewhere = route_one(moved(w.bay, any_pose(dice, 3000)), tube(), 8);
    REQUIRE(first.route);
    REQUIRE(again.route);
    CHECK(length_mm(again.route->centreline) == length_mm(first.route->centreline));
    CHECK(again.attempts.front().work_units == first.attempts.front().work_units);
    CHECK(back.outcome == first.outcome);
    CHECK(elsewhere.outcome == first.outcome);
  }
}

TEST_CASE("in the open a route is the shortest connection whichever way it is run and wherever it lies") {
  const Bay bay = bay_of({box("far", {5000, 0, 0}, {5100, 100, 100})}, neck("a", {0, 0, 0}, {1, 0, 0.2}),
                         neck("b", {500, 200, 100}, {-0.5, -1, 0}), Make::straight_hose);
  const LineSearch there = route_one(bay, hose());
  const LineSearch back = route_one(turned_round(bay), hose());
  Dice dice(RunSeed{4}, 0);
  const LineSearch elsewhere = route_one(moved(bay, any_pose(dice, 2000)), hose());
  REQUIRE((there.route && back.route && elsewhere.route));
  CHECK(length_mm(back.route->centreline) == Approx(length_mm(there.route->centreline)).epsilon(1e-3));
  CHECK(length_mm(elsewhere.route->centreline) == Approx(length_mm(there.route->centreline)).epsilon(1e-3));
}

TEST_CASE("a blocked stub is told with its obstacle and the exact shortfall") {
  // The lead of a 30 mm hose ends 15 mm out; the plate begins 20 mm out. Gap there 5 - 0 along the axis of
  // the hose's end: the sphere-swept hose of radius 15 has its surface 10 mm inside the plate, with 10 mm gap
  // wanted 20 mm are missing.
  const Bay bay = bay_of({box("plate", {20, -200, -200}, {25, 200, 200})}, neck("a", {0, 0, 0}, {1, 0, 0}),
                         neck("b", {400, 0, 0}, {-1, 0, 0}), Make::straight_hose);
  const LineSearch search = route_one(bay, hose());
  CHECK(search.outcome == SearchOutcome::stub_blocked);
  REQUIRE(search.nearest_miss);
  CHECK(search.nearest_miss->obstacle == "plate");
  CHECK(search.nearest_miss->missing_mm == Approx(20.0).margin(0.02));
  CHECK(search.nearest_miss->required_mm == 10.0);
  CHECK(search.nearest_miss->resolution_mm == 0.0);
}

TEST_CASE("the part a neck grows out of blocks only what touches it or stays near it beyond the lead") {
  PlacedNeck from = neck("a", {35, 0, 0}, {1, 0, 0});
  const PlacedNeck to = neck("b", {500, 120, 0}, {-1, 0, 0});
  // Tank face at x = 0: the lead ends at x = 50, 35 mm of surface distance.
  const std::vector<Obstacle> tank{box("tank", {-60, -150, -150}, {0, 150, 150})};
  CHECK(route_one(bay_of(tank, from, to, Make::straight_hose), hose(), 30).outcome ==
        SearchOutcome::stub_blocked);
  from.own_part = {{0, 0}};
  CHECK(route_one(bay_of(tank, from, to, Make::straight_hose), hose(), 30).outcome == SearchOutcome::found);
  CHECK(route_one(bay_of(tank, from, to, Make::straight_hose), hose(), 36).outcome ==
        SearchOutcome::stub_blocked);
}

TEST_CASE("a hose too stiff for the room in front of a neck is refused with an argument") {
  // A plate 150 mm ahead, far necks to the side: radius 265 needs more.
  const Bay bay =
      bay_of({box("plate", {150, -2000, -2000}, {160, 2000, 2000})}, neck("a", {0, 0, 0}, {1, 0, 0}),
             neck("b", {0, 900, 0}, {1, 0, 0}), Make::straight_hose);
  const LineSearch stiff = route_one(bay, hose(265));
  CHECK(stiff.outcome == SearchOutcome::no_room_to_bend);
  REQUIRE(stiff.nearest_miss);
  CHECK(stiff.nearest_miss->obstacle == "plate");
  // In the middle of a plate 10 mm thick: 5 mm to its face, 15 for the hose and 10 for the gap.
  CHECK(stiff.nearest_miss->missing_mm == Approx(30).margin(0.1));
  // In a block: lead 15 and radius 265 ahead, 15 for the hose and 10 for the gap, 155 mm more than there are.
  const Bay before_block =
      bay_of({box("block", {150, -2000, -2000}, {900, 2000, 2000})}, neck("a", {0, 0, 0}, {1, 0, 0}),
             neck("b", {0, 900, 0}, {1, 0, 0}), Make::straight_hose);
  const LineSearch blocked = route_one(before_block, hose(265));
  CHECK(blocked.outcome == SearchOutcome::no_room_to_bend);
  REQUIRE(blocked.nearest_miss);
  CHECK(blocked.nearest_miss->missing_mm == Approx(155).margin(0.1));
  CHECK(route_one(bay, hose(50)).outcome == SearchOutcome::found);
}

TEST_CASE("a closed box is no passage and says which wall is nearest to giving way") {
  const std::vector<Obstacle> shell{
      box("front", {-200, -200, -200}, {-190, 200, 200}), box("back", {190, -200, -200}, {200, 200, 200}),
      box("left", {-200, -200, -200}, {200, -190, 200}),  box("right", {-200, 190, -200}, {200, 200, 200}),
      box("under", {-200, -200, -200}, {200, 200, -190}), box("over", {-200, -200, 190}, {200, 200, 200})};
  const Bay bay =
      bay_of(shell, neck("a", {0, 0, 0}, {1, 0, 0}), neck("b", {600, 0, 0}, {-1, 0, 0}), Make::straight_hose);
  const LineSearch search = route_one(bay, hose(40));
  CHECK(search.outcome == SearchOutcome::no_passage);
  REQUIRE(search.nearest_miss);
  CHECK(search.nearest_miss->missing_mm > 0);
  CHECK(search.nearest_miss->resolution_mm > 0);
}

TEST_CASE("corrugated hose is given a length on sale, and none is a passage without stock") {
  const Bay bay = bay_of({box("far", {5000, 0, 0}, {5100, 100, 100})}, neck("a", {0, 0, 0}, {1, 0, 0}),
                         neck("b", {420, 90, 40}, {-1, 0, 0}), Make::corrugated_hose);
  for (const double on_sale : {510.0, 560.0}) {
    CAPTURE(on_sale);
    const Stock flex = corrugated({300, on_sale});
    const LineSearch search = route_one(bay, flex);
    REQUIRE(search.route);
    const double cut = length_mm(search.route->centreline) + search.route->engagement_from_mm +
                       search.route->engagement_to_mm;
    CHECK(cut <= on_sale + 1e-6);
    CHECK(cut >= on_sale - 30 - 1e-6);
    CHECK(search.route->pieces.front().bought_length_mm == on_sale);
    CHECK(search.route->pieces.front().cut_length_mm == Approx(cut));
    check_rules_kept(bay, flex, *search.route);
  }
  CHECK(route_one(bay, corrugated({300, 350})).outcome == SearchOutcome::no_stock);
}

TEST_CASE(
    "a corrugated hose a millimetre too short for the way there is is no stock, one long enough is found") {
  const PlacedNeck from = neck("a", {0, 0, 0}, {1, 0, 0}), to = neck("b", {420, 0, 0}, {-1, 0, 0});
  const Bay bay = bay_of({box("far", {5000, 0, 0}, {5100, 100, 100})}, from, to, Make::corrugated_hose);
  // Necks that face each other: nothing is shorter than the straight between their ends, 420 mm.
  const double shortest_cut =
      420 + least_engagement_mm(from.outside_diameter) + least_engagement_mm(to.outside_diameter);
  const auto sold = [&](double length) { return route_one(bay, corrugated({length})); };
  CHECK(sold(shortest_cut - 1).outcome == SearchOutcome::no_stock);
  CHECK(sold(shortest_cut - 40).outcome == SearchOutcome::no_stock);
  const LineSearch found = sold(shortest_cut + 1);
  REQUIRE(found.route);
  CHECK(length_mm(found.route->centreline) == Approx(420).margin(1));
}

TEST_CASE("a vent that must rise does") {
  // A beam lies across the direct way, which would rise steadily without it: passing under it would dip.
  const Bay bay = bay_of({box("beam", {230, -600, 60}, {300, 600, 130})}, neck("a", {0, 0, 0}, {1, 0, 0.4}),
                         neck("b", {520, 0, 260}, {-1, 0, -0.4}), Make::straight_hose, Grade::rise);
  const LineSearch search = route_one(bay, hose(60, 20), 6);
  REQUIRE(search.route);
  for (const double fall : back_fall_mm(search.route->centreline, Grade::rise)) CHECK(fall <= kHump_mm);
  CHECK(brute_force_spare_mm(bay, *search.route, 6) >= 0);
}

TEST_CASE("a run stays in known space where it can") {
  Bay bay = bay_of({box("block", {200, -90, -300}, {300, 300, 300})}, neck("a", {0, 0, 0}, {1, 0, 0}),
                   neck("b", {500, 0, 0}, {-1, 0, 0}), Make::straight_hose);
  bay.known_space = {
      BoxShape{Pose::translation({150, -100, 0}), Vec3(200, 250, 200)},
      BoxShape{Pose::translation({450, -100, 0}), Vec3(100, 250, 200)}};  // share the face x = 350
  const LineSearch search = route_one(bay, hose(50));
  REQUIRE(search.route);
  for (double s = 0; s < length_mm(search.route->centreline); s += 1)
    CHECK(in_known_space(bay, point_at(search.route->centreline, s)));
  bay.known_space = {
      BoxShape{Pose::translation({250, 150, 0}), Vec3(400, 200, 200)}};  // the way round lies outside
  CHECK(route_one(bay, hose(50)).outcome == SearchOutcome::found);
}

TEST_CASE("the second hose keeps clear of the first") {
  Bay bay = bay_of({box("far", {5000, 0, 0}, {5100, 100, 100})}, neck("a", {0, 0, 0}, {1, 0, 0}),
                   neck("b", {500, 60, 0}, {-1, 0, 0}), Make::straight_hose);
  bay.necks.push_back(neck("c", {250, -250, 20}, {0, 1, 0}));
  bay.necks.push_back(neck("d", {250, 300, 20}, {0, -1, 0}));
  BayLine second = bay.lines.front();
  second.line.name = "second";
  second.from = 2;
  second.to = 3;
  bay.lines.push_back(second);
  FieldStore store;
  const std::vector<Stock> stock{hose(50)};
  const std::vector<LineSearch> found = route_lines(bay, store, even_gaps(10), stock, {});
  REQUIRE((found[0].route && found[1].route));
  double nearest = 1e9;
  for (double s = 0; s <= length_mm(found[0].route->centreline); s += 1)
    for (double t = 0; t <= length_mm(found[1].route->centreline); t += 1)
      nearest = std::min(
          nearest,
          (point_at(found[0].route->centreline, s) - point_at(found[1].route->centreline, t)).norm());
  CHECK(nearest >= 30 + 10);
}

TEST_CASE("elbows round a corner are exact and free") {
  const Bay bay = bay_of({box("block", {130, 60, -300}, {600, 500, 300})}, neck("a", {0, 0, 0}, {1, 0, 0}),
                         neck("b", {40, 700, 60}, {0, -1, 0}), Make::elbows_and_straights);
  const LineSearch search = route_one(bay, elbow_set(), 6);
  REQUIRE(search.route);
  CHECK(brute_force_spare_mm(bay, *search.route, 6) >= 0);
  CHECK((end_point(search.route->centreline) - bay.necks[1].end_mm).norm() < 1e-6);
  CHECK(search.route->joints >= 4);
}

TEST_CASE("stock is offered only within the bore's tolerance") {
  std::vector<Stock> stock{tube(), tube()};
  stock[1].bore = Length::mm(36);
  stock[1].id = "too small";
  const PlacedNeck n = neck("a", Vec3::Zero(), Vec3::UnitX(), 39.8);
  const auto found = stock_for(stock, Make::bent_tube, n, n);  // 38 mm + 5 % = 39.9 mm
  REQUIRE(found.size() == 1);
  CHECK(found.front()->id == "tube 38");
  CHECK(stock_for(stock, Make::bent_tube, n, neck("b", Vec3::Zero(), Vec3::UnitX(), 37.4)).empty());
}
