// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/lattice.h"

#include <catch2/catch.hpp>

#include "tests/route/bays.h"
#include "tests/route/posed.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

constexpr double kRadius_mm = 60;

// Two necks that look at each other with a wall between them that can be got round on one side only.
Posed behind_a_wall() {
  return Posed(bay_of({box("wall", {280, -600, -600}, {320, 120, 600})}, neck("a", {0, 0, 0}, {1, 0, 0}),
                      neck("b", {600, 0, 0}, {-1, 0, 0}), Make::straight_hose),
               hose(kRadius_mm));
}

// The end looks out of a pot: the way in is straight, and as long as two radii.
Posed in_a_pot() {
  const double half = 40, deep = 150;
  return Posed(
      bay_of({box("left", {400, -half - 30, -half - 30}, {400 + deep, -half, half + 30}),
              box("right", {400, half, -half - 30}, {400 + deep, half + 30, half + 30}),
              box("low", {400, -half, -half - 30}, {400 + deep, half, -half}),
              box("high", {400, -half, half}, {400 + deep, half, half + 30}),
              box("shield", {300, -120, -120}, {330, 120, 120})},
             neck("a", {0, 0, 0}, {1, 0, 0}), neck("b", {400 + deep, 0, 0}, {-1, 0, 0}), Make::straight_hose),
      hose(kRadius_mm));
}

std::optional<Way> way_in(const Posed& p, bool from_the_end, std::int64_t most_steps = 20000) {
  Work work(1000000, {});
  return lattice_way(p.problem, p.room(), {{false, 3.0}, most_steps, from_the_end}, work);
}

// Neighbours are joined by a straight, an arc of the radius, or at the far end of the search a connection.
bool leads_from_neck_to_neck(const Posed& p, const Way& way) {
  const Heading start = start_of_run(p.problem), goal = end_of_run(p.problem);
  if ((way.front().at_mm - start.at_mm).norm() > 1e-9 || (way.front().along - start.along).norm() > 1e-9)
    return false;
  if ((way.back().at_mm - goal.at_mm).norm() > 1e-9 || (way.back().along - goal.along).norm() > 1e-9)
    return false;
  for (std::size_t i = 0; i + 1 < way.size(); ++i) {
    const std::optional<Connection> c = connect(way[i], way[i + 1], p.problem.radius_mm);
    if (!c) return false;
    if (!is_free(p.room(), pieces_of(*c, way[i], way[i + 1], p.problem.radius_mm), {false, 4.0}))
      return false;
  }
  return true;
}

}  // namespace

TEST_CASE("a lattice finds a way round a wall, from either end, the same every time") {
  const Posed p = behind_a_wall();
  for (const bool from_the_end : {false, true}) {
    CAPTURE(from_the_end);
    const std::optional<Way> way = way_in(p, from_the_end);
    REQUIRE(way);
    CHECK(way->size() > 2);
    CHECK(leads_from_neck_to_neck(p, *way));
    const std::optional<Way> again = way_in(p, from_the_end);
    REQUIRE(again);
    REQUIRE(again->size() == way->size());
    for (std::size_t i = 0; i < way->size(); ++i) CHECK((*again)[i].at_mm == (*way)[i].at_mm);
  }
}

TEST_CASE("a lattice that begins at a hemmed-in end is through with less") {
  const Posed p = in_a_pot();
  const auto steps_needed = [&](bool from_the_end) {
    std::int64_t steps = 1;
    while (steps < 20000 && !way_in(p, from_the_end, steps)) steps *= 2;
    return steps;
  };
  const std::int64_t from_end = steps_needed(true), from_start = steps_needed(false);
  CAPTURE(from_end, from_start);
  REQUIRE(from_end < 20000);
  CHECK(leads_from_neck_to_neck(p, way_in(p, true).value()));
  CHECK(from_end < from_start);
}

TEST_CASE("a lattice stops when its work is spent and finds nothing where there is no way") {
  const Posed p = behind_a_wall();
  Work little(3, {});
  CHECK_FALSE(lattice_way(p.problem, p.room(), {{false, 3.0}, 20000, false}, little));
  CHECK(little.used() < 20);
  const Posed shut(bay_of({box("wall", {280, -900, -900}, {320, 900, 900})}, neck("a", {0, 0, 0}, {1, 0, 0}),
                          neck("b", {600, 0, 0}, {-1, 0, 0}), Make::straight_hose),
                   hose(kRadius_mm));
  CHECK_FALSE(way_in(shut, false, 3000));
}
