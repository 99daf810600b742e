// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/coolant/losses.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "solver/coolant/friction.h"

namespace hosefit {
namespace {

constexpr double dean_switch = 364.0;  // Ito's limit of Re (D/r)^2 between his two branches

double ito_alpha(double radius_over_bore, double turn_deg) {
  const double inverse = 1.0 / radius_over_bore;
  const double at_45 = 1.0 + 5.13 * std::pow(inverse, 1.47);
  const double at_90 = radius_over_bore < 9.85 ? 0.95 + 4.42 * std::pow(inverse, 1.96) : 1.0;
  const double at_180 = 1.0 + 5.06 * std::pow(inverse, 4.52);
  if (turn_deg <= 45.0) return at_45;
  if (turn_deg <= 90.0) return at_45 + (at_90 - at_45) * (turn_deg - 45.0) / 45.0;
  if (turn_deg <= 180.0) return at_90 + (at_180 - at_90) * (turn_deg - 90.0) / 90.0;
  return at_180;
}

/// total / (alpha theta_deg) above the switch.
double ito_high(double reynolds, double radius_over_bore) {
  return 0.00431 * std::pow(reynolds, -0.17) * std::pow(radius_over_bore, 0.84);
}

/// total / (alpha theta_deg) below the switch, with Ito's turbulent friction in a curved pipe.
double ito_low(double reynolds, double radius_over_bore) {
  const double radii = 2.0 * radius_over_bore;
  const double friction = (0.029 + 0.304 * std::pow(reynolds / (radii * radii), -0.25)) / std::sqrt(radii);
  return 0.01746 * friction * radius_over_bore;
}

double ito_total(double reynolds, double radius_over_bore, double turn_deg) {
  const double alpha = ito_alpha(radius_over_bore, turn_deg);
  if (reynolds > dean_switch * radius_over_bore * radius_over_bore)
    return alpha * turn_deg * ito_high(reynolds, radius_over_bore);
  // At the switch both branches go with sqrt(r/D), so one number closes the step for every radius.
  const double join = ito_high(dean_switch, 1.0) / ito_low(dean_switch, 1.0);
  return alpha * turn_deg * join * ito_low(reynolds, radius_over_bore);
}

double turbulent_excess(double reynolds, double radius_over_bore, Angle turn) {
  const double straight = colebrook_friction_factor(reynolds, 0.0) * turn.rad() * radius_over_bore;
  return std::max(0.0, ito_total(reynolds, radius_over_bore, turn.deg()) - straight);
}

double laminar_excess(double reynolds, double radius_over_bore, Angle turn) {
  const double more = curved_laminar_friction_factor(reynolds, radius_over_bore) - 64.0 / reynolds;
  return std::max(0.0, more * turn.rad() * radius_over_bore);
}

double bend_excess(double reynolds, double radius_over_bore, Angle turn) {
  if (reynolds >= lowest_turbulent_reynolds) return turbulent_excess(reynolds, radius_over_bore, turn);
  if (reynolds <= highest_laminar_reynolds) return laminar_excess(reynolds, radius_over_bore, turn);
  const double low = laminar_excess(highest_laminar_reynolds, radius_over_bore, turn);
  const double high = turbulent_excess(lowest_turbulent_reynolds, radius_over_bore, turn);
  return low + (high - low) * (reynolds - highest_laminar_reynolds) /
                   (lowest_turbulent_reynolds - highest_laminar_reynolds);
}

}  // namespace

BendLoss bend_loss(double reynolds, double radius_over_bore, Angle turn) {
  assert(reynolds > 0.0 && radius_over_bore >= 0.5 && turn.rad() >= 0.0);
  BendLoss loss;
  loss.excess = bend_excess(reynolds, radius_over_bore, turn);
  loss.total = loss.excess + friction_factor(reynolds, 0.0) * turn.rad() * radius_over_bore;
  loss.relative_band = reynolds >= 2e4 && reynolds <= 2e5 ? 0.30 : 0.40;
  loss.within_data = reynolds >= 2e4 && reynolds <= 4e5 && radius_over_bore <= 25.0;
  return loss;
}

double bore_change_loss(Length from_bore, Length to_bore, Angle cone) {
  assert(from_bore.mm() > 0.0 && to_bore.mm() > 0.0 && cone.rad() > 0.0 && cone.deg() <= 180.0 + 1e-9);
  const double ratio = std::min(from_bore, to_bore) / std::max(from_bore, to_bore);
  const double shut = 1.0 - ratio * ratio;
  const double half = std::sin(0.5 * cone.rad());
  const bool slender = cone.deg() < 45.0 - 1e-9;  // at 45 deg itself Crane takes the steep form
  if (to_bore > from_bore) return (slender ? std::min(1.0, 2.6 * half) : 1.0) * shut * shut;
  return (slender ? 0.8 * half : 0.5 * std::sqrt(half)) * shut;
}

double corrugated_friction_factor(Length bore, Length pitch) {
  assert(bore.mm() > 0.0 && pitch.mm() > 0.0);
  const double ratio = bore / (bore + 0.438 * pitch);
  const double per_corrugation = 1.0 - ratio * ratio;
  return per_corrugation * per_corrugation * (bore / pitch);
}

}  // namespace hosefit
