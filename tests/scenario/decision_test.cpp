// SPDX-License-Identifier: GPL-3.0-or-later
// The bundled vehicles pose a real decision: the answer changes with the intake height and with the limits.
// Their data is invented; what is checked here is that the program tells the cases apart.
#include <algorithm>

#include "tests/scenario/bundled.h"

using namespace hosefit;

namespace {

bool any_line_undecided(const CandidateResult& result) {
  return std::any_of(result.findings.begin(), result.findings.end(),
                     [](const Finding& f) { return f.severity == Severity::stop && f.undecided; });
}

const Finding& first_stop(const CandidateResult& result) {
  const auto stop = std::find_if(result.findings.begin(), result.findings.end(),
                                 [](const Finding& f) { return f.severity == Severity::stop; });
  REQUIRE(stop != result.findings.end());
  return *stop;
}

}  // namespace

TEST_CASE("in the pickup the first pump changes as the intake goes up") {
  const Prepared prepared(bundled_job("harrow_half_ton"));
  CHECK(best_of(prepared, "tall right", 298).verdict.fit == Fit::does_not_fit);
  CHECK(best_of(prepared, "long left", 316).verdict.fit == Fit::fits);
  CHECK(best_of(prepared, "low right", 316).verdict.fit == Fit::does_not_fit);
  CHECK(best_of(prepared, "long left", 298).verdict.fit == Fit::does_not_fit);
  CHECK(best_of(prepared, "centre riser", 330).verdict.fit == Fit::does_not_fit);
  CHECK(best_of(prepared, "centre riser", 350).verdict.fit == Fit::undecided);
  CHECK(first_pump(prepared, choice_at(prepared, 284)) == "tall right");
  CHECK(first_pump(prepared, choice_at(prepared, 316)) == "long left");
  CHECK(best_of(prepared, "low left", 316).verdict.fit == Fit::undecided);
  CHECK(best_of(prepared, "low left", 324).verdict.fit == Fit::fits);
}

TEST_CASE("in the coupe one pump takes over from another as the intake goes up, and the hood ends both") {
  const Prepared prepared(bundled_job("linnet_coupe"));
  CHECK(first_pump(prepared, choice_at(prepared, 284)) == "left outlet");
  CHECK(best_of(prepared, "left outlet", 302).verdict.fit == Fit::does_not_fit);
  CHECK(best_of(prepared, "low left", 302).verdict.fit == Fit::fits);
  CHECK(first_pump(prepared, choice_at(prepared, 302)) == "low right");
  const CandidateResult high = best_of(prepared, "low left", 360);
  CHECK(high.verdict.fit == Fit::does_not_fit);
  CHECK(first_stop(high).rule == RuleId::hood_over_intake);
  CHECK(*first_stop(high).margin < 0);
}

TEST_CASE("a line that nothing was found for, and one that holds at rest only, leave a pump undecided") {
  const auto undecided = [](const std::string& vehicle, const std::string& pump, double height_mm) {
    const Prepared prepared(bundled_job(vehicle));
    const CandidateResult result = best_of(prepared, pump, height_mm);
    CHECK(result.verdict.fit == Fit::undecided);
    CHECK(any_line_undecided(result));
  };
  undecided("harrow_half_ton", "left outlet", 322);
  undecided("harrow_half_ton", "low right", 322);
}

TEST_CASE("one required gap changed by the shop flips a verdict") {
  Job job = bundled_job("linnet_coupe");
  const double height_mm = 290;
  {
    const Prepared as_it_is{Job(job)};
    const CandidateResult result = best_of(as_it_is, "low right", height_mm);
    CHECK(result.verdict.fit == Fit::does_not_fit);
    CHECK(first_stop(result).other == "duct");
    CHECK(first_stop(result).rule == RuleId::stub_blocked);
  }
  const Provenance shop{Source::shop, "", "R. Ockley", "the duct is of rubber and the hose sleeved"};
  for (const Runner runner : {Runner::hose, Runner::clamp})
    job.gaps.set_by_shop(runner, Hazard::air_duct, std::nullopt, Length::mm(6), shop);
  const Prepared with_less(std::move(job));
  const CandidateResult result = best_of(with_less, "low right", height_mm);
  CHECK(result.verdict.fit == Fit::fits);
  CHECK(result.verdict.limits.signed_by_shop >= 1);
}

TEST_CASE("a fit that is shown has every line proved, and its gaps are what they were required to be") {
  const Prepared prepared(bundled_job("linnet_coupe"));
  const CandidateResult result = best_of(prepared, "low left", 302);
  REQUIRE(result.verdict.fit == Fit::fits);
  REQUIRE(result.proof.lines.size() == prepared.job().vehicle.lines.size());
  for (const LineProof& line : result.proof.lines) {
    CHECK(line.proved);
    REQUIRE_FALSE(line.gaps.empty());
    for (const GapRecord& gap : line.gaps) CHECK(gap.found_mm >= gap.required_mm);
  }
}

TEST_CASE("swapping the data of two pumps swaps their answers") {
  Job job = bundled_job("linnet_coupe");
  const Job original = job;
  std::swap(job.family.pumps[pump_named(original, "left outlet")],
            job.family.pumps[pump_named(original, "low left")]);
  std::swap(job.family.pumps[pump_named(original, "left outlet")].name,
            job.family.pumps[pump_named(original, "low left")].name);
  const Prepared before{Job(original)};
  const Prepared after(std::move(job));
  for (const auto& [one, other] :
       {std::pair<std::string, std::string>{"left outlet", "low left"}, {"low left", "left outlet"}}) {
    const CandidateResult was = best_of(before, one, 302);
    const CandidateResult is = best_of(after, other, 302);
    CHECK(was.verdict.fit == is.verdict.fit);
    REQUIRE(was.findings.empty() == is.findings.empty());
    if (!was.findings.empty()) {
      CHECK(was.findings[0].rule == is.findings[0].rule);
      CHECK(was.findings[0].other == is.findings[0].other);
      CHECK(was.findings[0].margin == is.findings[0].margin);
    }
  }
}
