// SPDX-License-Identifier: GPL-3.0-or-later
// Shapes of a moving line are kept per place; what was asked before may not show. A hose may rest in more
// shapes than one, and each has its own.
#include <catch2/catch.hpp>
#include <cstdio>

#include "solver/base/dice.h"
#include "solver/verify/line_shapes.h"
#include "tests/verify/moving_job.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

double apart_mm(const LineShape& a, const LineShape& b) {
  REQUIRE(a.nodes_mm.size() == b.nodes_mm.size());
  double most = 0;
  for (std::size_t i = 0; i < a.nodes_mm.size(); ++i)
    most = std::max(most, (a.nodes_mm[i] - b.nodes_mm[i]).norm());
  return most;
}

EnginePlace thrown_place(Dice& dice, const EnginePlaces& places) {
  EnginePlace place = places.centre;
  for (Eigen::Index k = 0; k < 4; ++k) place[k] += dice.between(-1, 1) * places.half[k];
  return place;
}

// A hose flexed from the chassis to the engine along a plan by dice.
std::optional<MovingJob> thrown_job(std::uint64_t task) {
  Dice dice(RunSeed{91}, task);
  const double x1 = dice.between(120, 260), y2 = dice.between(-160, 160), z2 = dice.between(100, 260);
  const double x3 = dice.between(200, 480), y3 = dice.between(-160, 160), z3 = dice.between(0, 260);
  const auto run =
      centreline_of({{Vec3::Zero(), Vec3(x1, 0, 0), Vec3(x1 + 40, y2, z2), Vec3(x3, y3, z3)}, {50, 50}});
  if (!run) return std::nullopt;
  MovingJob job;
  job.add_line(*run);
  job.flex_line(0);
  job.routes[0].make = Make::straight_hose;
  return job;
}

// An arch between two necks on parallel axes. Turned end for end the job is the same and its arch is another
// one, so where the hose rests aslant it rests as well the other way.
std::optional<MovingJob> thrown_arch(std::uint64_t task) {
  Dice dice(RunSeed{95}, task);
  const double height = dice.between(20, 220), aside = dice.between(-60, 60), half = dice.between(60, 160);
  const double lean = dice.between(-30, 30);
  const auto run = centreline_of({{Vec3::Zero(), Vec3(100, 0, 0), Vec3(100 + half, lean, height),
                                   Vec3(100 + 2 * half, aside, 0), Vec3(200 + 2 * half, aside, 0)},
                                  {40, 40, 40}});
  if (!run) return std::nullopt;
  MovingJob job;
  job.add_line(*run);
  job.flex_line(0);
  return job;
}

const EnginePlaces kPlaces = places_about(motion_of(4, 10, 12, 8, 6), {200, 0, -150});

const EnginePlaces kSmall = places_about(motion_of(1, 2, 2, 2, 1), {200, 0, -150});

LineInMotion line_of(const MovingJob& job, const EnginePlaces& places = kPlaces) {
  return {job.bay, job.routes[0], &job.stock[0], places, free_stretches(job.bay, job.routes[0], {}).front()};
}

}  // namespace

TEST_CASE("a line asked before takes the same shape at a place as one asked for the first time") {
  int compared = 0;
  for (std::uint64_t task = 0; task < 12; ++task) {
    CAPTURE(task);
    const std::optional<MovingJob> job = thrown_job(task);
    if (!job) continue;
    const LineInMotion asked = line_of(*job);
    if (!asked.at_rest()) continue;
    Dice dice(RunSeed{92}, task);
    std::vector<EnginePlace> places;
    places.push_back(thrown_place(dice, kPlaces));
    for (Eigen::Index k = 0; k < 4; ++k) {  // elsewhere by one of the four only
      places.push_back(places.front());
      places.back()[k] = kPlaces.centre[k] + dice.between(-1, 1) * kPlaces.half[k];
    }
    for (int round = 0; round < 2; ++round)
      for (const EnginePlace& place : places) {
        const LineInMotion fresh = line_of(*job);
        const auto a = asked.at(place, *asked.at_rest());
        const auto b = fresh.at(place, *fresh.at_rest());
        REQUIRE(a.has_value() == b.has_value());
        if (!a) continue;
        CHECK(apart_mm(*a, *b) == 0);
        CHECK(a->place == place);
        CHECK(a->bent == b->bent);
        ++compared;
      }
  }
  CHECK(compared > 60);
}

TEST_CASE("another stable shape keeps apart from the first one wherever the engine goes") {
  int seen = 0, steady = 0;
  for (std::uint64_t task = 0; task < 400 && seen < 4; ++task) {
    CAPTURE(task);
    const std::optional<MovingJob> job = thrown_arch(task);
    if (!job) continue;
    const LineInMotion line = line_of(*job);
    if (!line.at_rest()) continue;
    for (const LineShape& other : line.others_at_rest()) {
      CHECK(apart_mm(other, *line.at_rest()) > 5);
      Dice dice(RunSeed{93}, task);
      for (int k = 0; k < 3; ++k) {
        const EnginePlace place = thrown_place(dice, kPlaces);
        const auto first = line.at(place, *line.at_rest());
        const auto second = line.at(place, other);
        const auto alone = line_of(*job).at(place, other);
        REQUIRE(second.has_value() == alone.has_value());
        if (!second) continue;
        CHECK(apart_mm(*second, *alone) == 0);
        if (first && apart_mm(*first, *second) > 1) ++steady;
      }
      ++seen;
    }
  }
  CHECK(seen == 4);
  CHECK(steady > seen);
}

TEST_CASE("what only the second shape strikes leaves the line undecided") {
  int struck = 0;
  for (std::uint64_t task = 0; task < 400 && struck < 1; ++task) {
    CAPTURE(task);
    std::optional<MovingJob> job = thrown_arch(task);
    if (!job) continue;
    const LineInMotion line = line_of(*job, kSmall);
    if (!line.at_rest()) continue;
    const std::vector<LineShape> others = line.others_at_rest();
    if (others.empty()) continue;
    const std::vector<Vec3>&first = line.at_rest()->nodes_mm, &second = others[0].nodes_mm;
    const auto far = [&](std::size_t i) {
      double nearest = 1e9;
      for (const Vec3& node : first) nearest = std::min(nearest, (node - second[i]).norm());
      return nearest;
    };
    std::size_t most = 0;
    for (std::size_t i = 0; i < second.size(); ++i)
      if (far(i) > far(most)) most = i;
    if (far(most) < 80) continue;
    if (!job->moved(kSmall).front().findings.empty()) continue;
    job->add_obstacle("ball", SphereShape{second[most], 5});
    const std::vector<Finding> findings = job->moved(kSmall).front().findings;
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].undecided);
    CHECK(findings[0].parameters.at("reason") == "second_shape");
    CHECK(findings[0].other == "ball");
    ++struck;
  }
  CHECK(struck == 1);
}
