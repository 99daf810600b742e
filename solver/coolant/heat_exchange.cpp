// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/coolant/heat_exchange.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace hosefit {
namespace {

/// 1/(Cr NTU) sum over n of P(more than n | NTU) P(more than n | Cr NTU), with P of Poisson distributions:
/// the same series as Mason's in Bessel functions, but every term lies in 0..1 and nothing overflows.
double exact_effectiveness(double transfer_units, double capacity_ratio) {
  const double a = transfer_units;
  const double b = capacity_ratio * transfer_units;
  double exactly_a = std::exp(-a);
  double exactly_b = std::exp(-b);
  double more_than_a = -std::expm1(-a);
  double more_than_b = -std::expm1(-b);
  double sum = 0.0;
  constexpr int most_terms = 2000;  // the tail at b = 500 is gone well before
  for (int n = 0; n < most_terms; ++n) {
    const double term = more_than_a * more_than_b;
    sum += term;
    if (n > b && term <= 1e-17 * sum) break;
    exactly_a *= a / (n + 1);
    exactly_b *= b / (n + 1);
    more_than_a = std::max(0.0, more_than_a - exactly_a);
    more_than_b = std::max(0.0, more_than_b - exactly_b);
  }
  return sum / b;
}

}  // namespace

double crossflow_effectiveness(CrossflowForm form, double transfer_units, double capacity_ratio) {
  assert(transfer_units >= 0.0 && capacity_ratio >= 0.0 && capacity_ratio <= 1.0);
  assert(capacity_ratio * transfer_units <= 500.0);
  if (transfer_units == 0.0) return 0.0;
  if (capacity_ratio * transfer_units < 1e-12) return -std::expm1(-transfer_units);
  if (form == CrossflowForm::exact) return exact_effectiveness(transfer_units, capacity_ratio);
  const double inside = std::expm1(-capacity_ratio * std::pow(transfer_units, 0.78));
  return -std::expm1(std::pow(transfer_units, 0.22) / capacity_ratio * inside);
}

RadiatorHeat radiator_heat(const RadiatorSide& radiator, double coolant_capacity_w_k) {
  if (coolant_capacity_w_k <= 0.0 || radiator.ua_w_k <= 0.0 || radiator.air_capacity_w_k <= 0.0) return {};
  const double smaller = std::min(coolant_capacity_w_k, radiator.air_capacity_w_k);
  const double larger = std::max(coolant_capacity_w_k, radiator.air_capacity_w_k);
  const double effectiveness =
      crossflow_effectiveness(radiator.form, radiator.ua_w_k / smaller, smaller / larger);
  return {effectiveness, effectiveness * smaller};
}

}  // namespace hosefit
