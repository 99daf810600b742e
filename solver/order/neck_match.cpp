// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/order/neck_match.h"

#include "solver/rules/part_rules.h"

namespace hosefit {
namespace {

NeckGrip grip_of(double over_mm, double bore_mm, const RuleLimits& limits) {
  constexpr double kRounding_mm = 1e-9;
  if (over_mm < -limits.neck_loose_mm.value - kRounding_mm) return NeckGrip::loose;
  if (over_mm <= limits.neck_tight_share.value * bore_mm + kRounding_mm) return NeckGrip::good;
  if (over_mm <= limits.neck_tight_flag_share.value * bore_mm + kRounding_mm) return NeckGrip::tight;
  return NeckGrip::too_tight;
}

}  // namespace

NeckMatch neck_match(const PlacedNeck& neck, Length hose_bore) {
  const RuleLimits limits = default_rule_limits();
  NeckMatch match;
  match.neck = neck.name;
  match.neck_outside = neck.outside_diameter;
  match.neck_bore = neck.bore;
  match.spigot = neck.straight;
  match.bead = neck.bead;
  match.hose_bore = hose_bore;
  match.over = neck.outside_diameter - hose_bore;
  match.grip = grip_of(match.over.mm(), hose_bore.mm(), limits);
  match.neck_tolerance = default_accuracy(MeasuredBy::caliper);
  match.iso1307 = iso_1307_limits(hose_bore);
  if (match.iso1307) {
    match.over_least = match.over + (hose_bore - match.iso1307->most) - match.neck_tolerance;
    match.over_most = match.over + (hose_bore - match.iso1307->least) + match.neck_tolerance;
  }
  match.accept_least = (neck.outside_diameter + match.neck_tolerance) / (1.0 + limits.neck_tight_share.value);
  match.accept_most = neck.outside_diameter - match.neck_tolerance + Length::mm(limits.neck_loose_mm.value);
  return match;
}

}  // namespace hosefit
