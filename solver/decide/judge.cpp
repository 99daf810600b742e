// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/judge.h"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <iterator>

#include "solver/decide/line_answers.h"
#include "solver/decide/motion_search.h"
#include "solver/decide/neck_places.h"
#include "solver/decide/part_gaps.h"
#include "solver/decide/ranking.h"
#include "solver/decide/rested_limits.h"
#include "solver/decide/tee_findings.h"
#include "solver/decide/tee_places.h"
#include "solver/decide/verdict_rules.h"
#include "solver/model/bolts_together.h"
#include "solver/rules/part_rules.h"
#include "solver/verify/unseen_space.h"

namespace hosefit {
namespace {

using SearchLines = std::function<std::vector<LineSearch>(const Bay&)>;
using SearchAgain = std::function<std::vector<LineSearch>(const Bay&, const std::vector<LineSearch>& known,
                                                          std::span<const LineWish> wishes,
                                                          const std::vector<std::size_t>& again)>;

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
  result.necks = standing_necks(prepared, *judgement.bay, candidate);
  append(result.findings, moved_neck_findings(job, result.necks));
  judgement.part_gaps = part_gaps(*judgement.bay, prepared.proofs(), job.gaps);
  append(result.findings, part_findings(*judgement.bay, judgement.part_gaps));
  append(result.findings, unseen_findings(*judgement.bay, prepared.proofs()));
  if (stands_stopped(result.findings)) return;
  judgement.parts_in_motion =
      candidates_parts_in_motion(job, *judgement.bay, prepared.proofs(), without_scans());
  append(result.findings, findings_of_parts(*judgement.bay, judgement.parts_in_motion));
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

// A tee of which nobody knows how it moves: nothing that lies beside its lines is proved in motion either.
bool floats(const Bay& bay) {
  return bay.tee && bay.tee->floats;
}

// What was found for the lines of a candidate, and how it fares.
struct Laid {
  std::vector<LineSearch> searches;
  std::vector<Route> routes;
  ProofReport proof;
  std::vector<std::vector<ClipPlace>> clips;
  std::vector<MotionLine> motion;  // empty unless every line is found and proved at rest

  bool holds_at_rest(const Bay& bay) const {
    return routes.size() == bay.lines.size() &&
           std::all_of(proof.lines.begin(), proof.lines.end(), [](const LineProof& l) { return l.proved; });
  }
  std::ptrdiff_t do_not_hold_in_motion() const {
    return std::count_if(motion.begin(), motion.end(), [](const MotionLine& l) {
      return std::any_of(l.findings.begin(), l.findings.end(), is_of_its_own);
    });
  }
};

class LineJudge {
 public:
  LineJudge(const Prepared& prepared, const RuleLimits& limits, const Bay& bay)
      : prepared_(prepared), limits_(limits), bay_(bay), bodies_(bay, prepared.proofs()) {}

  Laid lay(std::vector<LineSearch> searches) const {
    const Job& job = prepared_.job();
    Laid laid;
    laid.searches = std::move(searches);
    for (const LineSearch& search : laid.searches)
      if (search.outcome == SearchOutcome::found && search.route) laid.routes.push_back(*search.route);
    laid.proof = prove(bay_, bodies_, laid.routes, job.gaps, job.stock, ProofOptions{});
    for (const Route& route : laid.routes)
      laid.clips.push_back(
          clip_places(bay_, bodies_, route, longest_free_span(bay_, bay_.lines[route.line], limits_).value));
    if (laid.holds_at_rest(bay_) && !floats(bay_)) {
      laid.motion = lines_in_motion(job, bay_, bodies_, laid.routes, laid.proof, without_scans());
      for (std::size_t i = 0; i < laid.clips.size(); ++i) laid.clips[i] = laid.motion[i].clips;
    }
    return laid;
  }

  // Lines that do not hold in motion are asked for otherwise, as long as there is something left to ask for;
  // kept is the set of which most lines hold, the earliest of these.
  Laid improve(Laid first, const SearchAgain& search) const {
    constexpr int kRounds = 10;
    Laid best = first;
    MotionWishes wishes(bay_);
    Laid now = std::move(first);
    for (int round = 0; round < kRounds && best.do_not_hold_in_motion() > 0; ++round) {
      const std::vector<std::size_t> again = wishes.next(now.routes, now.motion);
      if (again.empty()) break;
      Laid next = lay(search(bay_, now.searches, wishes.wishes(), again));
      if (!next.holds_at_rest(bay_)) continue;
      now = std::move(next);
      if (now.do_not_hold_in_motion() < best.do_not_hold_in_motion()) best = now;
    }
    return best;
  }

  // What holds otherwise is held against what open scans have not seen.
  void ask_scans(Laid& laid) const {
    const bool scans = has_scan(bay_, bodies_, Carrier::chassis) || has_scan(bay_, bodies_, Carrier::engine);
    if (!scans || laid.motion.empty() || laid.do_not_hold_in_motion() > 0) return;
    laid.motion =
        lines_in_motion_again(prepared_.job(), bay_, bodies_, laid.routes, laid.proof, laid.motion, {});
  }

 private:
  const Prepared& prepared_;
  const RuleLimits& limits_;
  const Bay& bay_;
  const ProofBodies bodies_;
};

std::vector<LineState> judge_lines(const Prepared& prepared, const RuleLimits& limits, Laid laid,
                                   Judgement& judgement) {
  const Job& job = prepared.job();
  const Bay& bay = *judgement.bay;
  CandidateResult& result = judgement.result;
  const bool moved = laid.holds_at_rest(bay) && !floats(bay);
  result.lines_tried = true;
  result.searches = std::move(laid.searches);
  result.routes = std::move(laid.routes);
  result.proof = std::move(laid.proof);
  result.clips = std::move(laid.clips);

  const std::vector<Finding> on_lines = line_findings(job, bay, result.routes, limits);
  std::vector<LineState> states = line_states(bay, result.searches, result.proof, on_lines);
  if (moved) {
    hold_in_motion(laid.motion, states);
    append(result.findings, findings_of_lines(laid.motion));
    result.motion = MotionAnswer{std::move(laid.motion), judgement.parts_in_motion};
  }
  std::vector<Finding> on_tee = tee_findings(job, bay, result.candidate, result.routes);
  if (std::any_of(on_tee.begin(), on_tee.end(),
                  [](const Finding& f) { return f.severity == Severity::stop; }))
    std::replace_if(
        states.begin(), states.end(), [](LineState state) { return state != LineState::blocked; },
        LineState::open);
  append(result.findings, std::move(on_tee));
  append(result.findings, search_findings(job, bay, result.searches));
  append(result.findings, proof_findings(result.proof));
  append(result.findings, on_lines);
  result.flow = coolant_flow(job, bay, result.candidate, result.routes);
  if (result.flow) append(result.findings, flow_findings(job, result.candidate, *result.flow));
  return states;
}

// Of a set that holds otherwise: its parts against what open scans have not seen, wherever the engine goes.
PartsState ask_scans_of_parts(const Prepared& prepared, Judgement& judgement) {
  PartsInMotion parts =
      candidates_parts_in_motion(prepared.job(), *judgement.bay, prepared.proofs(), MotionOptions{});
  const bool seen = parts.unseen.empty();
  if (!seen) {
    parts.near.clear();  // told already
    append(judgement.result.findings, findings_of_parts(*judgement.bay, parts));
    judgement.parts_in_motion.unseen = parts.unseen;
    judgement.parts_in_motion.proved = false;
    if (judgement.result.motion) judgement.result.motion->parts = judgement.parts_in_motion;
  }
  return seen ? PartsState::go_together : PartsState::not_seen;
}

// Without `again` nothing is searched besides what `search` gives.
Judgement judge_with(const Prepared& prepared, const Candidate& candidate, const SearchLines& search,
                     const SearchAgain& again) {
  const RuleLimits limits = default_rule_limits();
  Judgement judgement;
  CandidateResult& result = judgement.result;
  result.candidate = candidate;
  judge_parts(prepared, limits, judgement);
  PartsState parts = parts_state(result.findings);
  std::vector<LineState> states;
  if (parts != PartsState::do_not) {
    const LineJudge lines(prepared, limits, *judgement.bay);
    Laid laid = lines.lay(search(*judgement.bay));
    if (again && laid.do_not_hold_in_motion() > 0) laid = lines.improve(std::move(laid), again);
    lines.ask_scans(laid);
    states = judge_lines(prepared, limits, std::move(laid), judgement);
    if (fit_of(parts, states) == Fit::fits) parts = ask_scans_of_parts(prepared, judgement);
  }

  order_findings(result.findings);
  result.verdict.fit = fit_of(parts, states);
  result.verdict.limits = rested_limits(prepared.job(), limits, judgement);
  result.changes = changes_of(prepared.job(), candidate);
  for (const StandingNeck& neck : result.necks)
    if (!neck.as_written)
      result.changes.push_back(
          fmt::format("neck: {} in another place", prepared.job().vehicle.necks[neck.neck].name));
  result.comparison = comparison_of(prepared.job(), result);
  return judgement;
}

}  // namespace

namespace {

RouteOptions route_options(const Budget& budget) {
  RouteOptions options;
  options.seed = budget.seed;
  options.work_units_per_make = budget.work_units_per_make;
  return options;
}

}  // namespace

std::vector<LineSearch> search_lines(const Prepared& prepared, const Bay& bay, const Budget& budget,
                                     const std::stop_token& stop) {
  const RouteOptions options = route_options(budget);
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
  const Job& job = prepared.job();
  const SearchAgain again = [&](const Bay& bay, const std::vector<LineSearch>& known,
                                std::span<const LineWish> wishes, const std::vector<std::size_t>& lines) {
    return route_again(bay, prepared.fields(), job.gaps, job.stock, route_options(budget), known, wishes,
                       lines, stop);
  };
  if (job.vehicle.tee && bolts_together(job, candidate))
    return judge_with_tee(prepared, candidate, budget, stop,
                          [&](const Candidate& placed, std::vector<LineSearch> searches) {
                            return judge_with(
                                prepared, placed, [&](const Bay&) { return std::move(searches); }, again);
                          });
  if (prepared.bodies().chosen_necks().empty() || !bolts_together(job, candidate))
    return judge_with(
        prepared, candidate, [&](const Bay& bay) { return search_lines(prepared, bay, budget, stop); },
        again);

  NeckRoom room(prepared, candidate);
  const Candidate start = room.nearest_clear();
  const SearchLines search = [&](const Bay& bay) {
    std::vector<LineSearch> searches = search_lines(prepared, bay, budget, stop);
    keep_arguments_of_all_places(prepared, room, start, budget, stop, searches);
    return searches;
  };
  return place_necks(prepared, room, judge_with(prepared, start, search, again), budget, stop,
                     [&](const Candidate& moved, std::vector<LineSearch> searches) {
                       return judge_with(
                           prepared, moved, [&](const Bay&) { return std::move(searches); }, again);
                     });
}

Judgement judge_routed(const Prepared& prepared, const Candidate& candidate,
                       std::vector<LineSearch> searches) {
  return judge_with(prepared, candidate, [&](const Bay&) { return std::move(searches); }, {});
}

std::optional<Judgement> judge_followed(const Prepared& prepared, const Candidate& candidate,
                                        std::span<const LineSearch> earlier, const Budget& budget,
                                        const std::stop_token& stop) {
  const Job& job = prepared.job();
  if (!bolts_together(job, candidate)) return std::nullopt;
  auto followed = follow_routes(assemble(job, prepared.bodies(), candidate), prepared.fields(), job.gaps,
                                job.stock, route_options(budget), earlier, stop);
  if (!followed) return std::nullopt;
  return judge_routed(prepared, candidate, *std::move(followed));
}

}  // namespace hosefit
