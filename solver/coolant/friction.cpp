// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/coolant/friction.h"

#include <cassert>
#include <cmath>

namespace hosefit {
namespace {

/// Relative band of Colebrook against measured pipe (from memory).
constexpr double turbulent_band = 0.10;

/// 1/sqrt(f) by Haaland, J. Fluids Eng. 105 (1983) 89; within 1.5 % in f, so Newton starts in its basin.
double haaland_start(double reynolds, double relative_roughness) {
  return -1.8 * std::log10(std::pow(relative_roughness / 3.7, 1.11) + 6.9 / reynolds);
}

}  // namespace

double colebrook_friction_factor(double reynolds, double relative_roughness) {
  assert(reynolds >= 1000.0 && relative_roughness >= 0.0 && relative_roughness <= 0.1);
  const double rough = relative_roughness / 3.7;
  const double viscous = 2.51 / reynolds;
  double x = haaland_start(reynolds, relative_roughness);
  constexpr int most_steps =
      20;  // quadratic from 1.5 %: three to five steps are enough, the rest is a safe stop
  for (int step = 0; step < most_steps; ++step) {
    const double inside = rough + viscous * x;
    const double miss = x + 2.0 * std::log10(inside);
    const double slope = 1.0 + 2.0 * viscous / (std::log(10.0) * inside);
    const double change = miss / slope;
    x -= change;
    if (std::abs(change) <= 1e-13 * x) break;
  }
  return 1.0 / (x * x);
}

double friction_factor(double reynolds, double relative_roughness) {
  assert(reynolds > 0.0 && relative_roughness >= 0.0 && relative_roughness <= 0.1);
  if (reynolds <= highest_laminar_reynolds) return 64.0 / reynolds;
  if (reynolds >= lowest_turbulent_reynolds) return colebrook_friction_factor(reynolds, relative_roughness);
  const double laminar = 64.0 / highest_laminar_reynolds;
  const double turbulent = colebrook_friction_factor(lowest_turbulent_reynolds, relative_roughness);
  const double along =
      (reynolds - highest_laminar_reynolds) / (lowest_turbulent_reynolds - highest_laminar_reynolds);
  return laminar + along * (turbulent - laminar);
}

FrictionBand friction_band(double reynolds, double relative_roughness) {
  const double nominal = friction_factor(reynolds, relative_roughness);
  if (reynolds <= highest_laminar_reynolds) return {nominal, nominal, nominal, false};
  if (reynolds >= lowest_turbulent_reynolds)
    return {(1.0 - turbulent_band) * nominal, nominal, (1.0 + turbulent_band) * nominal, false};
  return {64.0 / reynolds, nominal, colebrook_friction_factor(reynolds, relative_roughness), true};
}

double curved_laminar_friction_factor(double reynolds, double radius_over_bore) {
  assert(reynolds > 0.0 && radius_over_bore > 0.0);
  const double straight = 64.0 / reynolds;
  const double dean = reynolds * std::sqrt(0.5 / radius_over_bore);
  if (dean <= 11.6) return straight;
  return straight / (1.0 - std::pow(1.0 - std::pow(11.6 / dean, 0.45), 2.2));
}

}  // namespace hosefit
