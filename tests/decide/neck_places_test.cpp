// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/neck_places.h"

#include <algorithm>
#include <catch2/catch.hpp>

#include "solver/decide/height_cover.h"
#include "tests/support/box_job.h"

using namespace hosefit;

namespace {

NeckSlide slide(const Vec3& along, double from, double to, double step) {
  return {along, Length::mm(from), Length::mm(to), Length::mm(step)};
}

// The top neck of the box bay's radiator, which the upper hose reaches along a straight line.
Neck& top_neck(Job& job) {
  return job.vehicle.necks[0];
}

void add_to_chassis(Job& job, Obstacle obstacle) {
  Body chassis = *job.vehicle.chassis;
  chassis.obstacles.push_back(std::move(obstacle));
  job.vehicle.chassis = std::make_shared<const Body>(std::move(chassis));
}

// The top neck 60 mm further out, behind a plate: nothing can be pushed on. Hose of 24 mm radius keeps 15 mm,
// so it needs 39 mm to the plate's edge at y = 140; and it reaches the pump along a straight line only, there
// is no room for two bends of 265 mm. So of every 20 mm only y = 100 will do.
Job blocked_job() {
  Job job = box_job::make();
  top_neck(job).end_mm.value.y() = 160;
  add_to_chassis(job, box_job::box("plate", {60, 160, 700}, {4, 20, 20}));
  return job;
}
NeckChoice inward(double furthest_mm, double step_mm = 20) {
  return NeckChoice{{}, {slide(Vec3::UnitY(), -furthest_mm, 0, step_mm)}, std::nullopt};
}

Judgement judged(const Prepared& prepared, double height_mm = 300) {
  Candidate candidate;
  candidate.height = Length::mm(height_mm);
  return judge(prepared, candidate, Budget{}, {});
}

Judgement judged(Job job, double height_mm = 300) {
  const Prepared prepared(std::move(job));
  return judged(prepared, height_mm);
}

const Finding* find(const CandidateResult& result, RuleId rule) {
  for (const Finding& f : result.findings)
    if (f.rule == rule) return &f;
  return nullptr;
}

}  // namespace

TEST_CASE("where the lines lie with the necks as written, none is moved") {
  Job job = box_job::make();
  top_neck(job).choice = NeckChoice{{}, {slide(Vec3::UnitY(), -60, 60, 20)}, std::nullopt};
  const CandidateResult result = judged(job).result;
  REQUIRE(result.verdict.fit == Fit::fits);
  CHECK(result.candidate.neck_places.empty());
  REQUIRE(result.necks.size() == 1);
  CHECK(result.necks[0].as_written);
  CHECK(result.necks[0].end_mm == Vec3(40, 100, 700));
  CHECK(find(result, RuleId::neck_elsewhere) == nullptr);
  // As if there were nothing to choose.
  const CandidateResult without = judged(box_job::make()).result;
  CHECK(result.comparison.length_mm == without.comparison.length_mm);
  CHECK(result.comparison.least_spare_mm == without.comparison.least_spare_mm);
}

TEST_CASE("a neck that is blocked where it is written is moved as little as frees it, and that is told") {
  REQUIRE(judged(blocked_job()).result.verdict.fit == Fit::does_not_fit);
  Job job = blocked_job();
  top_neck(job).choice = inward(69, 3);
  const CandidateResult result = judged(job).result;
  REQUIRE(result.verdict.fit == Fit::fits);
  REQUIRE(result.necks.size() == 1);
  CHECK_FALSE(result.necks[0].as_written);
  CHECK(result.necks[0].place.slid[0] == Length::mm(-60));
  CHECK(result.necks[0].end_mm == Vec3(40, 100, 700));
  const Finding* told = find(result, RuleId::neck_elsewhere);
  REQUIRE(told != nullptr);
  CHECK(told->severity == Severity::flag);
  CHECK(told->subject == "radiator.top");
  CHECK(*told->where_mm == Vec3(40, 100, 700));
  CHECK(told->parameters == std::map<std::string, std::string>{{"left_mm", "60.000"}});
  CHECK(result.comparison.necks_moved == 1);
  REQUIRE(result.changes.size() == 1);
  CHECK(result.changes[0] == "neck: radiator.top in another place");
}

TEST_CASE("the hose of a moved neck ends on it, proved in the bay with the neck there") {
  Job job = blocked_job();
  top_neck(job).choice = inward(120);
  const Prepared prepared(std::move(job));
  const Judgement judgement = judged(prepared);
  REQUIRE(judgement.result.verdict.fit == Fit::fits);
  const Bay bay = assemble(prepared.job(), prepared.bodies(), judgement.result.candidate);
  const ProofBodies bodies(bay);
  const ProofReport proof =
      prove(bay, bodies, judgement.result.routes, prepared.job().gaps, prepared.job().stock, ProofOptions{});
  for (const LineProof& line : proof.lines) CHECK(line.proved);
  // The very same hoses with the neck where it was written are refused.
  Candidate written = judgement.result.candidate;
  written.neck_places.clear();
  const Judgement back = judge_routed(prepared, written, judgement.result.searches);
  CHECK(back.result.verdict.fit != Fit::fits);
}

TEST_CASE("that a neck is blocked is an argument only if it is blocked at every place it may have") {
  Job job = blocked_job();
  top_neck(job).choice = inward(40);
  const CandidateResult everywhere = judged(job).result;
  CHECK(everywhere.verdict.fit == Fit::does_not_fit);
  REQUIRE(find(everywhere, RuleId::stub_blocked) != nullptr);

  // One place more, where hose can be pushed on and no way is found, though none is ruled out.
  top_neck(job).choice = inward(120, 120);
  const CandidateResult somewhere = judged(job).result;
  CHECK(somewhere.verdict.fit == Fit::undecided);
  CHECK(find(somewhere, RuleId::stub_blocked) == nullptr);
}

TEST_CASE("what goes along with a neck is no argument against another line, since it may stand elsewhere") {
  Job job = box_job::make();
  // Before the lower neck, but it goes along with the upper.
  add_to_chassis(job, box_job::box("bracket", {60, -100, 400}, {4, 20, 20}));
  REQUIRE(judged(job).result.verdict.fit == Fit::does_not_fit);
  top_neck(job).choice = NeckChoice{{"bracket"}, {slide(Vec3::UnitZ(), 0, 300, 300)}, std::nullopt};
  const CandidateResult result = judged(job).result;
  CHECK(result.verdict.fit == Fit::undecided);
  CHECK(find(result, RuleId::stub_blocked) == nullptr);
  // Something that stays is one.
  add_to_chassis(job, box_job::box("plate", {64, -100, 400}, {4, 20, 20}));
  CHECK(judged(job).result.verdict.fit == Fit::does_not_fit);
}

TEST_CASE("what goes along with a neck must have room where it is moved to") {
  Job job = blocked_job();
  add_to_chassis(job, box_job::box("root", {10, 160, 640}, {10, 10, 10}));
  top_neck(job).on = {"root"};
  top_neck(job).choice = inward(120);
  top_neck(job).choice->with = {"root"};
  REQUIRE(judged(job).result.necks[0].place.slid[0] == Length::mm(-60));
  // Beside the moved root, 12 mm wanted.
  Job room = job;
  add_to_chassis(room, box_job::box("bracket", {10, 127.5, 640}, {5, 5, 5}));
  CHECK(judged(room).result.necks[0].place.slid[0] == Length::mm(-60));
  Job tight = job;
  add_to_chassis(tight, box_job::box("bracket", {10, 126.5, 640}, {5, 5, 5}));
  CHECK(judged(tight).result.verdict.fit != Fit::fits);
  // What the neck grows out of may touch it.
  top_neck(tight).on = {"root", "bracket"};
  CHECK(judged(tight).result.necks[0].place.slid[0] == Length::mm(-60));
}

TEST_CASE("what goes along with a neck and clashes with the candidate where it is written is moved first") {
  Job job = box_job::make();
  // The pump's outlet arm reaches to x = 310, y 80 to 120, z 680 to 720: 7 mm before this root, 15 wanted.
  add_to_chassis(job, box_job::box("root", {290, 160, 720}, {8, 33, 8}));
  const CandidateResult fixed = judged(job).result;
  REQUIRE(fixed.verdict.fit == Fit::does_not_fit);
  REQUIRE(find(fixed, RuleId::rigid_clash) != nullptr);
  CHECK_FALSE(find(fixed, RuleId::rigid_clash)->undecided);

  top_neck(job).choice = NeckChoice{{"root"}, {slide(Vec3::UnitY(), 0, 40, 40)}, std::nullopt};
  const CandidateResult result = judged(job).result;
  CHECK(find(result, RuleId::rigid_clash) == nullptr);
  REQUIRE(result.necks.size() == 1);
  CHECK(result.necks[0].place.slid[0] == Length::mm(40));

  // With no place that frees it, the clash is told and is no argument.
  top_neck(job).choice = NeckChoice{{"root"}, {slide(Vec3::UnitY(), 0, 4, 4)}, std::nullopt};
  const CandidateResult stuck = judged(job).result;
  REQUIRE(find(stuck, RuleId::rigid_clash) != nullptr);
  CHECK(find(stuck, RuleId::rigid_clash)->undecided);
  CHECK(stuck.verdict.fit == Fit::undecided);
}

TEST_CASE("what goes along with a neck must have room with the engine moving too") {
  Job job = box_job::make();
  // Side by side with the pump's outlet arm, whose side is at y = 120: 7 mm apart, 17, 27 and 37 in its other
  // places. At rest 15 are wanted, with the engine moving 7.5.
  add_to_chassis(job, box_job::box("root", {290, 135, 720}, {8, 8, 8}));
  top_neck(job).choice = NeckChoice{{"root"}, {slide(Vec3::UnitY(), 0, 30, 10)}, std::nullopt};
  REQUIRE(judged(job).result.necks[0].place.slid[0] == Length::mm(10));
  job.motion.sideways = Length::mm(15);
  CHECK(judged(job).result.necks[0].place.slid[0] == Length::mm(20));
}

// The tank's face is at x = 30: the tube is free over its 35 mm from x = 65 back, and over 25 from x = 55.
TEST_CASE("a neck is not moved so far into what it grows out of that less hose can be pushed on") {
  Job job = blocked_job();
  top_neck(job).end_mm.value.x() = 65;
  add_to_chassis(job, box_job::box("plate", {90, 160, 700}, {4, 20, 20}));
  add_to_chassis(job, box_job::box("tank", {0, 100, 700}, {30, 150, 25}));
  top_neck(job).on = {"tank"};
  top_neck(job).choice = NeckChoice{{}, {slide(Vec3(-1, -6, 0).normalized(), 0, 60.83, 60.83)}, std::nullopt};
  const Prepared prepared(std::move(job));
  Candidate candidate;
  candidate.height = Length::mm(300);
  NeckRoom room(prepared, candidate);
  CHECK(room.clear(0, 0));
  CHECK_FALSE(room.clear(0, 1));  // 10 mm in
  CHECK(judged(prepared).result.candidate.neck_places.empty());
}

TEST_CASE("the fan keeps off a core that goes along with a neck, moved or not") {
  Job job = box_job::make();
  job.vehicle.fan = box_job::body("fan", Carrier::chassis,
                                  {box_job::box("fan disc", {150, 0, 550}, {5, 60, 60}, Hazard::fan)});
  // 5 mm before the disc, where 12 mm are wanted.
  add_to_chassis(job, box_job::box("side core", {130, 0, 550}, {10, 40, 40}, Hazard::radiator_core));
  const CandidateResult fixed = judged(job).result;
  REQUIRE(find(fixed, RuleId::fan_to_core) != nullptr);
  top_neck(job).choice = NeckChoice{{"side core"}, {slide(Vec3::UnitX(), 0, 4, 4)}, std::nullopt};
  CHECK(judged(job).result.verdict.fit != Fit::fits);
  CHECK(find(judged(job).result, RuleId::fan_to_core) != nullptr);
  top_neck(job).choice->slides[0] = slide(Vec3::UnitX(), -8, 0, 8);  // 13 mm
  const CandidateResult back = judged(job).result;
  CHECK(find(back, RuleId::fan_to_core) == nullptr);
  CHECK(back.necks[0].place.slid[0] == Length::mm(-8));
}

TEST_CASE("a turned neck takes the hose that the written one could not take") {
  Job job = box_job::make();
  top_neck(job).outward = Vec3::UnitY();  // square to the way: 265 mm radius do not turn in there
  REQUIRE(judged(job).result.verdict.fit != Fit::fits);
  top_neck(job).choice =
      NeckChoice{{}, {}, NeckTurn{{40, 100, 700}, Vec3::UnitZ(), {Angle::deg(90), Angle::deg(-90)}}};
  const CandidateResult result = judged(job).result;
  REQUIRE(result.verdict.fit == Fit::fits);
  CHECK(result.necks[0].place.turned.deg() == Approx(-90));
  CHECK((result.necks[0].outward - Vec3::UnitX()).norm() < 1e-12);
  CHECK(find(result, RuleId::neck_elsewhere)->parameters.at("turned_deg") == "-90");
}

TEST_CASE("the answer with necks to choose is the same however the question is put") {
  Job job = blocked_job();
  top_neck(job).choice =
      NeckChoice{{}, {slide(Vec3::UnitY(), -120, 0, 20), slide(Vec3::UnitZ(), -40, 0, 40)}, std::nullopt};
  const Prepared prepared(std::move(job));
  const CandidateResult first = judged(prepared).result;
  REQUIRE(first.verdict.fit == Fit::fits);
  REQUIRE_FALSE(first.candidate.neck_places.empty());
  // Asked for with necks elsewhere already, as a window does that shows an earlier answer.
  Candidate asked = first.candidate;
  asked.neck_places = {first.candidate.neck_places[0] + 3};
  CHECK(judge(prepared, asked, Budget{}, {}).result.candidate == first.candidate);
}

TEST_CASE("a blocked neck with places to choose says nothing of other heights") {
  const Prepared fixed(blocked_job());
  const HeightCover stands = height_cover(fixed, judged(fixed));
  CHECK(stands.fit == Fit::does_not_fit);
  CHECK(stands.up_mm > 50);
  Job job = blocked_job();
  top_neck(job).choice = inward(40);
  const Prepared prepared(std::move(job));
  const HeightCover chosen = height_cover(prepared, judged(prepared));
  CHECK(chosen.fit == Fit::does_not_fit);
  CHECK(chosen.up_mm == 0);
  CHECK(chosen.down_mm == 0);
}

TEST_CASE("a neck that is in the way says nothing of other heights beside what does") {
  Job job = box_job::make();
  add_to_chassis(job, box_job::box("root", {290, 160, 720}, {8, 33, 8}));  // 7 mm before the pump's arm
  top_neck(job).choice = NeckChoice{{"root"}, {slide(Vec3::UnitY(), 0, 4, 4)}, std::nullopt};
  const Prepared prepared(std::move(job));
  const Judgement high = judged(prepared, 345);  // 5 mm too high for the hood
  REQUIRE(find(high.result, RuleId::rigid_clash) != nullptr);
  const HeightCover cover = height_cover(prepared, high);
  CHECK(cover.fit == Fit::does_not_fit);
  CHECK(cover.down_mm > 0);
  CHECK(cover.down_mm < 5);
}

TEST_CASE("both necks of a line are chosen together") {
  Job job = box_job::make();
  job.vehicle.lines.push_back(box_job::line("across", "tank.out", "tank.in", Duty::vent));
  job.vehicle.necks.push_back(box_job::neck("tank.out", {200, 400, 600}, Vec3::UnitX()));
  job.vehicle.necks.push_back(box_job::neck("tank.in", {500, 400, 640}, -Vec3::UnitX()));
  // 40 aside: two bends of 265 mm take sqrt(4 265 40 - 40^2) = 202 mm, with 48 straight between them and a
  // lead at either end. of 24.
  REQUIRE(judged(job).result.verdict.fit == Fit::fits);
  job.vehicle.necks[3].end_mm.value.x() = 440;
  const Job by_one = [job]() mutable {
    job.vehicle.necks[3].end_mm.value.x() = 480;
    return job;
  }();
  REQUIRE(judged(by_one).result.verdict.fit != Fit::fits);
  const CandidateResult short_of_room = judged(job).result;
  REQUIRE(short_of_room.verdict.fit != Fit::fits);
  for (const std::size_t which : {2, 3})
    job.vehicle.necks[which].choice =
        NeckChoice{{}, {slide(Vec3::UnitX(), which == 2 ? -40 : 0, which == 2 ? 0 : 40, 40)}, std::nullopt};
  const CandidateResult result = judged(job).result;
  REQUIRE(result.verdict.fit == Fit::fits);
  REQUIRE(result.necks.size() == 2);
  CHECK(result.necks[0].place.slid[0] == Length::mm(-40));
  CHECK(result.necks[1].place.slid[0] == Length::mm(40));
}
