// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/tee_places.h"

#include <algorithm>
#include <catch2/catch.hpp>

#include "solver/decide/height_cover.h"
#include "solver/decide/part_gaps.h"
#include "solver/decide/tee_findings.h"
#include "solver/verify/clip_places.h"
#include "tests/support/tee_job.h"

using namespace hosefit;

namespace {

Judgement judged(const Prepared& prepared, double height_mm = 300) {
  Candidate candidate;
  candidate.height = Length::mm(height_mm);
  return judge(prepared, candidate, Budget{}, {});
}

const Finding* find(const CandidateResult& result, RuleId rule) {
  for (const Finding& f : result.findings)
    if (f.rule == rule) return &f;
  return nullptr;
}

std::string why(const CandidateResult& result) {
  std::string out;
  for (const Finding& f : result.findings)
    if (f.severity == Severity::stop)
      out += std::string(word(f.rule)) + " " + f.subject + " " + f.other + "; ";
  return out;
}

Tee within(double least_mm, double most_mm, bool from_start = true) {
  Tee tee = tee_job::tee();
  tee.within = TeeStretch{from_start, Length::mm(least_mm), Length::mm(most_mm)};
  return tee;
}

Route with_centreline(std::vector<Vec3> points_mm, std::vector<double> radii_mm) {
  Route route;
  route.stock = "straight 38";
  const auto centreline = centreline_of({std::move(points_mm), std::move(radii_mm)});
  REQUIRE(centreline);
  route.centreline = *centreline;
  return route;
}

PlacedNeck facing(const Vec3& at_mm) {
  PlacedNeck neck;
  neck.end_mm = at_mm;
  neck.outward = -Vec3::UnitY();
  return neck;
}

}  // namespace

TEST_CASE(
    "with a tee free to stand anywhere on a straight line its three hoses are proved, at rest and in "
    "motion") {
  const Prepared prepared(tee_job::make());
  const Judgement judgement = judged(prepared);
  const CandidateResult& result = judgement.result;
  INFO(why(result));
  REQUIRE(result.verdict.fit == Fit::fits);
  REQUIRE(result.candidate.tees.size() == 1);
  REQUIRE(result.routes.size() == 5);
  for (const LineProof& line : result.proof.lines) CHECK(line.proved);
  REQUIRE(result.motion);
  for (const MotionLine& line : result.motion->lines) CHECK(line.proved);
  // The branch faces the bottle: nowhere is the hose between them shorter.
  const TeeStand& stand = result.candidate.tees.front();
  CHECK(stand.middle_mm.isApprox(Vec3(399, 300, 700), 1e-9));
  CHECK(stand.clock == Angle::deg(270));
  const Finding* told = find(result, RuleId::tee_stands);
  REQUIRE(told != nullptr);
  CHECK(told->severity == Severity::note);
  CHECK(told->parameters.at("distance_mm") == "199.000");
  CHECK(told->parameters.at("from") == "side.front");
  // Nothing is told of the flow, and why.
  CHECK_FALSE(result.flow);
  CHECK(find(result, RuleId::tee_flow) != nullptr);
  CHECK(find(result, RuleId::tee_not_placed) == nullptr);
}

TEST_CASE("a tee stands within the range it was given, measured from the end it names") {
  for (const bool from_start : {true, false}) {
    const Prepared prepared(tee_job::make(within(100, 130, from_start)));
    const Judgement judgement = judged(prepared);
    INFO(why(judgement.result));
    REQUIRE(judgement.result.verdict.fit == Fit::fits);
    const auto distance_mm =
        tee_distance_mm(*prepared.job().vehicle.tee, *judgement.bay, judgement.result.routes);
    REQUIRE(distance_mm);
    CHECK(*distance_mm == Approx(130));
    const double x = judgement.result.candidate.tees.front().middle_mm.x();
    CHECK(x == Approx(from_start ? 330 : 470));
  }
}

TEST_CASE("no tee is put where its line is too short beside it, and nothing is then said against its lines") {
  for (const Tee& tee : {within(0, 78), within(322, 400), within(0, 78, false)}) {
    const CandidateResult result = judged(Prepared(tee_job::make(tee))).result;
    CHECK(result.verdict.fit == Fit::undecided);
    CHECK(result.candidate.tees.empty());
    const Finding* told = find(result, RuleId::tee_not_placed);
    REQUIRE(told != nullptr);
    CHECK(told->undecided);
    CHECK(told->parameters.at("reason") == "no_straight");
  }
  CHECK(judged(Prepared(tee_job::make(within(100, 100)))).result.candidate.tees.size() == 1);
}

TEST_CASE("where the branch may only point at a wall the answer stays undecided") {
  Tee tee = tee_job::tee();
  tee.clocks = {Angle::deg(90)};
  Job job = tee_job::make(tee);
  tee_job::add_to_chassis(job, box_job::box("wall", {400, 215, 700}, {300, 5, 100}));
  const CandidateResult result = judged(Prepared(job)).result;
  CHECK(result.verdict.fit == Fit::undecided);
  const Finding* told = find(result, RuleId::tee_not_placed);
  REQUIRE(told != nullptr);
  CHECK(told->parameters.at("reason") == "none_counts");
  for (const Finding& f : result.findings)
    if (f.severity == Severity::stop) CHECK(f.undecided);
  // Free to turn it finds the other side.
  Job turned = tee_job::make();
  tee_job::add_to_chassis(turned, box_job::box("wall", {400, 215, 700}, {300, 5, 100}));
  CHECK(judged(Prepared(turned)).result.verdict.fit == Fit::fits);
}

TEST_CASE("a tee gives way to what stands too near for its body and not too near for the hose") {
  // 15 mm from any rigid part on the chassis: over the middle of the line nothing thicker than hose has room.
  Job job = tee_job::make();
  Obstacle bar = box_job::box("bar", {399, 340, 700}, {30, 6, 6});
  tee_job::add_to_chassis(job, bar);
  const Prepared prepared(job);
  const Judgement judgement = judged(prepared);
  INFO(why(judgement.result));
  REQUIRE(judgement.result.verdict.fit == Fit::fits);
  CHECK(std::abs(judgement.result.candidate.tees.front().middle_mm.x() - 399) > 20);
  for (const RigidGap& gap : judgement.part_gaps) CHECK_FALSE(falls_short(gap));
}

TEST_CASE("hoses proved with a tee at one place are refused with it anywhere else") {
  const Prepared prepared(tee_job::make());
  const Judgement good = judged(prepared);
  REQUIRE(good.result.verdict.fit == Fit::fits);
  REQUIRE(judge_routed(prepared, good.result.candidate, good.result.searches).result.verdict.fit ==
          Fit::fits);
  const auto with = [&](const std::function<void(TeeStand&)>& change) {
    Candidate moved = good.result.candidate;
    change(moved.tees.front());
    return judge_routed(prepared, moved, good.result.searches).result;
  };
  CHECK(with([](TeeStand& t) { t.middle_mm.x() += 1; }).verdict.fit == Fit::undecided);
  CHECK(with([](TeeStand& t) { t.middle_mm.z() -= 1; }).verdict.fit == Fit::undecided);
  CHECK(with([](TeeStand& t) { t.along = -t.along; }).verdict.fit == Fit::undecided);
  CHECK(with([](TeeStand& t) { t.clock = Angle::deg(285); }).verdict.fit == Fit::undecided);
  Candidate nowhere = good.result.candidate;
  nowhere.tees.clear();
  const CandidateResult lost = judge_routed(prepared, nowhere, good.result.searches).result;
  CHECK(lost.verdict.fit == Fit::undecided);
  CHECK(find(lost, RuleId::tee_not_placed) != nullptr);
}

TEST_CASE(
    "a tee that holds everywhere but stands out of its range, or at an angle not offered, does not fit") {
  const Prepared free(tee_job::make());
  const Judgement good = judged(free);
  REQUIRE(good.result.verdict.fit == Fit::fits);
  const CandidateResult far =
      judge_routed(Prepared(tee_job::make(within(100, 198.9))), good.result.candidate, good.result.searches)
          .result;
  CHECK(far.verdict.fit == Fit::undecided);
  const Finding* told = find(far, RuleId::tee_out_of_range);
  REQUIRE(told != nullptr);
  CHECK(*told->measured == Approx(199));
  CHECK(*told->limit == Approx(198.9));
  CHECK(judge_routed(Prepared(tee_job::make(within(100, 199))), good.result.candidate, good.result.searches)
            .result.verdict.fit == Fit::fits);
  Tee turned = tee_job::tee();
  turned.clocks = {Angle::deg(0), Angle::deg(180)};
  const CandidateResult off =
      judge_routed(Prepared(tee_job::make(turned)), good.result.candidate, good.result.searches).result;
  CHECK(off.verdict.fit == Fit::undecided);
  CHECK(find(off, RuleId::tee_out_of_range) != nullptr);
}

TEST_CASE(
    "in a line between engine and chassis a tee is proved at rest, and undecided in motion with all beside "
    "it") {
  Job job = tee_job::make();
  job.family.engine.necks.push_back(box_job::neck("engine.side", {-100, 300, 200}, Vec3::UnitX()));
  Tee& tee = *job.vehicle.tee;
  job.vehicle.lines[tee.before].from = tee.whole.from = "engine.side";
  const Judgement judgement = judged(Prepared(job));
  const CandidateResult& result = judgement.result;
  INFO(why(result));
  CHECK(result.verdict.fit == Fit::undecided);
  REQUIRE(result.candidate.tees.size() == 1);
  REQUIRE(result.proof.lines.size() == 5);
  for (const LineProof& line : result.proof.lines) CHECK(line.proved);
  CHECK_FALSE(result.motion);
  const Finding* told = find(result, RuleId::tee_in_motion);
  REQUIRE(told != nullptr);
  CHECK(told->undecided);
}

TEST_CASE("a tee whose branch alone leads to the engine is undecided in motion as well") {
  Job job = tee_job::make();
  job.family.engine.necks.push_back(tee_job::small_neck("engine.port", {199, 650, 600}, -Vec3::UnitY()));
  job.vehicle.lines[job.vehicle.tee->branch_line].to = "engine.port";
  const CandidateResult result = judged(Prepared(job)).result;
  INFO(why(result));
  CHECK(result.verdict.fit == Fit::undecided);
  CHECK(find(result, RuleId::tee_in_motion) != nullptr);
  CHECK_FALSE(result.motion);
}

TEST_CASE("what was in the way of a tee that is not placed may be the tee itself") {
  Tee tee = tee_job::tee();
  tee.clocks = {Angle::deg(90)};
  Job job = tee_job::make(tee);
  // The branch points one way, the neck of its hose, right behind the tee, the other.
  for (Neck& neck : job.vehicle.necks)
    if (neck.name == "bottle") neck = tee_job::small_neck("bottle", {399, 360, 700}, Vec3::UnitY());
  Budget budget;
  budget.work_units_per_make = 400;
  Candidate candidate;
  candidate.height = Length::mm(300);
  const CandidateResult result = judge(Prepared(job), candidate, budget, {}).result;
  CHECK(result.verdict.fit == Fit::undecided);
  CHECK(find(result, RuleId::tee_not_placed) != nullptr);
  for (const LineSearch& search : result.searches)
    if (search.nearest_miss && search.nearest_miss->ref)
      CHECK_FALSE(goes_with_a_neck(*search.nearest_miss->ref));
}

TEST_CASE("a line that is blocked without any tee stays an argument, one at the tee never is") {
  Job blocked = tee_job::make();
  tee_job::add_to_chassis(blocked, box_job::box("plate", {60, 100, 700}, {4, 20, 20}));
  CHECK(judged(Prepared(blocked)).result.verdict.fit == Fit::does_not_fit);
  // The neck of the tee's own line, and that of the line at its branch.
  for (const Vec3& at : {Vec3(220, 300, 700), Vec3(399, 630, 700)}) {
    Job job = tee_job::make();
    tee_job::add_to_chassis(
        job, box_job::box("plate", at, {at.y() > 400 ? 20.0 : 4.0, at.y() > 400 ? 4.0 : 20.0, 20}));
    const CandidateResult result = judged(Prepared(job)).result;
    CHECK(result.verdict.fit == Fit::undecided);
    CHECK(result.candidate.tees.empty());
  }
}

TEST_CASE("beside a tee a height that does not fit reaches to no other by what blocks a line") {
  Job blocked = tee_job::make();
  tee_job::add_to_chassis(blocked, box_job::box("plate", {60, 100, 700}, {4, 20, 20}));
  const Prepared prepared(blocked);
  const HeightCover cover = height_cover(prepared, judged(prepared));
  CHECK(cover.fit == Fit::does_not_fit);
  CHECK(cover.down_mm + cover.up_mm == 0);
}

TEST_CASE("tees stand on straights only, with room for body, hose and the straight before a bend") {
  const Tee tee = tee_job::tee();
  const Stock stock = box_job::straight_hose();
  // 300 mm, a right angle of radius 60, 400 mm: straights of 240 and 340 mm.
  const Route bent = with_centreline({{0, 0, 0}, {300, 0, 0}, {300, 400, 0}}, {60});
  const auto stands = tee_stands(tee, bent, stock, facing({300, 400, 200}));
  REQUIRE_FALSE(stands.empty());
  const double room_mm = 55 + 24;
  bool on_first = false, on_second = false;
  for (const TeeStand& stand : stands) {
    const bool first = stand.middle_mm.y() == Approx(0).margin(1e-9);
    (first ? on_first : on_second) = true;
    const double s_mm = first ? stand.middle_mm.x() : stand.middle_mm.y() - 60;
    CHECK(s_mm >= room_mm - 1e-9);
    CHECK(s_mm <= (first ? 240 : 340) - room_mm + 1e-9);
    CHECK(stand.along.isApprox(first ? Vec3(1, 0, 0) : Vec3(0, 1, 0), 1e-12));
  }
  CHECK(on_first);
  CHECK(on_second);
  // A straight that is a tenth of a millimetre too short holds none.
  const Route tight = with_centreline({{0, 0, 0}, {60 + 157.9, 0, 0}, {60 + 157.9, 200, 0}}, {60});
  CHECK(tee_stands(tee, tight, stock, facing({300, 400, 200})).empty());
  const Route enough = with_centreline({{0, 0, 0}, {60 + 158, 0, 0}, {60 + 158, 200, 0}}, {60});
  CHECK(tee_stands(tee, enough, stock, facing({300, 400, 200})).size() == 24);
}

TEST_CASE("hoses over a tee must clear each other beside its body, past an outside or past an end") {
  // The small hose is 24 mm across and pushed on by 20 mm, the large ones 48 mm and 28 mm.
  const auto meets = [](double body_mm, double off_axis_mm) {
    Tee tee = tee_job::tee();
    tee.run.straight = Length::mm(28);
    tee.branch.straight = Length::mm(20);
    tee.body_length = Length::mm(body_mm);
    tee.branch_off_axis = Length::mm(off_axis_mm);
    const Job job = tee_job::make(tee);
    Candidate candidate{0, 0, 0, 0, 0, Length::mm(300)};
    candidate.tees = {{{399, 300, 700}, Vec3::UnitX(), Angle::deg(270)}};
    const Bay bay = assemble(job, BodyStore(job), candidate);
    std::vector<Route> routes;
    for (const std::size_t line : {bay.tee->before, bay.tee->after, bay.tee->branch_line}) {
      const bool small = line == bay.tee->branch_line;
      Route route = with_centreline({{0, 0, 0}, {150, 0, 0}}, {});
      route.line = line;
      route.stock = small ? "straight 16" : "straight 38";
      route.sections = {{0, 150, small ? 24.0 : 48.0, Runner::hose}};
      route.engagement_from_mm = route.engagement_to_mm = small ? 20 : 28;
      routes.push_back(route);
    }
    std::vector<std::string> with;
    for (const Finding& f : tee_findings(job, bay, candidate, routes))
      if (f.rule == RuleId::gap) with.push_back(f.subject + ", " + f.other);
    return with;
  };
  CHECK(meets(24, 44) == std::vector<std::string>{"small, side to side tee", "small, side from side tee"});
  CHECK(meets(24, 44.2).empty());
  CHECK(meets(24.4, 44).empty());
}

TEST_CASE("where hoses or clamps on a tee have no room beside each other it is no fit") {
  // The small hose is 24 mm across, so it needs 12.1 mm from the middle to the ends of the large ones, or to
  // begin 24.1 mm from their axis.
  Tee tee = tee_job::tee();
  tee.run.straight = Length::mm(28);
  tee.body_length = Length::mm(24);
  tee.branch.straight = Length::mm(20);
  tee.branch_off_axis = Length::mm(44);
  const CandidateResult meets = judged(Prepared(tee_job::make(tee))).result;
  CHECK(meets.verdict.fit == Fit::undecided);
  CHECK(meets.candidate.tees.empty());
  tee.branch_off_axis = Length::mm(70);
  const CandidateResult clears = judged(Prepared(tee_job::make(tee))).result;
  INFO(why(clears));
  CHECK(clears.verdict.fit == Fit::fits);
}

TEST_CASE("of the places of a tee the first leaves least between its branch and the other end of the hose") {
  const Route straight = with_centreline({{0, 0, 0}, {600, 0, 0}}, {});
  const auto stands = tee_stands(tee_job::tee(), straight, box_job::straight_hose(), facing({219, 500, 0}));
  REQUIRE(stands.size() > 100);
  CHECK(stands.front().middle_mm.isApprox(Vec3(219, 0, 0), 1e-9));
  CHECK(stands.front().clock == Angle::deg(270));
}

TEST_CASE("no clip is fixed to a tee, however near it is") {
  const Prepared prepared(tee_job::make());
  const Judgement judgement = judged(prepared);
  REQUIRE(judgement.result.verdict.fit == Fit::fits);
  const Bay& bay = *judgement.bay;
  const ProofBodies bodies(bay);
  int clips = 0;
  for (const Route& route : judgement.result.routes)
    for (const ClipPlace& clip : clip_places(bay, bodies, route, 60)) {
      ++clips;
      if (clip.to) CHECK(clip.to->body != bay.tee->body);
    }
  CHECK(clips > 5);
}

TEST_CASE("with a tee the same answer comes from any number of threads and every time") {
  const Prepared prepared(tee_job::make());
  const auto at = [&](unsigned threads) {
    Budget budget;
    budget.threads = Threads{threads};
    return decide(prepared, question_of(prepared.job()), budget, {}, {});
  };
  const Choice one = at(1), three = at(3);
  REQUIRE(one.candidates.size() == three.candidates.size());
  for (std::size_t i = 0; i < one.candidates.size(); ++i) {
    CHECK(one.candidates[i].candidate == three.candidates[i].candidate);
    CHECK(one.candidates[i].verdict.fit == three.candidates[i].verdict.fit);
    CHECK(one.candidates[i].comparison.length_mm == three.candidates[i].comparison.length_mm);
  }
}

TEST_CASE("a tee that stands out of the space that is known is no fit, its hoses staying within") {
  // The line runs at y = 300, its hose to 324; a body of 60 mm reaches to 330, and the branch points down.
  Tee tee = tee_job::tee();
  tee.body_outside = Length::mm(60);
  tee.clocks = {Angle::deg(180)};
  Job job = tee_job::make(tee);
  job.vehicle.necks.back().end_mm.value = {399, 300, 450};
  job.vehicle.necks.back().outward = Vec3::UnitZ();
  const CandidateResult all_known = judged(Prepared(job)).result;
  INFO(why(all_known));
  REQUIRE(all_known.verdict.fit == Fit::fits);
  BoxShape& known = job.vehicle.known_space.front();
  known.half_size_mm.y() = 350 + 163.5;  // from -700 to 327
  known.frame.origin_mm.y() = -700 + 513.5;
  const CandidateResult less = judged(Prepared(job)).result;
  CHECK(less.verdict.fit == Fit::undecided);
  CHECK(less.candidate.tees.empty());
  const CandidateResult told = judge_routed(Prepared(job), all_known.candidate, all_known.searches).result;
  CHECK(told.verdict.fit == Fit::undecided);
  const Finding* found = find(told, RuleId::known_space);
  REQUIRE(found != nullptr);
  CHECK(found->subject == "side tee");
}
