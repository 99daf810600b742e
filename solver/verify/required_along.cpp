// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/required_along.h"

#include <algorithm>

namespace hosefit {
namespace {

constexpr std::array kRunners{Runner::hose, Runner::clamp, Runner::rigid_part};
enum StretchPlace : std::size_t { in_the_run, on_from_neck, on_to_neck };

StretchPlace place_of(const TubeStretch& stretch) {
  if (!stretch.over_neck) return in_the_run;
  return stretch.from_s_mm < 0 ? on_from_neck : on_to_neck;
}

}  // namespace

RequiredAlong::RequiredAlong(const Bay& bay, const GapTable& gaps, std::size_t line, ObstacleRef past) {
  const BayLine& of = bay.lines[line];
  const PlacedNeck &from = bay.necks[of.from], &to = bay.necks[of.to];
  const Body& body = *bay.bodies[past.body].body;
  const Obstacle& obstacle = body.obstacles[past.obstacle];
  own_of_from_ = is_own_part(from, past);
  own_of_to_ = is_own_part(to, past);
  for (const Runner runner : kRunners) {
    const auto at = static_cast<std::size_t>(runner);
    rows_[in_the_run][at] = required_gap(gaps, runner, of.carrier, obstacle, body.carrier);
    rows_[on_from_neck][at] = required_gap(gaps, runner, from.carrier, obstacle, body.carrier);
    rows_[on_to_neck][at] = required_gap(gaps, runner, to.carrier, obstacle, body.carrier);
  }
}

std::optional<RequiredAlong::Need> RequiredAlong::at(const TubeStretch& stretch) const {
  const OwnPart rule = std::min(own_of_from_ ? stretch.own_from : OwnPart::full_gap,
                                own_of_to_ ? stretch.own_to : OwnPart::full_gap);
  if (rule == OwnPart::does_not_count) return std::nullopt;
  const RequiredGap& row = rows_[place_of(stretch)][static_cast<std::size_t>(stretch.runner)];
  return Need{rule == OwnPart::must_not_touch ? 0.0 : row.gap.mm(), &row.provenance};
}

double RequiredAlong::most_mm() const {
  double most = 0;
  for (const ByRunner& rows : rows_)
    for (const RequiredGap& row : rows) most = std::max(most, row.gap.mm());
  return most;
}

const GapRow& row_between(const Bay& bay, const GapTable& gaps, const Tube& a, Runner runner_a, const Tube& b,
                          Runner runner_b) {
  const LineCarrier carrier_a = bay.lines[a.line].carrier, carrier_b = bay.lines[b.line].carrier;
  const bool same_carrier = carrier_a == carrier_b && carrier_a != LineCarrier::both;
  const GapRow& row_a = gaps.row(runner_a, Hazard::another_hose, same_carrier);
  const GapRow& row_b = gaps.row(runner_b, Hazard::another_hose, same_carrier);
  return row_a.at_rest < row_b.at_rest ? row_b : row_a;
}

}  // namespace hosefit
