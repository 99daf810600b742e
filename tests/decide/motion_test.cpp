// SPDX-License-Identifier: GPL-3.0-or-later
// The engine's motion in the verdict.
#include "solver/decide/motion.h"

#include <catch2/catch.hpp>

#include "solver/decide/height_cover.h"
#include "solver/decide/motion_search.h"
#include "tests/support/box_job.h"

using namespace hosefit;

namespace {

Candidate at(double height_mm) {
  Candidate candidate;
  candidate.height = Length::mm(height_mm);
  return candidate;
}

const Finding* find(const CandidateResult& result, RuleId rule) {
  for (const Finding& finding : result.findings)
    if (finding.rule == rule) return &finding;
  return nullptr;
}

MotionLine told(std::size_t line, std::vector<Finding> findings) {
  MotionLine out;
  out.line = line;
  out.findings = std::move(findings);
  out.proved = out.findings.empty();
  return out;
}

Finding about(RuleId rule, double missing_mm, bool undecided = false) {
  Finding finding;
  finding.rule = rule;
  finding.severity = Severity::stop;
  finding.undecided = undecided;
  finding.margin = -missing_mm;
  finding.unit = FindingUnit::mm;
  return finding;
}

Route straight_route(std::size_t line, Make make, double length) {
  Route route;
  route.line = line;
  route.make = make;
  route.centreline.pieces = {Straight{Vec3::Zero(), Vec3(length, 0, 0)}};
  return route;
}

}  // namespace

TEST_CASE("a hose as long as the way between its ends fits while nothing moves and not when they part") {
  Job job = box_job::make();
  const Judgement still = judge(Prepared(Job(job)), at(300), {}, {});
  for (const Finding& finding : still.result.findings)
    UNSCOPED_INFO(
        word(finding.rule) << " " << finding.subject << " " << finding.other << " "
                           << (finding.parameters.contains("reason") ? finding.parameters.at("reason") : ""));
  CHECK(still.result.verdict.fit == Fit::fits);
  job.motion.forward = job.motion.rearward = Length::mm(6);
  const Judgement moved = judge(Prepared(std::move(job)), at(300), {}, {});
  CHECK(moved.result.verdict.fit == Fit::undecided);
  REQUIRE(moved.result.motion);
  CHECK_FALSE(moved.result.motion->proved());
  const Finding* tight = find(moved.result, RuleId::motion_shape);
  REQUIRE(tight);
  CHECK(tight->undecided);  // another way may hold
  CHECK(*tight->measured == Approx(160).margin(0.5));
  CHECK(*tight->limit == Approx(166).margin(0.5));  // 160 mm and the 6 mm that the engine goes rearward
}

TEST_CASE(
    "a hood that the intake clears at rest and meets when the engine lifts is an argument that stands") {
  Job job = box_job::make();  // hood over the intake, at rest: height <= 340; in motion 10 mm are wanted
  job.motion.lift = Length::mm(15);
  const Prepared prepared(std::move(job));
  const auto fit_at = [&](double height_mm) { return judge(prepared, at(height_mm), {}, {}); };
  const Judgement high = fit_at(338);  // 22 mm at rest, 7 with the engine up
  CHECK(high.result.verdict.fit == Fit::does_not_fit);
  CHECK_FALSE(high.result.lines_tried);
  const Finding* clash = find(high.result, RuleId::motion_clash);
  REQUIRE(clash);
  CHECK_FALSE(clash->undecided);
  CHECK(clash->other == "hood skin");
  CHECK(*clash->measured == Approx(7).margin(0.1));
  CHECK(*clash->limit == Approx(10));
  CHECK(clash->parameters.at("up_mm") == "15.0");
  CHECK(high.result.comparison.hindrance == Hindrance::part_in_the_way);
  CHECK(find(fit_at(334).result, RuleId::motion_clash) == nullptr);  // 11 mm with the engine up
}

TEST_CASE("a fit reaches no further over heights than it holds in motion") {
  Job job = box_job::make();
  job.vehicle.lines.clear();
  job.motion.lift = Length::mm(15);
  const Prepared prepared(std::move(job));
  const Judgement judgement = judge(prepared, at(330), {}, {});  // 30 mm at rest, 15 with the engine up
  REQUIRE(judgement.result.verdict.fit == Fit::fits);
  const HeightCover cover = height_cover(prepared, judgement);
  CHECK(cover.up_mm <= 5.3);  // 15 - 10, and the proof's 0.25 mm
  CHECK(cover.up_mm > 4);
}

TEST_CASE("a fit beside an open scan that moves with the height holds at its height only") {
  Job job = box_job::make();
  job.family.intakes[0].top[0].closed = false;
  job.vehicle.lines.clear();
  const Prepared prepared(std::move(job));
  const Judgement judgement = judge(prepared, at(320), {}, {});
  REQUIRE(judgement.result.verdict.fit == Fit::fits);
  const HeightCover cover = height_cover(prepared, judgement);
  CHECK(cover.up_mm == 0);
  CHECK(cover.down_mm == 0);
}

TEST_CASE("a misfit in motion reaches as far over heights as it misses") {
  Job job = box_job::make();
  job.motion.lift = Length::mm(15);
  const Prepared prepared(std::move(job));
  const Judgement judgement = judge(prepared, at(338), {}, {});
  REQUIRE(judgement.result.verdict.fit == Fit::does_not_fit);
  const HeightCover cover = height_cover(prepared, judgement);
  CHECK(cover.down_mm == Approx(3 - 0.3).margin(0.06));  // 3 mm short, less what both proofs may err
}

TEST_CASE(
    "of a line drawn tight a longer way is asked, of one bent too tightly wider bends, of one too near "
    "more room") {
  const Job job = box_job::make();
  const Prepared prepared{Job(job)};
  const Bay bay = assemble(job, prepared.bodies(), at(300));
  const std::vector<Route> routes{straight_route(0, Make::straight_hose, 200),
                                  straight_route(1, Make::straight_hose, 200)};
  MotionWishes wishes(bay);
  const std::vector<MotionLine> motion{told(0, {about(RuleId::motion_shape, 12)}), told(1, {})};
  CHECK(wishes.next(routes, motion) == std::vector<std::size_t>{0});
  CHECK(wishes.wishes()[0].least_length_mm >= 212);
  CHECK(wishes.wishes()[0].radius_factor == 1);
  CHECK(wishes.wishes()[1].least_length_mm == 0);
  const std::vector<MotionLine> bent{told(0, {about(RuleId::motion_bend, 20)}),
                                     told(1, {about(RuleId::motion_gap, 7)})};
  CHECK(wishes.next(routes, bent) == std::vector<std::size_t>{0, 1});
  CHECK(wishes.wishes()[0].radius_factor > 1.1);
  CHECK(wishes.wishes()[1].more_reserve_mm >= 7);
  CHECK(wishes.wishes()[1].least_length_mm == 0);
}

TEST_CASE("a make that never holds gives way to the next, and a line with none left is left alone") {
  Job job = box_job::make();
  for (Line& line : job.vehicle.lines) line.makes = {Make::bent_tube, Make::elbows_and_straights};
  const Prepared prepared{Job(job)};
  const Bay bay = assemble(job, prepared.bodies(), at(300));
  MotionWishes wishes(bay);
  const std::vector<Route> tube{straight_route(0, Make::bent_tube, 200)};
  const std::vector<MotionLine> turned{told(0, {about(RuleId::motion_coupler, 3)})};
  CHECK(wishes.next(tube, turned) == std::vector<std::size_t>{0});
  CHECK(wishes.wishes()[0].without == std::vector<Make>{Make::bent_tube});
  // Nothing was found without it, and it came back.
  CHECK(wishes.next(tube, turned).empty());
  const std::vector<Route> elbows{straight_route(0, Make::elbows_and_straights, 200)};
  const std::vector<MotionLine> short_of{told(0, {about(RuleId::motion_shape, 2)})};
  MotionWishes others(bay);
  int rounds = 0;
  while (!others.next(elbows, short_of).empty() && rounds < 20) ++rounds;
  CHECK(rounds > 1);
  CHECK(rounds < 15);  // a few for each of two makes
}

TEST_CASE("a line of few joints is asked to keep to few until its make is given up") {
  Job job = box_job::make();
  for (Line& line : job.vehicle.lines) line.makes = {Make::straight_hose, Make::elbows_and_straights};
  const Prepared prepared{Job(job)};
  const Bay bay = assemble(job, prepared.bodies(), at(300));
  MotionWishes wishes(bay);
  std::vector<Route> routes{straight_route(0, Make::straight_hose, 200)};
  const std::vector<MotionLine> short_of{told(0, {about(RuleId::motion_shape, 2)})};
  REQUIRE(routes[0].joints == 2);
  wishes.next(routes, short_of);
  CHECK(wishes.wishes()[0].few_joints);
  for (int round = 0; round < 20 && wishes.wishes()[0].without.empty(); ++round)
    wishes.next(routes, short_of);
  CHECK(wishes.wishes()[0].without == std::vector<Make>{Make::straight_hose});
  CHECK_FALSE(wishes.wishes()[0].few_joints);
  routes[0].make = Make::elbows_and_straights;
  routes[0].joints = 8;
  wishes.next(routes, short_of);
  CHECK_FALSE(wishes.wishes()[0].few_joints);
}

TEST_CASE("a line that only waits for another to take a shape is not searched for again") {
  const Job job = box_job::make();
  const Prepared prepared{Job(job)};
  const Bay bay = assemble(job, prepared.bodies(), at(300));
  Finding waits = about(RuleId::motion_gap, 0, true);
  waits.parameters["reason"] = "takes_no_shape";
  MotionWishes wishes(bay);
  CHECK(wishes
            .next(std::vector<Route>{straight_route(0, Make::straight_hose, 200)},
                  std::vector<MotionLine>{told(0, {waits})})
            .empty());
}
