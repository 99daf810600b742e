// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/ranking.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <tuple>

#include "solver/decide/verdict_rules.h"

namespace hosefit {
namespace {

constexpr double kSpareStep_mm =
    1.0;  // finer, and the proof's tolerance of 0.05 mm would decide between pumps
constexpr double kLengthStep_mm = 10.0;  // finer, and the search's last polish would decide between pumps
// Obstacles further than this from every line are not recorded by the proof.
constexpr double kMostSpare_mm = ProofOptions::kRecorded_mm;

double steps(double value_mm, double step_mm) {
  return std::round(value_mm / step_mm);
}

struct PartChoice {
  const char* kind;
  const std::string& chosen;
  const std::string& fitted;
};

std::array<PartChoice, 4> part_choices(const Job& job, const Candidate& c) {
  const PartsInHand& hand = job.vehicle.in_hand;
  return {PartChoice{"pump", job.family.pumps[c.pump].name, hand.pump},
          PartChoice{"drive", job.family.drives[c.drive].name, hand.drive},
          PartChoice{"housing", job.family.housings[c.housing].name, hand.housing},
          PartChoice{"intake", job.family.intakes[c.intake].name, hand.intake}};
}

bool is_owned(const Job& job, const std::string& name) {
  const auto& owned = job.vehicle.in_hand.owned;
  return std::find(owned.begin(), owned.end(), name) != owned.end();
}

int fit_order(Fit fit) {
  switch (fit) {
    case Fit::fits:
      return 0;
    case Fit::passage_no_stock:
      return 1;
    case Fit::undecided:
      return 2;
    case Fit::does_not_fit:
      return 3;
  }
  return 3;
}

Hindrance hindrance_of(RuleId rule) {
  switch (rule) {
    case RuleId::flange_mismatch:
    case RuleId::seat_mismatch:
    case RuleId::belt_plane:
    case RuleId::rotation:
    case RuleId::chosen_height_range:
      return Hindrance::parts_do_not_pair;
    case RuleId::hood_over_intake:
    case RuleId::intake_over_pump:
    case RuleId::rigid_clash:
    case RuleId::motion_clash:
    case RuleId::fan_to_core:
      return Hindrance::part_in_the_way;
    default:
      return Hindrance::line;
  }
}

void add_hindrance(const std::vector<Finding>& findings, Comparison& comparison) {
  for (const Finding& finding : findings) {
    if (finding.severity != Severity::stop || finding.undecided) continue;
    const Hindrance hindrance = hindrance_of(finding.rule);
    if (hindrance > comparison.hindrance) {
      comparison.hindrance = hindrance;
      comparison.missing_mm = 0;
    }
    if (hindrance == comparison.hindrance && finding.unit == FindingUnit::mm && finding.margin)
      comparison.missing_mm = std::max(comparison.missing_mm, -*finding.margin);
  }
}

}  // namespace

bool ranks_before(const Comparison& a, const Comparison& b) {
  const auto key = [](const Comparison& c) {
    return std::tuple(c.fit_order, static_cast<int>(c.hindrance), steps(c.missing_mm, kSpareStep_mm),
                      c.lines_open, c.necks_moved, c.flags, c.parts_changed, c.fitted_pump ? 0 : 1, c.joints,
                      -steps(c.least_spare_mm, kSpareStep_mm), steps(c.length_mm, kLengthStep_mm));
  };
  return key(a) < key(b);
}

Comparison comparison_of(const Job& job, const CandidateResult& result) {
  Comparison comparison;
  comparison.fit_order = fit_order(result.verdict.fit);
  add_hindrance(result.findings, comparison);
  const auto proved = std::count_if(result.proof.lines.begin(), result.proof.lines.end(),
                                    [](const LineProof& line) { return line.proved; });
  comparison.lines_open = static_cast<int>(result.searches.size()) - static_cast<int>(proved);
  comparison.necks_moved = static_cast<int>(std::count_if(
      result.necks.begin(), result.necks.end(), [](const StandingNeck& neck) { return !neck.as_written; }));
  comparison.flags =
      static_cast<int>(std::count_if(result.findings.begin(), result.findings.end(),
                                     [](const Finding& f) { return f.severity == Severity::flag; }));
  for (const PartChoice& part : part_choices(job, result.candidate))
    if (part.chosen != part.fitted && !is_owned(job, part.chosen)) ++comparison.parts_changed;
  comparison.fitted_pump = job.family.pumps[result.candidate.pump].name == job.vehicle.in_hand.pump;
  for (const Route& route : result.routes) {
    comparison.joints += route.joints;
    comparison.length_mm += length_mm(route.centreline);
  }
  if (!result.proof.lines.empty()) comparison.least_spare_mm = kMostSpare_mm;
  for (const LineProof& proof : result.proof.lines)
    for (const GapRecord& gap : proof.gaps)
      comparison.least_spare_mm = std::min(comparison.least_spare_mm, gap.proved_mm - gap.required_mm);
  return comparison;
}

std::vector<std::string> changes_of(const Job& job, const Candidate& candidate) {
  std::vector<std::string> changes;
  for (const PartChoice& part : part_choices(job, candidate)) {
    if (part.chosen == part.fitted) continue;
    changes.push_back(std::string(part.kind) + ": " + part.chosen +
                      (is_owned(job, part.chosen) ? " (owned)" : ""));
  }
  return changes;
}

std::vector<PumpAnswer> ranking_of(const std::vector<CandidateResult>& candidates) {
  std::vector<std::size_t> order(candidates.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return ranks_before(candidates[a].comparison, candidates[b].comparison);
  });
  std::vector<PumpAnswer> ranking;
  for (const std::size_t i : order) {
    const std::size_t pump = candidates[i].candidate.pump;
    const auto known = std::find_if(ranking.begin(), ranking.end(),
                                    [&](const PumpAnswer& answer) { return answer.pump == pump; });
    if (known == ranking.end())
      ranking.push_back({pump, i, {}});
    else
      known->others.push_back(i);
  }
  return ranking;
}

}  // namespace hosefit
