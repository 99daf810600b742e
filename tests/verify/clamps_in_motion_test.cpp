// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "solver/verify/clamp_proof.h"
#include "solver/verify/line_shapes.h"
#include "solver/verify/piece_measure.h"
#include "tests/verify/moving_job.h"

/// Clamps beside clamps, and clamps that go with what they sit on.
using namespace hosefit;
using namespace hosefit::test;

namespace {

constexpr double kRise_mm =
    kHoseOutside_mm / 2 + 20;  // from a hose's axis to the far side of a housing on it

// Lines beside each other along X, each walled in so that its clamps can turn nowhere but to the side where
// the other line is.
PlainJob side_by_side(double apart_mm) {
  PlainJob job;
  job.add_line(straight_run());
  job.add_line(chain({Vec3(0, apart_mm, 0), Vec3(400, apart_mm, 0)}, 0));
  const double middle = apart_mm / 2;
  for (const double z : {-130.0, 130.0})
    job.add_obstacle("lid", BoxShape{Pose::translation({200, middle, z}), {300, 200, 100}});
  for (const double y : {-140.0, apart_mm + 140.0})
    job.add_obstacle("wall", BoxShape{Pose::translation({200, y, 0}), {300, 100, 200}});
  return job;
}

double wanted_between_clamps_mm(const PlainJob& job) {
  return job.gaps.row(Runner::clamp, Hazard::another_hose, true).at_rest.mm();
}

}  // namespace

TEST_CASE("two clamps that can only turn towards each other need the room of both and the gap between") {
  const double wanted = wanted_between_clamps_mm(side_by_side(200));
  // The capsules lie along Z beside each other; clocks are told in steps of 15 deg, so straight across is
  // one.
  const PlainJob wide = side_by_side(2 * kRise_mm + wanted + 0.1);
  for (const LineProof& proof : wide.prove_all().lines) CHECK(proof.proved);
  PlainJob narrow = side_by_side(2 * kRise_mm + wanted - 0.1);
  const ProofReport both = narrow.prove_all();
  CHECK(both.lines[0].proved);
  REQUIRE(only_stop(both.lines[1], RuleId::clamp_blocked));
  const Finding* blocked = find(both.lines[1], RuleId::clamp_blocked);
  CHECK(blocked->other == "clamp on line 0");
  CHECK(*blocked->limit == wanted);
  CHECK(*blocked->limit - *blocked->measured == Approx(0.1).margin(0.05));
  // Either one alone has room.
  narrow.routes.erase(narrow.routes.begin());
  CHECK(narrow.proof().proved);
}

TEST_CASE("a clamp turns away from one that was there before it where it can") {
  PlainJob job = side_by_side(2 * kRise_mm + wanted_between_clamps_mm(side_by_side(200)) - 0.1);
  Body body = *job.bay.bodies[0].body;
  body.obstacles.pop_back();  // the wall beyond the second line
  job.bay.bodies[0].body = std::make_shared<const Body>(std::move(body));
  const ProofReport report = job.prove_all();
  CHECK(report.lines[0].proved);
  CHECK(report.lines[1].proved);
  const double apart = wanted_between_clamps_mm(job) + 2 * kClampRadius_mm;
  for (const ClampRecord& first : report.lines[0].clamps)
    for (const ClampRecord& second : report.lines[1].clamps)
      for (const Vec3& end : {second.housing.from_mm, second.housing.to_mm})
        CHECK(distance_mm(Piece(first.housing), end) >= apart - 1e-9);
}

TEST_CASE("clamps of two ways to lead one line do not keep each other away") {
  PlainJob job = side_by_side(2 * kRise_mm + wanted_between_clamps_mm(side_by_side(200)) - 0.1);
  job.routes[1].line = 0;  // its ends are not on that line's necks, which is refused, and nothing else is
  const ProofReport report = job.prove_all();
  CHECK_FALSE(find(report.lines[0], RuleId::clamp_blocked));
}

namespace {

// Along X on the chassis, round a bend, along Y to the engine, with a joiner on the last straight.
MovingJob joined_corner() {
  MovingJob job;
  job.add_line(corner_run());
  job.flex_line(0);
  job.routes[0].make = job.stock[0].make = Make::elbows_and_straights;
  job.stock[0].leg = Length::mm(400);
  const double length = length_mm(job.routes[0].centreline);
  job.routes[0].pieces = {{"hose", "elbow", length - 77 + 28, 0, std::nullopt},
                          {"joiner", "joiner", 60, 0, std::nullopt},
                          {"hose", "straight hose", 73 + 28, 0, std::nullopt}};
  return job;
}

// Everything about the joiner but the way up, and a lid `above_mm` over the axis.
void wall_in_below(MovingJob& job, double above_mm) {
  const Vec3 joiner(250, 175, 0);
  for (const double side : {-1.0, 1.0})
    job.add_obstacle("wall", BoxShape{Pose::translation(joiner + Vec3(side * 60, 0, -60)), {20, 30, 100}});
  job.add_obstacle("floor", BoxShape{Pose::translation(joiner - Vec3(0, 0, 67)), {40, 30, 20}});
  job.add_obstacle("lid", BoxShape{Pose::translation(joiner + Vec3(0, 0, above_mm + 10)), {60, 30, 10}});
}

}  // namespace

TEST_CASE(
    "a clamp at a joiner rises with the hose that it sits on, and stops the line where it comes short") {
  MovingJob job = joined_corner();
  const double at_rest = job.gaps.row(Runner::clamp, Hazard::smooth_metal, false).at_rest.mm();
  const double lid = kRise_mm + at_rest + 1;
  wall_in_below(job, lid);
  const ProofReport rest = job.prove_all();
  REQUIRE(rest.lines[0].proved);
  REQUIRE(rest.lines[0].clamps.size() == 4);
  const auto with_lift = [&](double lift) {
    return job.moved(rest, places_about(motion_of(0, lift, 0, 0, 0), {0, 0, 0})).front();
  };
  CHECK(with_lift(0.5).proved);
  constexpr double kLift_mm = 14;
  const EnginePlaces places = places_about(motion_of(0, kLift_mm, 0, 0, 0), {0, 0, 0});
  // The hose alone has room for it.
  CHECK(job.moved(places).front().proved);
  const MotionLine told = job.moved(rest, places).front();
  CHECK_FALSE(told.proved);
  const Finding* came_short = find(told, RuleId::motion_gap);
  REQUIRE(came_short);
  CHECK(came_short->other == "lid");
  CHECK(came_short->parameters.at("runner") == "clamp");
  // How high the hose itself goes there, and by its slope how much higher the end of the housing.
  const LineInMotion line(job.bay, job.routes[0], &job.stock[0], places,
                          free_stretches(job.bay, job.routes[0], {}).front());
  EnginePlace up = EnginePlace::Zero();
  up[lift_way] = kLift_mm;
  const auto raised = line.at(up, *line.at_rest());
  REQUIRE(raised);
  double highest = 0;
  for (const ClampRecord& clamp : rest.lines[0].clamps) {
    if (clamp.neck) continue;
    for (std::size_t i = 0; i < line.links().size(); ++i)
      if (line.links()[i].from_s_mm <= clamp.s_mm && clamp.s_mm < line.links()[i].to_s_mm) {
        const double share =
            (clamp.s_mm - line.links()[i].from_s_mm) / (line.links()[i].to_s_mm - line.links()[i].from_s_mm);
        highest =
            std::max(highest, (1 - share) * raised->nodes_mm[i].z() + share * raised->nodes_mm[i + 1].z());
      }
  }
  CHECK(highest > 4);
  CHECK(*came_short->measured == Approx(lid - kRise_mm - highest).margin(0.5));
}

TEST_CASE("a clamp on a neck of the engine comes up to another line that the hose below it stays clear of") {
  MovingJob job;
  job.add_line(corner_run());
  job.flex_line(0);
  // Across the engine's neck, high enough for hose and clamp at rest and for the hose alone always.
  const double gap = job.gaps.row(Runner::clamp, Hazard::another_hose, false).after_motion.mm();
  const double above = kRise_mm + kHoseOutside_mm / 2 + gap + 5;
  job.add_line(chain({Vec3(50, 262, above), Vec3(450, 262, above)}, 0));
  ProofReport rest;
  rest.lines.resize(2);
  ClampRecord clamp;
  clamp.neck = job.bay.lines[0].to;
  clamp.s_mm = length_mm(job.routes[0].centreline) + 12;
  const double high = kHoseOutside_mm / 2 + kClampRadius_mm;
  clamp.housing = {Vec3(242.5, 262, high), Vec3(257.5, 262, high)};
  rest.lines[0].clamps = {clamp};
  const auto with_lift = [&](const ProofReport& with, double lift) {
    return job.moved(with, places_about(motion_of(0, lift, 0, 0, 0), {0, 0, 0}));
  };
  ProofReport bare;
  bare.lines.resize(2);
  for (const MotionLine& line : with_lift(rest, 4.5)) CHECK(line.proved);
  for (const MotionLine& line : with_lift(bare, 6)) CHECK(line.proved);
  for (const MotionLine& line : with_lift(rest, 6)) {
    CHECK_FALSE(line.proved);
    const Finding* came_short = find(line, RuleId::motion_gap);
    REQUIRE(came_short);
    CHECK(*came_short->limit == gap);  // a clamp's gap holds for both
    const double up = std::stod(came_short->parameters.at("up_mm"));
    CHECK(*came_short->measured == Approx(gap + 5 - up).margin(0.06));  // told to the tenth of a millimetre
  }
}
