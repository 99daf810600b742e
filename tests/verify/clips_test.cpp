// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "solver/verify/clip_places.h"
#include "solver/verify/line_shapes.h"
#include "tests/verify/moving_job.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

ClipPlace clip_at(double s_mm, Carrier carrier, std::size_t obstacle = 0) {
  ClipPlace clip;
  clip.s_mm = s_mm;
  clip.outside_diameter_mm = kHoseOutside_mm;
  clip.carrier = carrier;
  clip.to = ObstacleRef{carrier == Carrier::engine ? 1U : 0U, obstacle};
  return clip;
}

std::vector<double> places_of(const std::vector<ClipPlace>& clips) {
  std::vector<double> out;
  for (const ClipPlace& clip : clips) out.push_back(clip.s_mm);
  return out;
}

// A post of 20 mm radius whose surface stands `off` from the hose, under it at x.
Shape post_under(double x_mm, double off_mm) {
  return SphereShape{{x_mm, 0, -(kHoseOutside_mm / 2 + off_mm + 20)}, 20};
}

}  // namespace

TEST_CASE("a line gets as few clips as its free length asks for, and none when it is short") {
  for (const double length : {200.0, 300.0, 301.0, 599.0, 600.0, 601.0, 1000.0}) {
    CAPTURE(length);
    PlainJob job;
    job.add_line(straight_run(length));
    job.add_obstacle("plate", plate_above(60));
    const auto clips = clip_places(job.bay, ProofBodies(job.bay), job.routes[0], 300);
    CHECK(clips.size() == static_cast<std::size_t>(std::ceil(length / 300)) - 1);
    double from = 0;
    for (const ClipPlace& clip : clips) {
      CHECK(clip.s_mm - from <= 300 + 1e-9);
      CHECK(clip.outside_diameter_mm == kHoseOutside_mm);
      from = clip.s_mm;
    }
    CHECK((clips.empty() ? 0.0 : length - from) <= 300 + 1e-9);
  }
}

TEST_CASE("a clip goes where its bracket is shortest, on smooth metal of the line's own carrier") {
  PlainJob job;
  job.add_line(straight_run(500));
  job.add_obstacle("far post", post_under(215, 90));
  job.add_obstacle("near post", post_under(270, 30));
  job.add_obstacle("exhaust", post_under(250, 5), Hazard::bare_exhaust);
  job.add_obstacle("post out of the clip's way", post_under(450, 1));
  const auto clips = clip_places(job.bay, ProofBodies(job.bay), job.routes[0], 300);
  REQUIRE(clips.size() == 1);
  REQUIRE(clips[0].to);
  CHECK(*clips[0].to == ObstacleRef{0, 1});
  CHECK(clips[0].s_mm == Approx(270).margin(5));
  CHECK(clips[0].reach_mm == Approx(30).margin(0.5));
  CHECK(clips[0].carrier == Carrier::chassis);
}

TEST_CASE("nothing within a bracket's reach, or only metal that moves against the line, holds no clip") {
  MovingJob job;
  job.add_line(straight_run(500));
  job.add_obstacle("post", post_under(250, kLongestBracket_mm + 1));
  Body engine = *job.bay.bodies[1].body;
  engine.obstacles.push_back(obstacle_of("rocker cover", Hazard::smooth_metal, post_under(250, 10)));
  job.bay.bodies[1].body = std::make_shared<const Body>(std::move(engine));
  const auto clips = clip_places(job.bay, ProofBodies(job.bay), job.routes[0], 300);
  REQUIRE(clips.size() == 1);
  CHECK_FALSE(clips[0].to);
  CHECK(clip_layouts(clips, Carrier::chassis) == std::vector<std::vector<ClipPlace>>{{}});
  CHECK(free_stretches(job.bay, job.routes[0], clips).size() == 1);
}

TEST_CASE("clips pass from the first neck's carrier to the second's and never back") {
  MovingJob job;
  job.add_line(straight_run(1400));
  job.flex_line(0);  // it ends on the engine
  Body engine = *job.bay.bodies[1].body;
  // Metal of the engine is nearer at the second clip, of the chassis at the third: one of them gives way.
  engine.obstacles.push_back(obstacle_of("engine", Hazard::smooth_metal, post_under(1120, 20)));
  engine.obstacles.push_back(obstacle_of("engine again", Hazard::smooth_metal, post_under(560, 40)));
  job.bay.bodies[1].body = std::make_shared<const Body>(std::move(engine));
  for (const double x : {280.0, 560.0, 840.0}) job.add_obstacle("rail", post_under(x, 60));
  const auto clips = clip_places(job.bay, ProofBodies(job.bay), job.routes[0], 300);
  REQUIRE(clips.size() == 4);
  CHECK(clips[0].carrier == Carrier::chassis);
  CHECK(clips[1].carrier == Carrier::chassis);
  CHECK(clips[2].carrier == Carrier::chassis);
  CHECK(clips[3].carrier == Carrier::engine);
}

TEST_CASE("layouts leave out ever more of the clips beside the change of carrier, each way once") {
  const std::vector<ClipPlace> all{clip_at(100, Carrier::chassis), clip_at(200, Carrier::chassis),
                                   clip_at(300, Carrier::engine), clip_at(400, Carrier::engine)};
  std::vector<std::vector<double>> told;
  for (const auto& layout : clip_layouts(all, Carrier::chassis)) told.push_back(places_of(layout));
  CHECK(told == std::vector<std::vector<double>>{{100, 200, 300, 400},
                                                 {100, 300, 400},
                                                 {100, 200, 400},
                                                 {300, 400},
                                                 {100, 400},
                                                 {100, 200},
                                                 {400},
                                                 {100},
                                                 {}});
  const std::vector<ClipPlace> one{clip_at(100, Carrier::engine)};
  CHECK(clip_layouts(one, Carrier::engine).size() == 2);
}

TEST_CASE("what a clip holds to the chassis stands still while the engine moves the rest") {
  // A long way out and back, ends on chassis and engine; a wall on the chassis beside its first part.
  MovingJob job;
  job.add_line(chain({Vec3::Zero(), Vec3(500, 0, 0), Vec3(500, 400, 0), Vec3(300, 400, 0)}, 80));
  job.flex_line(0);
  job.routes[0].make = Make::elbows_and_straights;
  const double required =
      job.gaps.row(Runner::hose, Hazard::smooth_metal, true).after_motion.mm();  // held to the chassis
  job.add_obstacle("wall", BoxShape{Pose::translation({150, -(kHoseOutside_mm / 2 + required + 0.5 + 10), 0}),
                                    {150, 10, 100}});
  const EnginePlaces places = places_about(motion_of(0, 2, 10, 10, 15), Vec3::Zero());
  const auto wall_short = [](const MotionLine& line) {
    return std::any_of(line.findings.begin(), line.findings.end(), [](const Finding& f) {
      return f.rule == RuleId::motion_gap && f.other == "wall" && !f.undecided;
    });
  };
  CHECK(wall_short(job.moved(places).front()));
  job.clips = {{clip_at(330, Carrier::chassis)}};
  const MotionLine held = job.moved(places).front();
  CHECK(held.clips.size() == 1);
  CHECK_FALSE(wall_short(held));
  CHECK(held.proved);
  // Both stretches run near it; it is told once, where it is tightest.
  const auto walls = [](const MotionLine& line) {
    return std::count_if(line.gaps.begin(), line.gaps.end(),
                         [](const MotionGap& g) { return g.other == "wall"; });
  };
  CHECK(walls(held) == 1);
  CHECK(held.gaps.front().found_mm == Approx(required + 0.5).margin(0.05));
  // The stretch between clip and engine is shorter, so it has less to give.
  CHECK(*held.least_slack <
        *job.moved(places_about(motion_of(0, 0, 0, 0, 0), Vec3::Zero())).front().least_slack);
}

TEST_CASE("a clip that leaves no slack is left out, and the answer says so") {
  MovingJob job;
  job.add_line(chain({Vec3::Zero(), Vec3(200, 0, 0), Vec3(200, 500, 0)}, 80));
  job.flex_line(0);
  job.routes[0].make = Make::elbows_and_straights;
  job.clips = {{clip_at(350, Carrier::chassis)}};  // from there the line runs straight to its neck
  const EnginePlaces along = places_about(motion_of(0, 0, 1, 1, 8), Vec3::Zero());
  const MotionLine line = job.moved(along).front();
  CHECK(line.clips.empty());
  CHECK(line.proved);
  CHECK(*line.least_slack > 0);
}

TEST_CASE("a line that the engine folds onto itself is refused, and one with room is not") {
  // Two legs side by side; the engine carries the end of the second towards the first.
  for (const double legs_apart : {75.0, 120.0}) {
    CAPTURE(legs_apart);
    MovingJob job;
    const double radius = legs_apart / 2;
    job.add_line(chain({Vec3::Zero(), Vec3(300, 0, 0), Vec3(300, legs_apart, 0), Vec3(0, legs_apart, 0)},
                       radius * 0.999));
    job.flex_line(0);
    job.routes[0].make = Make::elbows_and_straights;
    const MotionLine line = job.moved(places_about(motion_of(0, 0, 0, 0, 30), Vec3(0, 0, 0))).front();
    const auto itself = std::find_if(line.findings.begin(), line.findings.end(), [](const Finding& f) {
      return f.rule == RuleId::motion_gap && f.other == "itself";
    });
    CHECK((itself != line.findings.end()) == (legs_apart < 100));
    if (legs_apart < 100) {
      CHECK_FALSE(itself->undecided);
      // At the far end the legs come 30 mm nearer, less where the bend holds them apart.
      CHECK(*itself->measured > legs_apart - 30 - kHoseOutside_mm - 0.5);
      CHECK(*itself->measured < 0);
    }
  }
}

TEST_CASE("a line whose tight turn a clip keeps is held against itself all the same") {
  // Out and back beside itself with 3 mm between, held behind the turn; the engine carries the far end
  // across. The part that moves bends widely, so its own bends would call everything here neighbours.
  MovingJob job;
  job.add_line(
      *centreline_of({{Vec3::Zero(), Vec3(320, 0, 0), Vec3(320, 51, 0), Vec3(40, 51, 0), Vec3(40, 51, 300)},
                      {25.49, 25.49, 220}}));
  job.flex_line(0);
  job.routes[0].make = Make::elbows_and_straights;
  const double behind_turn = 320 - 25.5 + std::numbers::pi * 25.5 + 5;
  job.clips = {{clip_at(behind_turn, Carrier::chassis)}};
  const EnginePlaces across = places_about(motion_of(0, 0, 0, 0, 75), Vec3::Zero());
  const MotionLine line = job.moved(across).front();
  REQUIRE(line.clips.size() == 1);
  REQUIRE(*line.least_slack > 0);
  const auto itself = std::find_if(line.findings.begin(), line.findings.end(), [](const Finding& f) {
    return f.rule == RuleId::motion_gap && f.other == "itself";
  });
  REQUIRE(itself != line.findings.end());
  CHECK_FALSE(itself->undecided);
  CHECK(*itself->measured < 0);
}

TEST_CASE("a line beside one that takes no shape is not called proved") {
  MovingJob job;
  job.add_line(straight_run());
  job.add_line(chain({Vec3(0, 0, 300), Vec3(400, 0, 300)}, 0));
  job.flex_line(0);   // drawn tight
  job.carry_line(1);  // goes with the engine as it is
  const auto lines = job.moved(places_about(motion_of(0, 0, 12, 12, 0), Vec3::Zero()));
  REQUIRE(find(lines[0], RuleId::motion_shape));
  CHECK_FALSE(lines[1].proved);
  REQUIRE(find(lines[1], RuleId::motion_gap));
  CHECK(find(lines[1], RuleId::motion_gap)->undecided);
  CHECK(find(lines[1], RuleId::motion_gap)->parameters.at("reason") == "takes_no_shape");
}

TEST_CASE("a line beside one whose shape at rest is not found is not called proved either") {
  MovingJob job;
  // A flat S with much too much hose: let go, it would roll out of its plane (tests/rod has the closed form).
  job.add_line(chain({Vec3::Zero(), Vec3(400, 0, 0), Vec3(0, 250, 0), Vec3(400, 250, 0)}, 60));
  job.add_line(chain({Vec3(0, 0, 600), Vec3(400, 0, 600)}, 0));
  job.flex_line(0);
  job.carry_line(1);
  job.routes[0].make = Make::straight_hose;
  const auto lines = job.moved(places_about(motion_of(0, 0, 0, 0, 0), Vec3::Zero()));
  const auto at_rest = [](const Finding& f) {
    const auto reason = f.parameters.find("reason");
    return f.rule == RuleId::motion_shape && reason != f.parameters.end() &&
           reason->second == "no_shape_at_rest";
  };
  CHECK(std::any_of(lines[0].findings.begin(), lines[0].findings.end(), at_rest));
  CHECK_FALSE(lines[1].proved);
  REQUIRE(find(lines[1], RuleId::motion_gap));
  CHECK(find(lines[1], RuleId::motion_gap)->undecided);
}
