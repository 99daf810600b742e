// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/judge.h"

#include <algorithm>
#include <functional>
#include <iterator>

#include "solver/decide/line_answers.h"
#include "solver/decide/part_gaps.h"
#include "solver/decide/ranking.h"
#include "solver/decide/rested_limits.h"
#include "solver/decide/verdict_rules.h"
#include "solver/rules/part_rules.h"

namespace hosefit {
namespace {

using SearchLines = std::function<std::vector<LineSearch>(const Bay&)>;

void append(std::vector<Finding>& findings, std::vector<Finding> more) {
  findings.insert(findings.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
}

bool stands_stopped(const std::vector<Finding>& findings) {
  return std::any_of(findings.begin(), findings.end(),
                     [](const Finding& f) { return f.severity == Severity::stop && !f.undecided; });
}

std::vector<Finding> height_findings(const Intake& intake, Length height) {
  const bool low = height < intake.least_height;
  if (!low && height <= intake.most_height) return {};
  const Length limit = low ? intake.least_height : intake.most_height;
  Finding finding;
  finding.rule = RuleId::chosen_height_range;
  finding.severity = Severity::stop;
  finding.subject = intake.name;
  finding.measured = height.mm();
  finding.limit = limit.mm();
  finding.margin = low ? (height - limit).mm() : (limit - height).mm();
  finding.unit = FindingUnit::mm;
  return {finding};
}

void judge_parts(const Prepared& prepared, const RuleLimits& limits, Judgement& judgement) {
  const Job& job = prepared.job();
  CandidateResult& result = judgement.result;
  const Candidate& candidate = result.candidate;
  append(result.findings, height_findings(job.family.intakes[candidate.intake], candidate.height));
  append(result.findings, pairing_findings(job, candidate, limits));
  if (stands_stopped(result.findings)) return;
  judgement.bay = assemble(job, prepared.bodies(), candidate);
  judgement.part_gaps = part_gaps(*judgement.bay, prepared.proofs(), job.gaps);
  append(result.findings, part_findings(*judgement.bay, judgement.part_gaps));
  append(result.findings, unseen_findings(*judgement.bay, prepared.proofs()));
}

PartsState parts_state(const std::vector<Finding>& findings) {
  if (stands_stopped(findings)) return PartsState::do_not;
  const bool undecided = std::any_of(findings.begin(), findings.end(), [](const Finding& f) {
    return f.severity == Severity::stop && f.undecided;
  });
  return undecided ? PartsState::not_seen : PartsState::go_together;
}

// A refused proof is no argument against the candidate: another route may hold. Its stops leave the candidate
// undecided.
std::vector<Finding> proof_findings(const ProofReport& proof) {
  std::vector<Finding> findings;
  for (const LineProof& line : proof.lines)
    for (Finding finding : line.findings) {
      finding.undecided = finding.severity == Severity::stop;
      findings.push_back(std::move(finding));
    }
  return findings;
}

std::vector<LineState> judge_lines(const Prepared& prepared, const RuleLimits& limits,
                                   std::vector<LineSearch> searches, Judgement& judgement) {
  const Job& job = prepared.job();
  const Bay& bay = *judgement.bay;
  CandidateResult& result = judgement.result;
  result.lines_tried = true;
  result.searches = std::move(searches);
  for (const LineSearch& search : result.searches)
    if (search.outcome == SearchOutcome::found && search.route) result.routes.push_back(*search.route);
  const ProofBodies bodies(bay, prepared.proofs());
  result.proof = prove(bay, bodies, result.routes, job.gaps, job.stock, ProofOptions{});

  for (const Route& route : result.routes)
    result.clips.push_back(
        clip_places(bay, bodies, route, longest_free_span(bay, bay.lines[route.line], limits).value));

  const std::vector<Finding> on_lines = line_findings(job, bay, result.routes, limits);
  std::vector<LineState> states = line_states(bay, result.searches, result.proof, on_lines);
  append(result.findings, search_findings(job, bay, result.searches));
  append(result.findings, proof_findings(result.proof));
  append(result.findings, on_lines);
  result.flow = coolant_flow(job, bay, result.candidate, result.routes);
  if (result.flow) append(result.findings, flow_findings(job, result.candidate, *result.flow));
  return states;
}

Judgement judge_with(const Prepared& prepared, const Candidate& candidate, const SearchLines& search) {
  const RuleLimits limits = default_rule_limits();
  Judgement judgement;
  CandidateResult& result = judgement.result;
  result.candidate = candidate;
  judge_parts(prepared, limits, judgement);
  const PartsState parts = parts_state(result.findings);
  std::vector<LineState> states;
  if (parts != PartsState::do_not) states = judge_lines(prepared, limits, search(*judgement.bay), judgement);

  order_findings(result.findings);
  result.verdict.fit = fit_of(parts, states);
  result.verdict.limits = rested_limits(prepared.job(), limits, judgement);
  result.changes = changes_of(prepared.job(), candidate);
  result.comparison = comparison_of(prepared.job(), result);
  return judgement;
}

}  // namespace

std::vector<LineSearch> search_lines(const Prepared& prepared, const Bay& bay, const Budget& budget,
                                     const std::stop_token& stop) {
  RouteOptions options;
  options.seed = budget.seed;
  options.work_units_per_make = budget.work_units_per_make;
  const Job& job = prepared.job();
  std::vector<LineSearch> searches = route_lines(bay, prepared.fields(), job.gaps, job.stock, options, stop);
  for (LineSearch& search : searches) {
    if (!is_argument(search.outcome) || bay.lines.size() < 2) continue;
    Bay alone = bay;
    alone.lines = {bay.lines[search.line]};
    const auto again = route_lines(alone, prepared.fields(), job.gaps, job.stock, options, stop);
    if (again.size() == 1 && is_argument(again.front().outcome)) {
      search.outcome = again.front().outcome;
      search.attempts = again.front().attempts;
      search.nearest_miss = again.front().nearest_miss;
    } else {
      search.outcome = SearchOutcome::budget_spent;
    }
  }
  return searches;
}

Judgement judge(const Prepared& prepared, const Candidate& candidate, const Budget& budget,
                const std::stop_token& stop) {
  return judge_with(prepared, candidate,
                    [&](const Bay& bay) { return search_lines(prepared, bay, budget, stop); });
}

Judgement judge_routed(const Prepared& prepared, const Candidate& candidate,
                       std::vector<LineSearch> searches) {
  return judge_with(prepared, candidate, [&](const Bay&) { return std::move(searches); });
}

}  // namespace hosefit
