// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/rested_limits.h"

#include <fmt/format.h>

#include <algorithm>

#include "solver/decide/line_answers.h"
#include "solver/decide/part_gaps.h"
#include "solver/decide/verdict_rules.h"

namespace hosefit {
namespace {

RequiredGap stricter_gap(const Job& job, const Bay& bay, const RigidGap& gap) {
  const Carrier carrier_a = bay.bodies[gap.a.body].body->carrier;
  const Carrier carrier_b = bay.bodies[gap.b.body].body->carrier;
  RequiredGap to_b = required_gap(job.gaps, Runner::rigid_part, carrier_a, obstacle(bay, gap.b), carrier_b);
  RequiredGap to_a = required_gap(job.gaps, Runner::rigid_part, carrier_b, obstacle(bay, gap.a), carrier_a);
  return to_a.gap > to_b.gap ? to_a : to_b;
}

void count_part_gaps(const Job& job, const Judgement& judgement, double within_mm, LimitsCount& count) {
  for (const RigidGap& gap : judgement.part_gaps) {
    if (!falls_short(gap) && gap.distance_mm - gap.required_mm >= within_mm) continue;
    const RequiredGap required = stricter_gap(job, *judgement.bay, gap);
    count.add(required.row_id, required.provenance);
  }
}

void count_stock(const Job& job, const std::string& id, LimitsCount& count) {
  const auto stock =
      std::find_if(job.stock.begin(), job.stock.end(), [&](const Stock& s) { return s.id == id; });
  if (stock != job.stock.end()) count.add("stock " + id, stock->provenance);
}

void count_line_gaps(const Job& job, const Judgement& judgement, LimitsCount& count) {
  const Bay& bay = *judgement.bay;
  for (const LineProof& proof : judgement.result.proof.lines)
    for (const GapRecord& gap : proof.gaps) {
      if (!gap.ref) {
        count.add(fmt::format("to another hose {:.3f}", gap.required_mm), gap.provenance);
        continue;
      }
      const RequiredGap required =
          required_gap(job.gaps, gap.runner, bay.lines[proof.line].carrier, obstacle(bay, *gap.ref),
                       bay.bodies[gap.ref->body].body->carrier);
      count.add(required.row_id, required.provenance);
    }
}

LimitsAnswer behind_stops(const Job& job, const Judgement& judgement) {
  LimitsCount count;
  for (const Finding& finding : judgement.result.findings)
    if (finding.rule == RuleId::belt_plane && finding.severity == Severity::stop && finding.provenance)
      count.add("belt plane", *finding.provenance);
  if (!judgement.bay) return count.answer();
  count_part_gaps(job, judgement, 0.0, count);
  for (const LineSearch& search : judgement.result.searches) {
    if (!is_argument(search.outcome)) continue;
    if (search.nearest_miss) {
      const RequiredGap gap =
          gap_of_obstruction(job, *judgement.bay, judgement.bay->lines[search.line], *search.nearest_miss);
      count.add(gap.row_id, gap.provenance);
    }
    if (search.outcome != SearchOutcome::no_room_to_bend) continue;
    for (const MakeAttempt& attempt : search.attempts) count_stock(job, attempt.stock, count);
  }
  return count.answer();
}

}  // namespace

LimitsAnswer rested_limits(const Job& job, const RuleLimits& limits, const Judgement& judgement) {
  if (judgement.result.verdict.fit == Fit::does_not_fit) return behind_stops(job, judgement);
  LimitsCount count;
  for (const Finding& finding : judgement.result.findings)
    if (finding.rule == RuleId::belt_plane && finding.provenance)
      count.add("belt plane", *finding.provenance);
  count_part_gaps(job, judgement, kPartsSpareLooked_mm, count);
  count_line_gaps(job, judgement, count);
  if (judgement.result.motion) count.add("motion on the mounts", job.motion.provenance);
  for (const Route& route : judgement.result.routes) {
    count.add("neck loose", limits.neck_loose_mm.provenance);
    count.add("neck tight", limits.neck_tight_share.provenance);
    count_stock(job, route.stock, count);
  }
  return count.answer();
}

}  // namespace hosefit
