// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/height_cover.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "solver/decide/part_gaps.h"
#include "solver/decide/verdict_rules.h"
#include "solver/verify/clamp_proof.h"

namespace hosefit {
namespace {

constexpr double kEverywhere = std::numeric_limits<double>::infinity();
// Distances between parts come up to this much too small (rigid_gaps.h); a clash is short of its gap by that
// much less.
constexpr double kPartsAccuracy_mm = 0.05;

// The search sees curved shapes up to 0.05 mm too fat and measures to 0.01 mm (line_field.h, obstruction.h of
// route).
constexpr double kSearchAccuracy_mm = LineField::kOvershoot_mm + 0.01;

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

HeightCover cover_of_fit(const Job& job, const Judgement& judgement) {
  const Candidate& candidate = judgement.result.candidate;
  const Intake& intake = job.family.intakes[candidate.intake];
  const double spare =
      std::max(0.0, std::min(spare_of_parts_mm(judgement), spare_of_lines_mm(job, judgement)));
  HeightCover cover{Fit::fits, spare, spare};
  for (const Obstacle& box : intake.stretch) {
    const double thickness = thickness_mm(box, intake, candidate.height);
    if (thickness <= 0) cover.up_mm = std::min(cover.up_mm, -thickness);
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
    if (falls_short(gap))
      take(reach_of_shortfall(judgement, {gap.a, gap.b},
                              gap.required_mm - std::max(0.0, gap.distance_mm) - kPartsAccuracy_mm));
  for (const LineSearch& search : judgement.result.searches)
    if (is_argument(search.outcome)) take(reach_of_blocked_line(judgement, search));
  return cover;
}

}  // namespace

HeightCover height_cover(const Job& job, const Judgement& judgement) {
  switch (judgement.result.verdict.fit) {
    case Fit::fits:
      return cover_of_fit(job, judgement);
    case Fit::does_not_fit:
      return cover_of_misfit(judgement);
    case Fit::passage_no_stock:
    case Fit::undecided:
      break;
  }
  return {judgement.result.verdict.fit, 0, 0};
}

}  // namespace hosefit
