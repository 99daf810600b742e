// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/line_answers.h"

#include <fmt/format.h>

#include <algorithm>

namespace hosefit {
namespace {

bool necks_refuse(std::span<const Finding> on_lines, const std::string& line) {
  return std::any_of(on_lines.begin(), on_lines.end(), [&](const Finding& f) {
    return f.rule == RuleId::neck_match && f.severity == Severity::stop && f.subject == line;
  });
}

RuleId rule_of(SearchOutcome outcome) {
  switch (outcome) {
    case SearchOutcome::stub_blocked:
      return RuleId::stub_blocked;
    case SearchOutcome::no_passage:
      return RuleId::no_passage;
    case SearchOutcome::no_room_to_bend:
      return RuleId::bend_radius;
    case SearchOutcome::no_stock:
      return RuleId::no_stock;
    case SearchOutcome::budget_spent:
    case SearchOutcome::found:
      return RuleId::no_route_found;
  }
  return RuleId::no_route_found;
}

void add_miss(const Job& job, const Bay& bay, const BayLine& line, const Obstruction& miss,
              Finding& finding) {
  finding.other = miss.obstacle;
  finding.where_mm = miss.where_mm;
  finding.measured = miss.found_mm;
  finding.limit = miss.required_mm;
  finding.margin = -miss.missing_mm;
  finding.unit = FindingUnit::mm;
  finding.provenance = gap_of_obstruction(job, bay, line, miss).provenance;
  if (miss.resolution_mm > 0) finding.parameters["resolution_mm"] = fmt::format("{:.1f}", miss.resolution_mm);
}

void add_attempts(const std::vector<MakeAttempt>& attempts, Finding& finding) {
  std::string makes;
  for (const MakeAttempt& attempt : attempts) {
    const std::string make(title(attempt.make));
    if (makes.find(make) == std::string::npos) makes += (makes.empty() ? "" : ", ") + make;
  }
  if (!makes.empty()) finding.parameters["makes"] = makes;
  if (!attempts.empty() && !attempts.back().stock.empty())
    finding.parameters["stock"] = attempts.back().stock;
}

}  // namespace

std::vector<LineState> line_states(const Bay& bay, std::span<const LineSearch> searches,
                                   const ProofReport& proof, std::span<const Finding> on_lines) {
  std::vector<LineState> states;
  std::size_t proved_so_far = 0;
  for (const LineSearch& search : searches) {
    if (search.outcome == SearchOutcome::found && search.route) {
      const bool proved = proof.lines[proved_so_far++].proved;
      const bool on_necks = !necks_refuse(on_lines, bay.lines[search.line].line.name);
      states.push_back(!proved ? LineState::open : on_necks ? LineState::proved : LineState::wrong_stock);
    } else if (search.outcome == SearchOutcome::no_stock) {
      states.push_back(LineState::wrong_stock);
    } else {
      states.push_back(is_argument(search.outcome) ? LineState::blocked : LineState::open);
    }
  }
  return states;
}

void hold_in_motion(std::span<const MotionLine> motion, std::vector<LineState>& states) {
  for (std::size_t i = 0; i < motion.size(); ++i)
    if (!motion[i].proved && states[i] == LineState::proved) states[i] = LineState::open;
}

std::vector<Finding> search_findings(const Job& job, const Bay& bay, std::span<const LineSearch> searches) {
  std::vector<Finding> findings;
  for (const LineSearch& search : searches) {
    if (search.outcome == SearchOutcome::found && search.route) continue;
    const BayLine& line = bay.lines[search.line];
    Finding finding;
    finding.rule = rule_of(search.outcome);
    finding.severity = Severity::stop;
    finding.undecided = finding.rule == RuleId::no_route_found;
    finding.subject = line.line.name;
    finding.parameters["outcome"] = word(search.outcome);
    add_attempts(search.attempts, finding);
    if (search.nearest_miss)
      add_miss(job, bay, line, *search.nearest_miss, finding);
    else if (!search.attempts.empty() && !search.attempts.back().breaks.empty())
      finding.parameters["breaks"] = search.attempts.back().breaks;
    findings.push_back(std::move(finding));
  }
  return findings;
}

RequiredGap gap_of_obstruction(const Job& job, const Bay& bay, const BayLine& line, const Obstruction& miss) {
  if (miss.ref)
    return required_gap(job.gaps, Runner::hose, line.carrier, obstacle(bay, *miss.ref),
                        bay.bodies[miss.ref->body].body->carrier);
  const GapRow& row = job.gaps.row(Runner::hose, Hazard::another_hose, line.carrier != LineCarrier::both);
  return {row.at_rest, row.provenance, row.id};
}

}  // namespace hosefit
