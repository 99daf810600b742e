// SPDX-License-Identifier: GPL-3.0-or-later
// Routes where there is hardly more room than a hose needs, or a little less.
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "solver/route/bend_count.h"
#include "solver/route/passage.h"
#include "tests/route/bays.h"
#include "tests/route/posed.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

constexpr double kOutside_mm = 30, kGap_mm = 10, kRadius_mm = 60;
constexpr double kKeepOff_mm = kOutside_mm / 2 + kGap_mm;

// A flat duct with a turn of 90 deg, 0.1 mm higher than the hose needs, cut out of solid blocks; a neck in
// each leg. The largest radius that passes is (width - k (1 + c)) / (1 - c), k the keep-off and c = cos 45
// deg: where the centreline passes the inner corner at k it leans 45 deg, still falls by R (1 - c) on the way
// to either outer wall and must end k off that. Derived here.
Bay duct(double share_of_largest) {
  const double c = std::cos(std::numbers::pi / 4);
  const double width = kRadius_mm / share_of_largest * (1 - c) + kKeepOff_mm * (1 + c);
  const double height = kKeepOff_mm + 0.05, far = 700;
  return bay_of(
      {box("inner", {-far, 0, -far}, {0, far, far}), box("below", {-far, -far, -far}, {far, -width, far}),
       box("beyond", {width, -far, -far}, {far, far, far}),
       box("floor", {-far, -far, -far}, {far, far, -height}),
       box("roof", {-far, -far, height}, {far, far, far})},
      neck("a", {-250, -width / 2, 0}, {1, 0, 0}), neck("b", {width / 2, 250, 0}, {0, -1, 0}),
      Make::straight_hose);
}
double missing_in_duct_mm(double share_of_largest) {
  const double c = std::cos(std::numbers::pi / 4);
  return kRadius_mm * (1 - c) * (1 - 1 / share_of_largest) / (1 + c);
}

Posed facing_necks(std::vector<Obstacle> obstacles, double apart_mm = 500) {
  return Posed(bay_of(std::move(obstacles), neck("a", {0, 0, 0}, {1, 0, 0}),
                      neck("b", {apart_mm, 0, 0}, {-1, 0, 0}), Make::straight_hose),
               hose(kRadius_mm, kOutside_mm));
}

Work plenty() {
  return Work(100000, {});
}

}  // namespace

TEST_CASE("a hose is routed through a duct that its bend just passes") {
  for (const double share : {0.85, 0.95, 0.98}) {
    CAPTURE(share);
    const Bay bay = duct(share);
    const LineSearch search = route_one(bay, hose(kRadius_mm, kOutside_mm), kGap_mm);
    REQUIRE(search.route);
    CHECK(brute_force_spare_mm(bay, *search.route, kGap_mm, 0.05) >= 0);
  }
}

TEST_CASE("what is missing in a duct too tight for the bend is told to 0.1 mm, and no less than is missing") {
  for (const double share : {1.02, 1.1, 1.3}) {
    CAPTURE(share);
    const LineSearch search = route_one(duct(share), hose(kRadius_mm, kOutside_mm), kGap_mm);
    CHECK_FALSE(search.route);
    REQUIRE(search.nearest_miss);
    CHECK(search.nearest_miss->missing_mm == Approx(missing_in_duct_mm(share)).margin(0.1));
    CHECK(search.nearest_miss->missing_mm >= missing_in_duct_mm(share) - 0.01);
  }
}

TEST_CASE("a margin close to 0 all along a wall is proved by a few hundred measurements") {
  const Posed p = facing_necks({box("wall", {-100, -200, -100}, {600, -kKeepOff_mm - 0.05, 100})});
  const LeastMargin least = least_margin(p.room(), Centreline{{Straight{{0, 0, 0}, {500, 0, 0}}}}, 0, 500);
  CHECK(least.sampled_mm == Approx(0.05).margin(0.002));
  CHECK(least.proved_mm >= 0.02);
  CHECK(least.queries < 2000);
}

TEST_CASE("no point of a run has less than its proved margin") {
  int near = 0;
  for (std::uint64_t task = 0; task < 150; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{71}, task);
    FilletChain chain;
    chain.points_mm = {{0, 0, 0}, {150, 0, 0}, {150 + 150 * std::cos(1.0), 150 * std::sin(1.0), 0}};
    chain.points_mm.push_back(chain.points_mm.back() + 200 * Vec3(0.3, 0.2, 0.93).normalized());
    chain.radii_mm = {dice.between(15, 70), dice.between(15, 70)};
    const std::optional<Centreline> line = centreline_of(chain);
    if (!line) continue;
    std::vector<Obstacle> obstacles;
    for (int i = 0; i < 4; ++i) {
      const Vec3 on = point_at(*line, dice.unit() * length_mm(*line));
      obstacles.push_back(solid("o", any_shape(dice, on + dice.between(20, 120) * any_direction(dice))));
    }
    const Posed p = facing_necks(obstacles);
    const Room room = p.room();
    const double length = length_mm(*line);
    const LeastMargin least = least_margin(room, *line, 0, length);
    double dense = 1e9;
    for (double s = 0; s <= length; s += 0.1)
      dense = std::min(dense, room.spare(point_at(*line, s)).spare_mm - room.radius_mm());
    if (dense > 10) continue;
    ++near;
    CHECK(least.proved_mm <= dense + 0.002);
    CHECK(least.proved_mm >= dense - 0.25);
  }
  CHECK(near > 50);
}

TEST_CASE("a thin wall across the cells of the flood is no passage") {
  // A room of 12 mm sheet, its faces square to the cells' diagonals: shut cells make no closed skin there.
  const double in = 94, out = in + 12;  // two layers of cells between its shut faces
  const std::vector<Obstacle> shell{
      box("front", {-out, -out, -out}, {-in, out, out}), box("back", {in, -out, -out}, {out, out, out}),
      box("left", {-out, -out, -out}, {out, -in, out}),  box("right", {-out, in, -out}, {out, out, out}),
      box("under", {-out, -out, -out}, {out, out, -in}), box("over", {-out, -out, in}, {out, out, out})};
  const Bay level =
      bay_of(shell, neck("a", {0, 0, 0}, {1, 0, 0}), neck("b", {500, 0, 0}, {-1, 0, 0}), Make::straight_hose);
  const Pose aslant = Pose::from_axes({0, 0, 0}, Vec3(1, 1, 1).normalized(), Vec3(1, -1, 0).normalized());
  const Posed p(moved(level, aslant), hose(kRadius_mm, 14));
  const Passage passage = find_passage(p.room(), p.problem.start.at_mm, p.problem.goal.at_mm, 14, 1500,
                                       Crossing::forbidden, 60000);
  CHECK(passage.answer == PassageAnswer::closed);
}

TEST_CASE("between two plates a run settles in the middle and tells what there is or what is missing") {
  for (const double spare : {0.3, -0.5, -4.0}) {
    CAPTURE(spare);
    const double half = kKeepOff_mm + spare;
    const Posed p = facing_necks(
        {box("low", {150, -300, -300}, {350, -half, 300}), box("high", {150, half, -300}, {350, 300, 300})});
    Work work = plenty();
    const Bends off_middle{{60, 0, 0}, {180, 6, 0}, {320, -5, 0}, {440, 0, 0}};
    const PolishOutcome settled = settle_in_the_middle(p.problem, p.room(), off_middle, std::nullopt, work);
    CHECK(settled.run.has_value() == (spare > 0));
    const RunCheck& check = settled.run ? *settled.run : settled.nearest.value().check;
    CHECK(check.margin.sampled_mm == Approx(spare).margin(0.02));
  }
}

TEST_CASE("bends too near each other for their radius are moved apart") {
  const Posed p = facing_necks({box("far", {5000, 0, 0}, {5100, 100, 100})}, 700);
  const Bends crowded{{100, 0, 0}, {130, 60, 0}, {160, 0, 40}, {600, 0, 0}};
  Work work = plenty();
  CHECK(check_run(p.problem, p.room(), crowded).breach == Breach::no_shape);
  const Bends grown = grow_into_radius(p.problem, p.room(), crowded, work);
  CHECK(check_run(p.problem, p.room(), grown).breach == Breach::none);
}

TEST_CASE("a bend is added where two cannot pass and three can") {
  // The straight way is 6 mm short of room beside the block.
  const Posed p = facing_necks({box("block", {230, -100, -200}, {270, -kKeepOff_mm + 6, 200})});
  const Bends straight{{100, 0, 0}, {400, 0, 0}};
  const RunCheck as_is = check_run(p.problem, p.room(), straight);
  REQUIRE(as_is.breach == Breach::gap);
  CHECK(as_is.margin.sampled_mm == Approx(-6).margin(0.01));
  Work work = plenty();
  const PolishOutcome more = add_bends(p.problem, p.room(), NearMiss{as_is, straight}, work);
  REQUIRE(more.run);
  CHECK(more.bends.size() >= 3);
  CHECK(more.run->margin.sampled_mm > 0);
}

TEST_CASE("a bay that is known all over is searched once, with all the work allowed") {
  Bay bay = duct(0.9);
  const auto found_with = [&](std::int64_t work) {
    RouteOptions options;
    options.work_units_per_make = work;
    return route_one(bay, hose(kRadius_mm, kOutside_mm), kGap_mm, options).route.has_value();
  };
  std::int64_t needed = 100;
  while (needed < 4000 && !found_with(needed)) needed += 50;
  CAPTURE(needed);
  bay.known_space = {BoxShape{Pose{}, Vec3::Constant(4000)}};
  CHECK_FALSE(found_with(needed / 2));
  CHECK(found_with(needed + needed / 2));
}
