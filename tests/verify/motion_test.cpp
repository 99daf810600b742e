// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

#include "solver/base/dice.h"
#include "solver/verify/line_shapes.h"
#include "solver/verify/motion_gaps.h"
#include "solver/verify/motion_proof.h"
#include "solver/verify/parts_in_motion.h"
#include "tests/support/check_table.h"
#include "tests/support/scan_mesh.h"
#include "tests/verify/moving_job.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

double after_motion_mm(const GapTable& gaps, bool same) {
  return gaps.row(Runner::hose, Hazard::smooth_metal, same).after_motion.mm();
}

EnginePlace random_place(Dice& dice, const EnginePlaces& places) {
  EnginePlace place = places.centre;
  for (Eigen::Index k = 0; k < 4; ++k) {
    // Corners are where gaps are least, so half of all ways are taken to their ends.
    const double share = dice.below(2) == 0 ? dice.between(-1, 1) : (dice.below(2) == 0 ? -1 : 1);
    place[k] += share * places.half[k];
  }
  return place;
}

// Of a line of MovingJob, 2 mm apart; with what goes over the necks.
std::vector<Vec3> hose_points(const Centreline& line) {
  constexpr double kOverNeck_mm = 28;
  std::vector<Vec3> out;
  for (double s = 0; s <= length_mm(line); s += 2) out.push_back(point_at(line, s));
  for (double s = 0; s <= kOverNeck_mm; s += 2) {
    out.push_back(start_point(line) - s * start_direction(line));
    out.push_back(end_point(line) + s * end_direction(line));
  }
  return out;
}

}  // namespace

TEST_CASE("the engine's places move points as rotation and shift do by hand") {
  // Roll of 4 deg lifts a point 300 mm beside the axis by 300 sin 4 deg = 20.93 mm (derived: free body about
  // its axis).
  const EnginePlaces places = places_about(motion_of(4, 10, 15, 10, 8), {200, 0, 300});
  CHECK(places.axis_point_mm.isApprox(Vec3(200, 0, 200)));
  EnginePlace roll = EnginePlace::Zero();
  roll[roll_way] = Angle::deg(4).rad();
  const Vec3 right = places.moved(roll).point({100, 300, 200});
  CHECK(right.z() - 200 == Approx(300 * std::sin(Angle::deg(4).rad())));
  CHECK(right.y() == Approx(300 * std::cos(Angle::deg(4).rad())));
  EnginePlace shift = EnginePlace::Zero();
  shift[lift_way] = 3, shift[rearward_way] = -4, shift[right_way] = 5;
  CHECK(places.moved(shift).point({1, 2, 3}).isApprox(Vec3(-3, 7, 6)));
  CHECK(places.centre[rearward_way] == Approx(-2.5));
  CHECK(places.half[rearward_way] == Approx(12.5));
}

TEST_CASE("ends of hoses move as the check values say") {
  int seen = 0;
  for (const CheckRow& row : check_table(HOSEFIT_TEST_DIR "/verify/data/hose_slack.csv")) {
    CAPTURE(row.text("id"));
    const auto vec = [&](const char* name) {
      return Vec3(row.number(std::string(name) + "x"), row.number(std::string(name) + "y"),
                  row.number(std::string(name) + "z"));
    };
    EnginePlaces places;
    places.axis_point_mm = vec("axis_p");
    places.axis = vec("axis_u").normalized();
    EnginePlace place = EnginePlace::Zero();
    place[roll_way] = Angle::deg(row.number("roll_deg")).rad();
    place[lift_way] = row.number("vertical_shift");
    const Pose moved = places.moved(place);
    CHECK((moved.point(vec("pB")) - vec("pB1")).norm() < 1e-8);
    CHECK((moved.direction(vec("tB")) - vec("tB1")).norm() < 1e-10);
    ++seen;
  }
  CHECK(seen == 48);
}

TEST_CASE("a pipe on the engine under a plate loses exactly the lift of its gap") {
  const double radius = kHoseOutside_mm / 2;
  const double required = after_motion_mm(test_gaps(), false);
  for (const double spare : {-1.0, -0.4, 0.1, 1.0}) {
    CAPTURE(spare);
    MovingJob job;
    job.add_line(straight_run());
    job.carry_line(0);
    job.add_obstacle("plate", plate_above(radius + required + 10 + spare));
    const MotionLine line = job.moved(places_about(motion_of(0, 10, 5, 5, 5), {0, 0, 0})).front();
    CHECK(line.proved == (spare > 0));
    REQUIRE(line.gaps.size() == 1);
    CHECK(line.gaps[0].found_mm == Approx(required + spare).margin(0.02));
    CHECK(line.gaps[0].place[lift_way] == Approx(10));
    if (spare < 0) {
      REQUIRE(find(line, RuleId::motion_gap));
      CHECK(*find(line, RuleId::motion_gap)->margin == Approx(spare).margin(0.02));
      CHECK(find(line, RuleId::motion_gap)->other == "plate");
    }
  }
}

TEST_CASE("more wanted from one body is wanted of it alone, to the tolerance") {
  MovingJob job;
  job.add_line(straight_run());
  job.carry_line(0);
  const double spare = 12;
  job.add_obstacle("plate",
                   plate_above(kHoseOutside_mm / 2 + after_motion_mm(test_gaps(), false) + 10 + spare));
  const EnginePlaces places = places_about(motion_of(0, 10, 0, 0, 0), Vec3::Zero());
  const auto proved_with = [&](std::size_t body, double more_mm) {
    MotionOptions options;
    options.more_mm.assign(job.bay.bodies.size(), 0.0);
    options.more_mm[body] = more_mm;
    return job.moved(places, options)[0].proved;
  };
  REQUIRE(job.moved(places)[0].proved);
  const std::size_t chassis = 0, engine = 1;
  CHECK(proved_with(chassis, spare - 0.1));
  CHECK_FALSE(proved_with(chassis, spare + MotionOptions{}.tolerance_mm + 0.1));
  CHECK(proved_with(engine, spare + 50));
}

TEST_CASE("a pipe on the engine rolls towards a ball as the circle about the axis says") {
  // At the axis point's height + 300 the run goes sideways by 300 sin(roll) and down by 300 (1 - cos(roll)).
  const double roll = Angle::deg(4).rad(), arm = 300, radius = kHoseOutside_mm / 2;
  const Vec3 ball_centre(200, -62, 0);
  const Vec3 nearest(200, -arm * std::sin(roll), -arm * (1 - std::cos(roll)));
  const double gap = (ball_centre - nearest).norm() - radius - 10;
  MovingJob job;
  job.add_line(straight_run());
  job.carry_line(0);
  job.add_obstacle("ball", SphereShape{ball_centre, 10});
  const MotionLine line = job.moved(places_about(motion_of(4, 0, 0, 0, 0), {0, 0, -arm + 100})).front();
  REQUIRE(line.gaps.size() == 1);
  CHECK(line.gaps[0].found_mm == Approx(gap).margin(0.02));
}

TEST_CASE("what is proved in motion holds at thousands of random places, and what is refuted does not") {
  Dice dice(RunSeed{77}, 0);
  int proved = 0, refuted = 0, left = 0;
  for (int round = 0; round < 120; ++round) {
    CAPTURE(round);
    MovingJob job;
    const auto run =
        centreline_of({{Vec3::Zero(), Vec3(dice.between(150, 260), 0, 0),
                        Vec3(dice.between(180, 300), dice.between(-60, 60), dice.between(150, 260)),
                        Vec3(dice.between(380, 480), dice.between(-80, 80), dice.between(200, 260))},
                       {80, 80}});
    if (!run) continue;  // bends that do not fit between their neighbours
    job.add_line(*run);
    if (dice.below(4) != 0) job.flex_line(0);
    job.routes[0].make = dice.below(2) == 0 ? Make::elbows_and_straights : Make::straight_hose;
    for (int k = 0; k < 6; ++k) {
      const Vec3 at(dice.between(0, 400), dice.between(-200, 200), dice.between(-150, 350));
      if (dice.below(2) == 0) {
        job.add_obstacle("o" + std::to_string(k), SphereShape{at, dice.between(10, 50)});
      } else {
        job.add_obstacle("o" + std::to_string(k), BoxShape{Pose::translation(at), {20, 30, 25}});
      }
    }
    const EnginePlaces places = places_about(
        motion_of(dice.between(0, 4), dice.between(0, 10), dice.between(0, 12), 8, 6), {200, 0, -150});
    const ProofBodies bodies(job.bay);
    const LineInMotion line(job.bay, job.routes[0], &job.stock[0], places,
                            free_stretches(job.bay, job.routes[0], {}).front());
    if (!line.at_rest()) continue;
    const MotionLine told = job.moved(places).front();
    if (find(told, RuleId::motion_shape)) continue;
    // Every obstacle by brute force, with distances in closed form.
    for (std::size_t o = 0; o < job.bay.bodies[0].body->obstacles.size(); ++o) {
      const std::string& name = job.bay.bodies[0].body->obstacles[o].name;
      double least = std::numeric_limits<double>::infinity();
      for (int sample = 0; sample < 60; ++sample) {
        const auto shape = line.at(random_place(dice, places), *line.at_rest());
        REQUIRE(shape);
        for (std::size_t i = 0; i < line.links().size(); ++i)
          for (const double u : {0.0, 0.25, 0.5, 0.75, 1.0}) {
            const LineLink& link = line.links()[i];
            const Vec3 p = (1 - u) * shape->nodes_mm[i] + u * shape->nodes_mm[i + 1];
            const RequiredGap row = required_gap_after_motion(
                job.gaps, link.runner, link.carrier, job.bay.bodies[0].body->obstacles[o], Carrier::chassis);
            least = std::min(least, bodies.distance_mm({0, o}, p) - link.radius_mm - row.gap.mm());
          }
      }
      const auto about = [&](const Finding& f) { return f.rule == RuleId::motion_gap && f.other == name; };
      const auto finding = std::find_if(told.findings.begin(), told.findings.end(), about);
      if (finding == told.findings.end()) {
        CHECK(least >= -0.3);
        ++proved;
      } else if (!finding->undecided) {
        const auto gap = std::find_if(told.gaps.begin(), told.gaps.end(),
                                      [&](const MotionGap& g) { return g.other == name; });
        REQUIRE(gap != told.gaps.end());
        // At the place that is named the line really is that near.
        const auto shape = line.at(gap->place, *line.at_rest());
        REQUIRE(shape);
        double there = std::numeric_limits<double>::infinity();
        for (std::size_t i = 0; i < line.links().size(); ++i)
          for (int part = 0; part <= 16; ++part) {
            const double u = part / 16.0;
            const Vec3 p = (1 - u) * shape->nodes_mm[i] + u * shape->nodes_mm[i + 1];
            there = std::min(there, bodies.distance_mm({0, o}, p) - line.links()[i].radius_mm);
          }
        // Deep inside the march stops at a tenth of the depth (march.h).
        const double depth = std::abs(gap->found_mm - gap->required_mm);
        CHECK(there == Approx(gap->found_mm).margin(0.05 + 0.1 * depth));
        CHECK(gap->found_mm - gap->required_mm < -0.25);
        ++refuted;
      } else {
        ++left;
      }
    }
  }
  CHECK(proved > 60);
  CHECK(refuted > 20);
  CHECK(left * 10 < proved + refuted);
}

TEST_CASE("more motion never proves what less does not") {
  Dice dice(RunSeed{78}, 0);
  for (int round = 0; round < 15; ++round) {
    MovingJob job;
    job.add_line(chain({Vec3::Zero(), Vec3(220, 0, 0), Vec3(240, 0, 200), Vec3(420, 0, 230)}, 80));
    job.flex_line(0);
    job.routes[0].make = Make::elbows_and_straights;
    job.add_obstacle(
        "ball", SphereShape{{dice.between(100, 350), dice.between(-120, 120), dice.between(-40, 260)}, 30});
    bool held = true;
    for (const double share : {0.0, 0.3, 1.0}) {
      const MotionLine line =
          job.moved(places_about(motion_of(3 * share, 8 * share, 8 * share, 8 * share, 5 * share),
                                 {200, 0, -100}))
              .front();
      CHECK((held || !line.proved));
      held = line.proved;
    }
  }
}

TEST_CASE("two hoses that the engine brings together are refused for both, well apart for neither") {
  for (const double apart : {40.0, 90.0}) {
    CAPTURE(apart);
    MovingJob job;
    job.add_line(straight_run());
    job.add_line(chain({Vec3(0, 0, kHoseOutside_mm + apart), Vec3(400, 0, kHoseOutside_mm + apart)}, 0));
    job.carry_line(0);
    const auto lines = job.moved(places_about(motion_of(0, 45, 0, 0, 0), {0, 0, 0}));
    CHECK(lines[0].proved == (apart > 60));
    CHECK(lines[1].proved == lines[0].proved);
    if (apart > 60) continue;
    REQUIRE(lines[0].gaps.size() == 1);
    REQUIRE(find(lines[1], RuleId::motion_gap));
    CHECK(find(lines[1], RuleId::motion_gap)->other == "line 0");
  }
}

TEST_CASE("of two hoses that hardly move the gap told is the least of all their points") {
  const EnginePlaces hardly = places_about(motion_of(1e-4, 1e-3, 1e-3, 1e-3, 1e-3), {0, 0, 0});
  constexpr double kChords_mm = 0.4;  // links of 10 mm in bends of 60 mm, 0.21 mm a hose
  int told = 0, short_of = 0;
  for (std::uint64_t task = 0; task < 300; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{97}, task);
    const auto anywhere = [&](double x, double y, double z) {
      const double a = dice.between(-x, x), b = dice.between(-y, y);
      return Vec3{a, b, dice.between(-z, z)};
    };
    const Vec3 bend = Vec3{260, 0, 0} + anywhere(60, 160, 60);
    const auto first =
        centreline_of({{Vec3(0, 0, 0), Vec3(160, 0, 0), bend, bend + Vec3(0, 220, 60)}, {60, 60}});
    const Vec3 aside = anywhere(200, 200, 40) + Vec3{200, 100, 90};
    const Vec3 on = aside + Vec3{dice.between(100, 300), 0, 0}, last = on + anywhere(60, 250, 30);
    const auto second = centreline_of({{aside, on, last}, {60}});
    if (!first || !second) continue;
    double least = 1e9;
    for (const Vec3& p : hose_points(*first))
      for (const Vec3& q : hose_points(*second)) least = std::min(least, (p - q).norm());
    const double gap = least - kHoseOutside_mm;
    MovingJob job;
    job.add_line(*first);
    job.add_line(*second);
    job.carry_line(0);
    for (Route& route : job.routes)
      route.make = Make::elbows_and_straights;  // as made, not as hose would lie
    const std::vector<MotionLine> lines = job.moved(hardly);
    const double required = job.gaps.row(Runner::hose, Hazard::another_hose, false).after_motion.mm();
    if (gap < required - 1) {
      CHECK(find(lines[0], RuleId::motion_gap));
      CHECK(find(lines[1], RuleId::motion_gap));
      ++short_of;
    } else if (gap > required + 1 && gap < required + 15) {
      CHECK(lines[0].proved);
      REQUIRE(lines[0].gaps.size() == 1);
      CHECK(lines[0].gaps[0].found_mm == Approx(gap).margin(kChords_mm));
      ++told;
    }
  }
  CHECK(told > 20);
  CHECK(short_of > 20);
}

TEST_CASE("a straight hose drawn tight has no shape, and a flexed one is held to its radius") {
  MovingJob tight;
  tight.add_line(straight_run());
  tight.flex_line(0);
  const MotionLine pulled = tight.moved(places_about(motion_of(0, 0, 12, 12, 0), {0, 0, 0})).front();
  CHECK_FALSE(pulled.proved);
  const Finding* drawn = find(pulled, RuleId::motion_shape);
  REQUIRE(drawn);
  CHECK_FALSE(drawn->undecided);
  CHECK(drawn->parameters.at("reason") == "drawn_tight");
  CHECK(*drawn->measured == Approx(400));
  CHECK(*drawn->limit == Approx(412));
  CHECK(*pulled.least_slack == Approx(400.0 / 412 - 1));

  MovingJob bent;
  bent.add_line(corner_run());
  bent.flex_line(0);
  const EnginePlaces little = places_about(motion_of(0.5, 2, 2, 2, 2), {200, 0, -100});
  bent.stock[0].radii = {Length::mm(60)};
  CHECK(bent.moved(little).front().proved);
  bent.stock[0].radii = {Length::mm(200)};
  const MotionLine refused = bent.moved(little).front();
  REQUIRE(find(refused, RuleId::motion_bend));
  CHECK(*find(refused, RuleId::motion_bend)->measured < 200);
}

TEST_CASE("a bent tube turns in its couplers and is refused where they turn too far") {
  MovingJob job;
  job.add_line(corner_run());
  job.flex_line(0);
  job.routes[0].make = job.stock[0].make = Make::bent_tube;
  job.stock[0].coupler_gap = Length::mm(20);
  job.stock[0].coupler_outside = Length::mm(52);
  job.stock[0].cuff = Length::mm(28);
  const auto with_lift = [&](double lift) {
    return job.moved(places_about(motion_of(0, lift, 0, 0, 0), {0, 0, 0})).front();
  };
  CHECK(with_lift(2).proved);
  double before_deg = 5;  // what a coupler takes (common practice, no source)
  for (const double lift : {30.0, 40.0}) {
    CAPTURE(lift);
    const MotionLine far = with_lift(lift);
    CHECK_FALSE(far.proved);
    const Finding* turned = find(far, RuleId::motion_coupler);
    REQUIRE(turned);
    CHECK(turned->limit == 5.0);
    CHECK(*turned->measured > before_deg);
    before_deg = *turned->measured;
  }
}

namespace {

// A part on the engine whose top face is at z = 0 and a lid `apart` above it on the chassis.
PartsInMotion part_under_lid(double apart, const EnginePlaces& places, const GapTable& gaps) {
  Bay bay;
  bay.bodies.push_back(body_of("chassis", Carrier::chassis,
                               {obstacle_of("lid", Hazard::smooth_metal,
                                            BoxShape{Pose::translation({0, 0, apart + 5}), {400, 400, 5}})}));
  bay.bodies.push_back(body_of(
      "engine", Carrier::engine,
      {obstacle_of("part", Hazard::smooth_metal, BoxShape{Pose::translation({0, 0, -20}), {50, 40, 20}})}));
  ProofStore store;
  const std::pair<std::size_t, std::size_t> pair{0, 1};
  return prove_parts_in_motion(bay, store, gaps, std::span(&pair, 1),
                               [](ObstacleRef, ObstacleRef) { return true; }, places, {});
}

}  // namespace

TEST_CASE("a part on the engine keeps the gap that its lift and its roll leave, worked out by hand") {
  const GapTable gaps = test_gaps();
  const double required = gaps.row(Runner::rigid_part, Hazard::smooth_metal, false).after_motion.mm();
  // Lift 10; and by roll of 3 deg about an axis 100 below the top face its edge, 40 aside, rises by
  // 40 sin 3 deg + 100 (cos 3 deg - 1).
  const double roll = Angle::deg(3).rad();
  const double rise = 40 * std::sin(roll) + 100 * (std::cos(roll) - 1);
  const EnginePlaces places = places_about(motion_of(3, 10, 4, 4, 4), Vec3::Zero());
  for (const double spare : {-3.0, -0.5, 0.5, 3.0}) {
    CAPTURE(spare);
    const PartsInMotion parts = part_under_lid(required + 10 + rise + spare, places, gaps);
    CHECK(parts.proved == (spare > 0));
    REQUIRE(parts.near.size() == 1);
    const PartInMotion& part = parts.near[0];
    CHECK(part.answer == (spare > 0 ? PartInMotion::Answer::holds : PartInMotion::Answer::comes_short));
    CHECK(part.found_mm == Approx(required + spare).margin(0.05));
    CHECK(part.place[lift_way] == Approx(10));
    CHECK(std::abs(part.place[roll_way]) == Approx(roll));
  }
  CHECK(part_under_lid(200, places, gaps).near.empty());
}

TEST_CASE("what is proved of parts in motion holds at thousands of random places") {
  Dice dice(RunSeed{79}, 0);
  const GapTable gaps = test_gaps();
  const double required = gaps.row(Runner::rigid_part, Hazard::smooth_metal, false).after_motion.mm();
  int proved = 0, refuted = 0, left = 0, inside = 0;
  for (int round = 0; round < 600; ++round) {
    CAPTURE(round);
    const SphereShape part{random_point(dice, 150), dice.between(10, 60)};
    // Some start inside the lid, which is told as short.
    const BoxShape lid{Pose{Eigen::AngleAxisd(dice.between(0, 3), random_direction(dice)).toRotationMatrix(),
                            random_point(dice, 250)},
                       {dice.between(20, 150), dice.between(20, 150), dice.between(2, 40)}};
    Bay bay;
    bay.bodies.push_back(
        body_of("chassis", Carrier::chassis, {obstacle_of("lid", Hazard::smooth_metal, lid)}));
    bay.bodies.push_back(
        body_of("engine", Carrier::engine, {obstacle_of("part", Hazard::smooth_metal, part)}));
    ProofStore store;
    const std::pair<std::size_t, std::size_t> pair{1, 0};
    const EnginePlaces places = places_about(
        motion_of(dice.between(0, 4), dice.between(0, 10), dice.between(0, 15), dice.between(0, 10), 8),
        {0, 0, -100});
    const PartsInMotion parts = prove_parts_in_motion(
        bay, store, gaps, std::span(&pair, 1), [](ObstacleRef, ObstacleRef) { return true; }, places, {});
    double least = std::numeric_limits<double>::infinity();
    for (int sample = 0; sample < 200; ++sample) {
      const Vec3 centre = places.moved(random_place(dice, places)).point(part.centre_mm);
      least = std::min(least, signed_distance_mm(lid, centre) - part.radius_mm);
    }
    if (parts.proved) {
      CHECK(least >= required - 0.3);
      ++proved;
      if (!parts.near.empty()) CHECK(parts.near[0].found_mm >= required - 0.3);
    } else if (parts.near[0].answer == PartInMotion::Answer::comes_short) {
      const Vec3 centre = places.moved(parts.near[0].place).point(part.centre_mm);
      const double there = signed_distance_mm(lid, centre) - part.radius_mm;
      CHECK(std::max(0.0, there) == Approx(parts.near[0].found_mm).margin(0.06));
      inside += there < -part.radius_mm ? 1 : 0;
      CHECK(there < required);
      ++refuted;
    } else {
      ++left;
    }
  }
  CHECK(proved > 100);
  CHECK(refuted > 20);
  CHECK(inside > 0);
  CHECK(left * 50 <= proved + refuted);
}

TEST_CASE(
    "the bound over a box of places takes off all ways at once, along the slope only where the foe is "
    "convex") {
  LineLink link;
  link.to_s_mm = 100;
  link.radius_mm = 5;
  const LineInMotion line(0, Straight{Vec3::Zero(), Vec3(100, 0, 0)}, link, false, EnginePlaces{});
  NodeMotion motion;
  motion.at = {Vec3::Zero(), Vec3(100, 0, 0)};
  motion.off = {0.5, 0.5};
  // Towards the plate 4 + 6, away from nothing; sideways 30, which costs nothing past a plate.
  motion.by[0] = {Vec3(0, 0, 4), Vec3(0, 0, 4)};
  motion.by[1] = {Vec3(0, 0, -6), Vec3(0, 0, -6)};
  motion.by[2] = {Vec3(0, 30, 0), Vec3(0, 30, 0)};
  motion.by[3] = {Vec3::Zero(), Vec3::Zero()};
  constexpr double kNeeded = 5 + 4 + 6 + 0.5;
  std::int64_t queries = 0;
  const auto doubt = [&](double plate_z, bool convex) {
    Foe plate{[plate_z](const Vec3& p) { return plate_z - p.z(); }, convex, false, {5.0}};
    return doubt_over_box(line, motion, plate, 0.25, queries);
  };
  CHECK_FALSE(doubt(kNeeded + 0.1, true));
  CHECK_FALSE(doubt(kNeeded - 0.2, true));
  const auto told = doubt(kNeeded - 0.3, true);
  REQUIRE(told);
  CHECK(told->bound_mm == Approx(-0.3).margin(1e-6));
  PlaceBox box{EnginePlace::Zero(), EnginePlace(1, 1, 1, 1)};
  CHECK(place_of(*told, box)[0] == Approx(1));   // the way that goes up
  CHECK(place_of(*told, box)[1] == Approx(-1));  // the way that goes down, turned round
  CHECK(doubt(kNeeded + 29, false));             // not known to be convex: sideways may bring it near
  CHECK_FALSE(doubt(kNeeded + 30.1, false));
}

TEST_CASE("a hose that each way alone leaves long enough and all together draw tight is not proved") {
  MovingJob job;
  // A flat bump between ends on one line: 10 mm or so longer than the straight way.
  job.add_line(*centreline_of(
      {{Vec3::Zero(), Vec3(100, 0, 0), Vec3(170, 30, 0), Vec3(230, 30, 0), Vec3(300, 0, 0), Vec3(400, 0, 0)},
       {80, 80, 80, 80}}));
  job.flex_line(0);
  job.routes[0].make = Make::elbows_and_straights;
  const double spare = length_mm(job.routes[0].centreline) - 400;
  REQUIRE(spare > 5);
  const double aside =
      std::sqrt(spare * 400);  // lengthens the straight way by half of what there is to spare
  const auto with = [&](double along, double up, double side) {
    return job.moved(places_about(motion_of(0, up, along, along, side), Vec3::Zero())).front();
  };
  CHECK(with(0.8 * spare, 0, 0).proved);
  CHECK(with(0, aside, 0).proved);
  CHECK(with(0, 0, aside).proved);
  const MotionLine all = with(0.8 * spare, aside, aside);
  CHECK(*all.least_slack < 0);
  CHECK_FALSE(all.proved);
  REQUIRE(find(all, RuleId::motion_shape));
  CHECK(*find(all, RuleId::motion_shape)->margin ==
        Approx(400 + spare - Vec3(400 + 0.8 * spare, aside, aside).norm()));
}

TEST_CASE(
    "a pipe that its engine lifts past the edge of a scan is undecided, with the place it is lifted to") {
  // A wall 60 mm beside the pipe that ends 20 mm above it: at rest the pipe is before the wall.
  const auto moved = [](double lift_mm, bool seen_from_both) {
    MovingJob job;
    job.add_line(straight_run());
    job.carry_line(0);
    TriangleMesh wall;
    add_plate(wall, {-600, 100, -900}, {1600, 0, 0}, {0, 0, 1000}, 8);
    Body chassis = *job.bay.bodies[0].body;
    Obstacle o = obstacle_of("scan", Hazard::smooth_metal,
                             MeshShape{"scan.ply", std::make_shared<const TriangleMesh>(std::move(wall))});
    o.closed = false;
    if (seen_from_both) o.seen_from = SeenFrom::both;
    chassis.obstacles.push_back(std::move(o));
    job.bay.bodies[0].body = std::make_shared<const Body>(std::move(chassis));
    return job.moved(places_about(motion_of(0, lift_mm, 0, 0, 0), {200, 0, 0})).front();
  };
  CHECK(find(moved(5, false), RuleId::unseen_space) == nullptr);
  const MotionLine lifted = moved(140, false);
  const Finding* told = find(lifted, RuleId::unseen_space);
  REQUIRE(told != nullptr);
  CHECK(told->undecided);
  CHECK_FALSE(lifted.proved);
  CHECK(std::stod(told->parameters.at("up_mm")) == Approx(140));
  CHECK(find(moved(140, true), RuleId::unseen_space) == nullptr);
}
