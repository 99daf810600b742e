// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/height_cover.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "solver/decide/part_gaps.h"
#include "solver/decide/verdict_rules.h"
#include "solver/verify/clamp_proof.h"
#include "solver/verify/unseen_space.h"

namespace hosefit {
namespace {

constexpr double kEverywhere = std::numeric_limits<double>::infinity();
// Distances between parts come up to this much too small (rigid_gaps.h); a clash is short of its gap by that
// much less.
constexpr double kPartsAccuracy_mm = 0.05;

// The search sees curved shapes up to 0.05 mm too fat and measures to 0.01 mm (line_field.h, obstruction.h of
// route).
constexpr double kSearchAccuracy_mm = LineField::kOvershoot_mm + 0.01;

constexpr double kLeastReach_mm = 0.05;  // less is not worth a proof
constexpr double kSeenStep_mm = 5.0;     // a part is looked at every 40 mm of its surface (unseen_parts.h)

constexpr std::array kMovingBodies{BayBody::intake_stretch, BayBody::intake_top};

bool moves(std::size_t body) {
  return std::any_of(kMovingBodies.begin(), kMovingBodies.end(), [&](BayBody b) { return index(b) == body; });
}

double spare_of_parts_mm(const Judgement& judgement) {
  double spare = kPartsSpareLooked_mm - kPartsAccuracy_mm;
  for (const RigidGap& gap : judgement.part_gaps)
    if (moves(gap.a.body) || moves(gap.b.body))
      spare = std::min(spare, gap.distance_mm - gap.required_mm - kPartsAccuracy_mm);
  return spare;
}

// The proof looks no further than 20 mm around a clamp and names only what is tightest. A clamp held tight by
// something that stands still may be far from the moving bodies: a ball around its housing bounds that from
// below.
double spare_of_clamp_mm(const Job& job, const Bay& bay, const ProofBodies& bodies, const BayLine& line,
                         const ClampRecord& clamp) {
  const Straight& housing = clamp.housing;
  const Vec3 centre_mm = 0.5 * (housing.from_mm + housing.to_mm);
  const double reach_mm = 0.5 * (housing.to_mm - housing.from_mm).norm() + kClampRadius_mm;
  double spare = std::numeric_limits<double>::infinity();
  for (const BayBody moving : kMovingBodies) {
    const Body& body = *bay.bodies[index(moving)].body;
    for (std::size_t i = 0; i < body.obstacles.size(); ++i) {
      const RequiredGap gap =
          required_gap(job.gaps, Runner::clamp, line.carrier, body.obstacles[i], body.carrier);
      spare = std::min(spare, bodies.distance_mm({index(moving), i}, centre_mm) - reach_mm - gap.gap.mm());
    }
  }
  return std::max(clamp.spare_mm, spare);
}

double spare_of_lines_mm(const Job& job, const Judgement& judgement) {
  const Bay& bay = *judgement.bay;
  const ProofBodies bodies(bay);
  double spare = ProofOptions::kRecorded_mm;
  for (const LineProof& proof : judgement.result.proof.lines) {
    for (const GapRecord& gap : proof.gaps)
      if (gap.ref && moves(gap.ref->body)) spare = std::min(spare, gap.proved_mm - gap.required_mm);
    for (const ClampRecord& clamp : proof.clamps)
      spare = std::min(spare, spare_of_clamp_mm(job, bay, bodies, bay.lines[proof.line], clamp));
  }
  return spare;
}

// Thickness of a stretch box at a height: at or below 0 it is not there.
double thickness_mm(const Obstacle& stretch, const Intake& intake, Length height) {
  return 2 * std::get<BoxShape>(stretch.shape).half_size_mm.z() + (height - intake.drawn_height).mm();
}

// Of what the proof in motion found, nothing moving with the height has more to spare than this.
double most_in_motion_mm(const MotionAnswer& motion, double tolerance_mm) {
  double most = kEverywhere;
  for (const MotionLine& line : motion.lines)
    for (const MotionGap& gap : line.gaps)
      if (gap.ref && moves(gap.ref->body))
        most = std::min(most, gap.found_mm - gap.required_mm + tolerance_mm);
  for (const PartInMotion& part : motion.parts.near)
    if (moves(part.on_engine.body)) most = std::min(most, part.found_mm - part.required_mm + tolerance_mm);
  return most;
}

bool holds_in_motion_with(const Prepared& prepared, const Judgement& judgement, double more_mm) {
  const Job& job = prepared.job();
  const Bay& bay = *judgement.bay;
  MotionOptions options;
  options.more_mm.assign(bay.bodies.size(), 0.0);
  for (const BayBody moving : kMovingBodies) options.more_mm[index(moving)] = more_mm;
  if (!candidates_parts_in_motion(job, bay, prepared.proofs(), options).proved) return false;
  const CandidateResult& result = judgement.result;
  const ProofBodies bodies(bay, prepared.proofs());
  const auto lines =
      lines_in_motion_again(job, bay, bodies, result.routes, result.proof, result.motion->lines, options);
  return std::all_of(lines.begin(), lines.end(), [](const MotionLine& line) { return line.proved; });
}

// The largest of a few shares of what is spare at rest that is proved in motion too.
double spare_in_motion_mm(const Prepared& prepared, const Judgement& judgement, double at_rest_mm) {
  const double most =
      std::min(at_rest_mm, most_in_motion_mm(*judgement.result.motion, MotionOptions{}.tolerance_mm));
  for (const double share : {1.0, 0.9, 0.6, 0.3})
    if (const double spare = share * most;
        spare > kLeastReach_mm && holds_in_motion_with(prepared, judgement, spare))
      return spare;
  return 0;
}

bool parts_are_seen(const Prepared& prepared, const Judgement& judgement, double change_mm) {
  Candidate candidate = judgement.result.candidate;
  candidate.height = candidate.height + Length::mm(change_mm);
  const Bay bay = assemble(prepared.job(), prepared.bodies(), candidate);
  return unseen_findings(bay, prepared.proofs()).empty() &&
         candidates_parts_in_motion(prepared.job(), bay, prepared.proofs(), {}).unseen.empty();
}

double seen_for_mm(const Prepared& prepared, const Judgement& judgement, double reach_mm, double sign) {
  double seen = 0;
  while (seen < reach_mm) {
    const double next = std::min(reach_mm, seen + kSeenStep_mm);
    if (!parts_are_seen(prepared, judgement, sign * next)) break;
    seen = next;
  }
  return seen;
}

// What an open scan of a moving part shows of the space around the lines is another thing at another height.
bool moving_scan(const Bay& bay) {
  return std::any_of(kMovingBodies.begin(), kMovingBodies.end(), [&](BayBody moving) {
    const auto& obstacles = bay.bodies[index(moving)].body->obstacles;
    return std::any_of(obstacles.begin(), obstacles.end(), [](const Obstacle& o) { return !o.closed; });
  });
}

HeightCover cover_of_fit(const Prepared& prepared, const Judgement& judgement) {
  const Job& job = prepared.job();
  const Candidate& candidate = judgement.result.candidate;
  const Intake& intake = job.family.intakes[candidate.intake];
  if (moving_scan(*judgement.bay)) return {Fit::fits, 0, 0};
  const double at_rest =
      std::max(0.0, std::min(spare_of_parts_mm(judgement), spare_of_lines_mm(job, judgement)));
  const double spare = spare_in_motion_mm(prepared, judgement, at_rest);
  HeightCover cover{Fit::fits, spare, spare};
  for (const Obstacle& box : intake.stretch) {
    const double thickness = thickness_mm(box, intake, candidate.height);
    if (thickness <= 0) cover.up_mm = std::min(cover.up_mm, -thickness);
  }
  const Bay& bay = *judgement.bay;
  const ProofBodies bodies(bay, prepared.proofs());
  if (has_scan(bay, bodies, Carrier::chassis) || has_scan(bay, bodies, Carrier::engine)) {
    cover.down_mm = seen_for_mm(prepared, judgement, cover.down_mm, -1);
    cover.up_mm = seen_for_mm(prepared, judgement, cover.up_mm, 1);
  }
  return cover;
}

struct Reach {
  double down_mm = 0, up_mm = 0;
};

Reach reach_of_shortfall(const Judgement& judgement, std::initializer_list<ObstacleRef> refs,
                         double missing_mm) {
  Reach reach{kEverywhere, kEverywhere};
  for (const ObstacleRef ref : refs) {
    if (!moves(ref.body)) continue;
    reach.down_mm = std::min(reach.down_mm, missing_mm);
    reach.up_mm = std::min(reach.up_mm, missing_mm);
    if (ref.body != index(BayBody::intake_stretch)) continue;
    const BoxShape& box = std::get<BoxShape>(obstacle(*judgement.bay, ref).shape);
    reach.down_mm = std::min(reach.down_mm, 2 * box.half_size_mm.z());
  }
  return {std::max(0.0, reach.down_mm), std::max(0.0, reach.up_mm)};
}

// A neck is blocked at every height at which it is blocked for each make that was tried.
Reach reach_of_blocked_line(const Judgement& judgement, const LineSearch& search) {
  if (search.outcome != SearchOutcome::stub_blocked || search.attempts.empty()) return {};
  Reach reach{kEverywhere, kEverywhere};
  for (const MakeAttempt& attempt : search.attempts) {
    if (attempt.stock.empty()) continue;  // nothing on sale goes on these necks, whatever the height
    if (attempt.outcome != SearchOutcome::stub_blocked || !attempt.nearest_miss || !attempt.nearest_miss->ref)
      return {};
    const Obstruction& miss = *attempt.nearest_miss;
    const Reach one =
        reach_of_shortfall(judgement, {*miss.ref}, miss.missing_mm - miss.resolution_mm - kSearchAccuracy_mm);
    reach = {std::min(reach.down_mm, one.down_mm), std::min(reach.up_mm, one.up_mm)};
  }
  return reach;
}

HeightCover cover_of_misfit(const Judgement& judgement) {
  HeightCover cover{Fit::does_not_fit, 0, 0};
  if (!judgement.bay) {
    const bool by_height =
        std::any_of(judgement.result.findings.begin(), judgement.result.findings.end(),
                    [](const Finding& f) { return f.rule == RuleId::chosen_height_range; });
    if (!by_height) cover.down_mm = cover.up_mm = kEverywhere;
    return cover;
  }
  const auto take = [&](const Reach& reach) {
    if (reach.down_mm + reach.up_mm > cover.down_mm + cover.up_mm)
      cover = {Fit::does_not_fit, reach.down_mm, reach.up_mm};
  };
  for (const RigidGap& gap : judgement.part_gaps)
    if (falls_short(gap) && !goes_with_a_neck(gap.a) && !goes_with_a_neck(gap.b))
      take(reach_of_shortfall(judgement, {gap.a, gap.b},
                              gap.required_mm - std::max(0.0, gap.distance_mm) - kPartsAccuracy_mm));
  for (const PartInMotion& part : judgement.parts_in_motion.near)
    if (part.answer == PartInMotion::Answer::comes_short && !goes_with_a_neck(part.on_engine) &&
        !goes_with_a_neck(part.on_chassis))
      take(reach_of_shortfall(judgement, {part.on_engine, part.on_chassis},
                              part.required_mm - std::max(0.0, part.found_mm) - kPartsAccuracy_mm -
                                  MotionOptions{}.tolerance_mm));
  // What was said at this height of all the places of necks, or beside a tee, was not measured for others.
  const bool necks_to_choose = judgement.bay && judgement.bay->bodies.size() > kFirstNeckBody;
  for (const LineSearch& search : judgement.result.searches)
    if (is_argument(search.outcome) && !necks_to_choose) take(reach_of_blocked_line(judgement, search));
  return cover;
}

}  // namespace

HeightCover height_cover(const Prepared& prepared, const Judgement& judgement) {
  switch (judgement.result.verdict.fit) {
    case Fit::fits:
      return cover_of_fit(prepared, judgement);
    case Fit::does_not_fit:
      return cover_of_misfit(judgement);
    case Fit::passage_no_stock:
    case Fit::undecided:
      break;
  }
  return {judgement.result.verdict.fit, 0, 0};
}

}  // namespace hosefit
