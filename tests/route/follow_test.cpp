// SPDX-License-Identifier: GPL-3.0-or-later
// Earlier routes led along to where necks and bodies are now.
#include <algorithm>
#include <catch2/catch.hpp>

#include "solver/route/lines.h"
#include "tests/route/bays.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

constexpr double kGap_mm = 8;

// A random bay with a route, and the same with its goal neck and its bodies moved a little.
struct Moving {
  std::vector<Stock> stock{hose()};
  FieldStore store;
  GapTable gaps = even_gaps(kGap_mm);
  Bay bay;
  std::vector<LineSearch> found;

  explicit Moving(std::uint64_t task) : bay(witness_bay(task, hose(), kGap_mm, 3, 20).bay) {
    found = route_lines(bay, store, gaps, stock, {});
  }
  std::optional<std::vector<LineSearch>> followed(const Bay& now) {
    return follow_routes(now, store, gaps, stock, {}, found);
  }
};

Bay with_goal_moved(Bay bay, const Vec3& by) {
  bay.necks[1].end_mm += by;
  return bay;
}

Bay with_bodies_moved(Bay bay, const Vec3& by) {
  for (PlacedBody& body : bay.bodies) body.pose.origin_mm += by;
  return bay;
}

std::size_t bends_in(const LineSearch& search) {
  return bend_table(search.route->centreline).rows.size();
}

}  // namespace

TEST_CASE("led along to a neck or past bodies that moved 1 mm, routes end at the necks and keep every gap") {
  int asked = 0, led = 0, roomy = 0;
  for (std::uint64_t task = 0; task < 40; ++task) {
    CAPTURE(task);
    Moving job(task);
    if (!job.found[0].route) continue;
    Dice dice({91}, task);
    const Vec3 by = any_direction(dice);
    for (const Bay& now : {with_goal_moved(job.bay, by), with_bodies_moved(job.bay, by)}) {
      ++asked;
      const auto followed = job.followed(now);
      if (!followed) continue;
      ++led;
      if (followed->front().route->worst_spare_mm >= 0.6) ++roomy;  // most of the reserve of 1 mm
      const Route& route = *followed->front().route;
      CHECK(followed->front().outcome == SearchOutcome::found);
      CHECK((start_point(route.centreline) - now.necks[0].end_mm).norm() < 1e-6);
      CHECK((end_point(route.centreline) - now.necks[1].end_mm).norm() < 1e-6);
      CHECK((start_direction(route.centreline) - now.necks[0].outward).norm() < 1e-6);
      CHECK((end_direction(route.centreline) + now.necks[1].outward).norm() < 1e-6);
      CHECK(*tightest_bend_mm(route.centreline) >= 60 - 1e-6);
      CHECK(bends_in(followed->front()) == bends_in(job.found[0]));
      CHECK(length_mm(route.centreline) > length_mm(job.found[0].route->centreline) - 5.01);
      CHECK(brute_force_spare_mm(now, route, kGap_mm) > -0.05);
    }
  }
  CHECK(asked >= 60);
  CHECK(led >= asked * 9 / 10);
  CHECK(roomy >= led * 9 / 10);
}

TEST_CASE("routes are not led along where the way is shut, and not without a route of every line") {
  Moving job(3);
  REQUIRE(job.found[0].route);
  REQUIRE(job.followed(job.bay));
  Bay shut = job.bay;
  Body body = *shut.bodies[0].body;
  const Vec3 neck = shut.necks[1].end_mm;
  body.obstacles.push_back(box("lid", neck - Vec3::Constant(40), neck + Vec3::Constant(40)));
  shut.bodies[0].body = std::make_shared<const Body>(std::move(body));
  CHECK_FALSE(job.followed(shut));
  job.found[0].route.reset();
  CHECK_FALSE(job.followed(job.bay));
  job.found.clear();
  CHECK_FALSE(job.followed(job.bay));
}

TEST_CASE("lines led along keep clear of each other, each beside where the others are now") {
  Moving job(0);
  job.bay =
      bay_of({}, neck("a", {0, 0, 0}, {1, 0, 0}), neck("b", {500, 120, 40}, {-1, 0, 0}), Make::straight_hose);
  job.bay.necks.push_back(neck("c", {0, 45, 0}, {1, 0, 0}));
  job.bay.necks.push_back(neck("d", {500, 165, 40}, {-1, 0, 0}));
  job.bay.lines.push_back(job.bay.lines[0]);
  job.bay.lines[1].line.name = "other";
  job.bay.lines[1].from = 2;
  job.bay.lines[1].to = 3;
  job.found = route_lines(job.bay, job.store, job.gaps, job.stock, {});
  REQUIRE(job.found[0].route);
  REQUIRE(job.found[1].route);
  Bay now = job.bay;
  for (const std::size_t neck : {1, 3}) now.necks[neck].end_mm += Vec3(0, 4, -6);
  const auto followed = job.followed(now);
  REQUIRE(followed);
  const Centreline &a = (*followed)[0].route->centreline, &b = (*followed)[1].route->centreline;
  double least = 1e9;
  for (double s = 0; s <= length_mm(a); s += 1)
    for (double t = 0; t <= length_mm(b); t += 1)
      least = std::min(least, (point_at(a, s) - point_at(b, t)).norm());
  CHECK(least >= 30 + kGap_mm - 0.02);
  CHECK(least < 60);
}
