// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/decide.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <sstream>

#include "solver/decide/judge.h"
#include "tests/support/box_job.h"

using namespace hosefit;

namespace {

Choice ask(const Prepared& prepared, double height_mm, unsigned threads = 1) {
  Query query;
  query.height = Length::mm(height_mm);
  Budget budget;
  budget.threads.count = threads;
  return decide(prepared, query, budget, {}, {});
}

const CandidateResult& best(const Choice& choice, std::size_t rank) {
  return choice.candidates[choice.ranking[rank].best];
}

const CandidateResult& of_pump(const Prepared& prepared, const Choice& choice, const std::string& name) {
  for (const PumpAnswer& answer : choice.ranking)
    if (prepared.job().family.pumps[answer.pump].name == name) return choice.candidates[answer.best];
  throw std::runtime_error("no such pump");
}

// Everything that a reader could see, to the last bit.
std::string all_of(const Choice& choice) {
  std::ostringstream out;
  out << std::hexfloat;
  for (const CandidateResult& r : choice.candidates) {
    out << r.candidate.pump << word(r.verdict.fit) << r.verdict.limits.unsourced
        << r.comparison.least_spare_mm << ' ' << r.comparison.length_mm << ' ' << r.comparison.flags;
    for (const Finding& f : r.findings)
      out << '|' << word(f.rule) << f.subject << f.other << f.margin.value_or(0) << f.measured.value_or(0);
    for (const LineProof& p : r.proof.lines) out << '|' << p.proved << p.distance_queries;
    out << '\n';
  }
  for (const PumpAnswer& a : choice.ranking) out << a.pump << a.best << ' ';
  return out.str();
}

}  // namespace

TEST_CASE("in the box bay each pump fits, clashes and is blocked as worked out by hand") {
  const Prepared prepared(box_job::make());
  const Choice at_300 = ask(prepared, 300);
  REQUIRE(at_300.ranking.size() == 2);
  CHECK(best(at_300, 0).verdict.fit == Fit::fits);
  CHECK(best(at_300, 1).verdict.fit == Fit::fits);

  const Choice at_270 = ask(prepared, 270);  // plenum at 250, on the snout's top
  CHECK(of_pump(prepared, at_270, "low").verdict.fit == Fit::fits);
  const CandidateResult& tall = of_pump(prepared, at_270, "tall");
  CHECK(tall.verdict.fit == Fit::does_not_fit);
  CHECK_FALSE(tall.lines_tried);
  REQUIRE_FALSE(tall.findings.empty());
  CHECK(tall.findings[0].rule == RuleId::intake_over_pump);
  CHECK(tall.findings[0].subject == "tall");
  CHECK(tall.findings[0].other == "plenum");
  CHECK(*tall.findings[0].margin == Approx(-12).margin(0.06));

  const Choice at_278 = ask(prepared, 278);  // 8 mm of the 12
  CHECK(*of_pump(prepared, at_278, "tall").findings[0].margin == Approx(-4).margin(0.06));

  const Choice at_345 = ask(prepared, 345);  // 15 mm of the 20 under the hood
  for (const CandidateResult& r : at_345.candidates) {
    CHECK(r.verdict.fit == Fit::does_not_fit);
    CHECK(r.findings[0].rule == RuleId::hood_over_intake);
    CHECK(*r.findings[0].margin == Approx(-5).margin(0.06));
    CHECK(r.verdict.limits == LimitsAnswer{0, 1, 0});
  }

  const Choice at_255 = ask(prepared, 255);  // plenum 235, hose top 224, wants 15
  const CandidateResult& low = of_pump(prepared, at_255, "low");
  CHECK(low.verdict.fit == Fit::does_not_fit);
  CHECK(low.lines_tried);
  CHECK(low.findings[0].rule == RuleId::stub_blocked);
  CHECK(low.findings[0].subject == "upper");
}

TEST_CASE("a fit carries a proof for every line and a flow that names its curve") {
  const Prepared prepared(box_job::make());
  const Choice choice = ask(prepared, 300);
  const CandidateResult& fit = best(choice, 0);
  REQUIRE(fit.verdict.fit == Fit::fits);
  REQUIRE(fit.proof.lines.size() == 2);
  for (const LineProof& line : fit.proof.lines) CHECK(line.proved);
  REQUIRE(fit.flow);
  CHECK(fit.flow->curve_source == "from memory");
  CHECK(fit.flow->curve_band == Approx(0.2));
  CHECK(fit.flow->points.size() == 2);
  for (const Problem& problem : fit.flow->problems) FAIL(problem.text);
  CHECK(fit.comparison.joints == 4);
  CHECK(fit.comparison.length_mm == Approx(320).margin(1));
  CHECK(fit.changes.empty());
}

TEST_CASE("of two like pumps the fitted one comes first") {
  for (const std::size_t fitted : {std::size_t{0}, std::size_t{1}}) {
    Job job = box_job::make();
    job.family.pumps = {box_job::pump("a", 150), box_job::pump("b", 150)};
    job.vehicle.in_hand.pump = job.family.pumps[fitted].name;
    job.vehicle.in_hand.owned = {job.family.pumps[1 - fitted].name};  // costs nothing either
    const Prepared prepared(std::move(job));
    const Choice choice = ask(prepared, 300);
    REQUIRE(choice.ranking.size() == 2);
    CHECK(choice.ranking[0].pump == fitted);
    CHECK(best(choice, 0).comparison.parts_changed == best(choice, 1).comparison.parts_changed);
  }
}

TEST_CASE("swapping two pumps in the file swaps their reasons and nothing else") {
  Job job = box_job::make();
  const Prepared straight(job);
  std::swap(job.family.pumps[0], job.family.pumps[1]);
  const Prepared swapped(std::move(job));
  for (const double height : {255.0, 270.0, 300.0, 345.0}) {
    CAPTURE(height);
    const Choice a = ask(straight, height);
    const Choice b = ask(swapped, height);
    for (const std::string name : {"low", "tall"}) {
      const CandidateResult& ra = of_pump(straight, a, name);
      const CandidateResult& rb = of_pump(swapped, b, name);
      CHECK(ra.verdict.fit == rb.verdict.fit);
      CHECK(ra.verdict.limits == rb.verdict.limits);
      REQUIRE(ra.findings.size() == rb.findings.size());
      for (std::size_t i = 0; i < ra.findings.size(); ++i) {
        CHECK(ra.findings[i].rule == rb.findings[i].rule);
        CHECK(ra.findings[i].subject == rb.findings[i].subject);
        CHECK(ra.findings[i].margin == rb.findings[i].margin);
      }
    }
  }
}

TEST_CASE("what the proof refuses is undecided, never a fit") {
  const Prepared prepared(box_job::make());
  Candidate candidate;
  candidate.height = Length::mm(300);
  const Judgement good = judge(prepared, candidate, {}, {});
  REQUIRE(good.result.verdict.fit == Fit::fits);
  for (const Vec3& shift : {Vec3(0, 0, 3), Vec3(0, 60, 0), Vec3(0, 0, -40)}) {
    std::vector<LineSearch> searches = good.result.searches;
    searches[0].route->centreline = transformed(searches[0].route->centreline, Pose::translation(shift));
    const Judgement bad = judge_routed(prepared, candidate, searches);
    CHECK_FALSE(bad.result.proof.lines[0].proved);
    CHECK(bad.result.verdict.fit == Fit::undecided);
    REQUIRE_FALSE(bad.result.findings.empty());
    CHECK(bad.result.findings[0].severity == Severity::stop);
    CHECK(bad.result.findings[0].undecided);
  }
}

TEST_CASE("space that nobody measured leaves a candidate undecided") {
  Job job = box_job::make();
  job.vehicle.known_space[0].half_size_mm = {700, 100, 700};  // the hoses reach beyond y = 100
  const Prepared prepared(std::move(job));
  const Choice asked = ask(prepared, 300);
  for (const CandidateResult& r : asked.candidates) CHECK(r.verdict.fit == Fit::undecided);
}

TEST_CASE("no stock for the necks is a passage without stock, not a misfit") {
  Job job = box_job::make();
  job.stock[0].bore = Length::mm(51);
  const Prepared prepared(std::move(job));
  const Choice asked = ask(prepared, 300);
  for (const CandidateResult& r : asked.candidates) {
    CHECK(r.verdict.fit == Fit::passage_no_stock);
    CHECK(r.findings[0].rule == RuleId::no_stock);
    CHECK_FALSE(r.flow);
  }
}

TEST_CASE("a greater gap never turns a misfit into a fit") {
  for (const double height : {255.0, 262.0, 270.0, 283.0, 300.0, 338.0, 345.0}) {
    bool could_fit[2] = {true, true};
    for (const double extra : {0.0, 2.0, 8.0, 20.0}) {
      CAPTURE(height, extra);
      Job job = box_job::make();
      std::vector<GapRow> rows = job.gaps.rows();
      for (GapRow& row : rows) row.at_rest = row.at_rest + Length::mm(extra);
      job.gaps = GapTable(rows);
      const Prepared prepared(std::move(job));
      const Choice asked = ask(prepared, height);
      for (const CandidateResult& r : asked.candidates) {
        if (r.verdict.fit == Fit::fits) CHECK(could_fit[r.candidate.pump]);
        if (r.verdict.fit == Fit::does_not_fit) could_fit[r.candidate.pump] = false;
      }
    }
    CHECK_FALSE(
        (could_fit[0] || could_fit[1]));  // 20 mm more than needed leaves no room anywhere in this bay
  }
}

TEST_CASE("one, two and eight threads give the same choice to the last bit") {
  Job job = box_job::make();
  job.family.pumps.push_back(box_job::pump("taller", 262));
  job.family.pumps.push_back(box_job::pump("middling", 210));
  const Prepared prepared(job);
  const std::string one = all_of(ask(prepared, 280, 1));
  CHECK(all_of(ask(prepared, 280, 2)) == one);
  CHECK(all_of(ask(Prepared(job), 280, 8)) == one);
}

TEST_CASE("a stop keeps what was finished and says that the rest is missing") {
  const Prepared prepared(box_job::make());
  std::stop_source source;
  Progress progress;
  std::size_t told = 0;
  progress.tell = [&](std::size_t done, std::size_t of, std::string_view what) {
    CHECK(done > told);
    told = done;
    CHECK(of == 2);
    CHECK(what == "low");
    source.request_stop();
  };
  Query query;
  query.height = Length::mm(300);
  const Choice choice = decide(prepared, query, {}, source.get_token(), progress);
  CHECK(choice.stopped);
  CHECK(choice.candidates_left == 1);
  REQUIRE(choice.candidates.size() == 1);
  REQUIRE(choice.ranking.size() == 1);
  CHECK(choice.candidates[0].verdict.fit == Fit::fits);
  CHECK_FALSE(ask(prepared, 300).stopped);
}

TEST_CASE("a query for some pumps answers for those only") {
  const Prepared prepared(box_job::make());
  Query query = question_of(prepared.job());
  CHECK(query.height == Length::mm(300));
  query.pumps = {1};
  const Choice choice = decide(prepared, query, {}, {}, {});
  REQUIRE(choice.ranking.size() == 1);
  CHECK(choice.ranking[0].pump == 1);
}

TEST_CASE("a height the intake does not have is a stop and nothing is placed") {
  const Prepared prepared(box_job::make());
  const Choice choice = ask(prepared, 360);
  const CandidateResult& r = choice.candidates[0];
  CHECK(r.verdict.fit == Fit::does_not_fit);
  CHECK(r.findings[0].rule == RuleId::chosen_height_range);
  CHECK(*r.findings[0].margin == Approx(-10));
}

// Led along to necks that stand 2 mm aside, where straight hose no longer joins them.
TEST_CASE("hoses found before a neck moved do not serve as they are, and do once led along to it") {
  const Prepared before(box_job::make());
  const Candidate candidate{0, 0, 0, 0, 0, Length::mm(300)};
  const CandidateResult found = judge(before, candidate, {}, {}).result;
  REQUIRE(found.verdict.fit == Fit::fits);
  Job job = box_job::make();
  for (Neck& neck : job.vehicle.necks) neck.end_mm.value += Vec3(0, 2, 0);
  const Prepared after(std::move(job));
  CHECK(judge_routed(after, candidate, found.searches).result.verdict.fit != Fit::fits);
  const auto led = judge_followed(after, candidate, found.searches, {}, {});
  REQUIRE(led);
  CHECK(led->result.verdict.fit == Fit::fits);
  for (std::size_t i = 0; i < led->result.searches.size(); ++i)
    CHECK(led->result.searches[i].route->stock == found.searches[i].route->stock);

  std::vector<LineSearch> one_less = found.searches;
  one_less.front().route.reset();
  CHECK_FALSE(judge_followed(after, candidate, one_less, {}, {}));
}
