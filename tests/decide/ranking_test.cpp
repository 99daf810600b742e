// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/ranking.h"

#include <catch2/catch.hpp>

#include "tests/support/box_job.h"

using namespace hosefit;

namespace {

// Few values for each quantity, so that ties at every level come up.
Comparison any_comparison(Dice& dice) {
  Comparison c;
  c.fit_order = static_cast<int>(dice.below(3));
  c.hindrance = dice.below(2) == 0 ? Hindrance::none : Hindrance::part_in_the_way;
  c.missing_mm = dice.between(0, 2.5);
  c.lines_open = static_cast<int>(dice.below(2));
  c.necks_moved = static_cast<int>(dice.below(2));
  c.flags = static_cast<int>(dice.below(2));
  c.parts_changed = static_cast<int>(dice.below(2));
  c.fitted_pump = dice.below(2) == 0;
  c.joints = 4 + static_cast<int>(dice.below(2));
  c.least_spare_mm = dice.between(0, 2.5);
  c.length_mm = dice.between(0, 25);
  return c;
}

bool tied(const Comparison& a, const Comparison& b) {
  return !ranks_before(a, b) && !ranks_before(b, a);
}

}  // namespace

TEST_CASE("ranking is a strict weak ordering") {
  for (std::uint64_t task = 0; task < 20000; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{3}, task);
    const Comparison a = any_comparison(dice), b = any_comparison(dice), c = any_comparison(dice);
    REQUIRE_FALSE(ranks_before(a, a));
    REQUIRE_FALSE((ranks_before(a, b) && ranks_before(b, a)));
    if (ranks_before(a, b) && ranks_before(b, c)) REQUIRE(ranks_before(a, c));
    if (tied(a, b) && tied(b, c)) REQUIRE(tied(a, c));
  }
}

TEST_CASE("each quantity ranks only where all before it tie") {
  const Comparison base{1, Hindrance::line, 5.0, 2, 2, 2, 2, false, 6, 3.0, 400.0};
  const auto better = [&](auto change) {
    Comparison c = base;
    change(c);
    return c;
  };
  const std::vector<Comparison> ladder{better([](Comparison& c) { c.fit_order = 0; }),
                                       better([](Comparison& c) { c.hindrance = Hindrance::none; }),
                                       better([](Comparison& c) { c.missing_mm = 4.0; }),
                                       better([](Comparison& c) { c.lines_open = 1; }),
                                       better([](Comparison& c) { c.necks_moved = 1; }),
                                       better([](Comparison& c) { c.flags = 1; }),
                                       better([](Comparison& c) { c.parts_changed = 1; }),
                                       better([](Comparison& c) { c.fitted_pump = true; }),
                                       better([](Comparison& c) { c.joints = 4; }),
                                       better([](Comparison& c) { c.least_spare_mm = 4.0; }),
                                       better([](Comparison& c) { c.length_mm = 380.0; }),
                                       base};
  for (std::size_t i = 0; i + 1 < ladder.size(); ++i) {
    CAPTURE(i);
    CHECK(ranks_before(ladder[i], ladder[i + 1]));
    CHECK_FALSE(ranks_before(ladder[i + 1], ladder[i]));
  }
}

TEST_CASE("the last digits of a proof do not reorder pumps") {
  Comparison a, b;
  a.least_spare_mm = 1.02;
  b.least_spare_mm = 0.97;
  a.length_mm = 399;
  b.length_mm = 401;
  CHECK(tied(a, b));
}

TEST_CASE("changes name what must be bought and what lies on the shelf") {
  Job job = box_job::make();
  Candidate candidate;
  CHECK(changes_of(job, candidate).empty());
  candidate.pump = 1;
  CHECK(changes_of(job, candidate) == std::vector<std::string>{"pump: tall"});
  job.vehicle.in_hand.owned = {"tall"};
  job.vehicle.in_hand.intake.clear();
  CHECK(changes_of(job, candidate) == std::vector<std::string>{"pump: tall (owned)", "intake: boxed"});
  CandidateResult result;
  result.candidate = candidate;
  CHECK(comparison_of(job, result).parts_changed == 1);
  CHECK_FALSE(comparison_of(job, result).fitted_pump);
}

TEST_CASE("a stop that is only undecided hinders nothing, one that stands does by the mm it is short") {
  const Job job = box_job::make();
  CandidateResult result;
  Finding finding;
  finding.rule = RuleId::hood_over_intake;
  finding.severity = Severity::stop;
  finding.unit = FindingUnit::mm;
  finding.margin = -4;
  finding.undecided = true;
  result.findings = {finding};
  CHECK(comparison_of(job, result).hindrance == Hindrance::none);
  CHECK(comparison_of(job, result).missing_mm == 0);
  result.findings[0].undecided = false;
  CHECK(comparison_of(job, result).hindrance == Hindrance::part_in_the_way);
  CHECK(comparison_of(job, result).missing_mm == 4);
  // Of several the gravest kind counts, with its own largest shortfall.
  finding.undecided = false;
  finding.rule = RuleId::gap;
  finding.margin = -9;
  result.findings.push_back(finding);
  CHECK(comparison_of(job, result).missing_mm == 4);
  finding.rule = RuleId::rigid_clash;
  finding.margin = -6;
  result.findings.push_back(finding);
  CHECK(comparison_of(job, result).missing_mm == 6);
}
