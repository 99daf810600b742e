// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/coolant/fluid.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <cstddef>
#include <span>

#include "solver/coolant/fluid_data.h"
#include "solver/coolant/problem.h"

namespace hosefit {
namespace {

constexpr double highest_share = 0.60;
constexpr double highest_celsius = 120.0;
constexpr double highest_polynomial_celsius = 100.0;
constexpr double highest_vapour_celsius = 150.0;

double between(double x, double x0, double x1, double y0, double y1) {
  return y0 + (y1 - y0) * (x - x0) / (x1 - x0);
}

std::span<const fluid_data::ShareRow> share_rows(CoolantKind kind) {
  if (kind == CoolantKind::ethylene_glycol) return fluid_data::ethylene_shares;
  return fluid_data::propylene_shares;
}

double volume_from_mass(CoolantKind kind, double mass) {
  const auto rows = share_rows(kind);
  std::size_t i = 1;
  while (i + 1 < rows.size() && rows[i].mass < mass) ++i;
  return between(mass, rows[i - 1].mass, rows[i].mass, rows[i - 1].volume, rows[i].volume);
}

double mass_from_volume(CoolantKind kind, double volume) {
  const auto rows = share_rows(kind);
  std::size_t i = 1;
  while (i + 1 < rows.size() && rows[i].volume < volume) ++i;
  return between(volume, rows[i - 1].volume, rows[i].volume, rows[i - 1].mass, rows[i].mass);
}

const fluid_data::Melinder& polynomial_of(CoolantKind kind) {
  return kind == CoolantKind::ethylene_glycol ? fluid_data::ethylene_glycol : fluid_data::propylene_glycol;
}

/// Melinder's double polynomial: sum of c[i][j] x^i y^j with x in mass per cent and y in degC off their
/// bases; the coefficients of x^0..x^5 come in rows of 4, 4, 4, 3, 2 and 1 powers of y.
double melinder(const fluid_data::Melinder& fluid, std::size_t property, double mass_share, double celsius) {
  constexpr std::array<std::size_t, 6> powers_of_y = {4, 4, 4, 3, 2, 1};
  const double x = 100.0 * mass_share - fluid.base_percent;
  const double y = celsius - fluid.base_celsius;
  double sum = 0.0;
  double x_power = 1.0;
  std::size_t row = 0;
  for (const std::size_t count : powers_of_y) {
    double y_power = x_power;
    for (std::size_t j = 0; j < count; ++j, ++row, y_power *= y) sum += fluid.rows[row][property] * y_power;
    x_power *= x;
  }
  return sum;
}

double log_viscosity_mpa_s(const fluid_data::Melinder& fluid, double share, double celsius) {
  using fluid_data::log_viscosity;
  if (celsius <= highest_polynomial_celsius) return melinder(fluid, log_viscosity, share, celsius);
  constexpr double t0_k = 80.0 + 273.15;
  constexpr double t1_k = highest_polynomial_celsius + 273.15;
  return between(1.0 / (celsius + 273.15), 1.0 / t0_k, 1.0 / t1_k,
                 melinder(fluid, log_viscosity, share, 80.0),
                 melinder(fluid, log_viscosity, share, highest_polynomial_celsius));
}

FluidProperties glycol_properties(const CoolantMix& mix, Temperature at) {
  const fluid_data::Melinder& fluid = polynomial_of(mix.kind());
  const double share = mix.mass_share();
  const double celsius = at.celsius();
  // Where the second source lies further off (fluid_test): strong, hot or cold mixtures.
  const bool strong = share >= 0.55;
  const bool far_viscosity = strong || celsius > highest_polynomial_celsius || celsius < 10.0;
  return {at,
          melinder(fluid, fluid_data::density, share, celsius),
          1e-3 * std::exp(log_viscosity_mpa_s(fluid, share, celsius)),
          melinder(fluid, fluid_data::heat_capacity, share, celsius),
          melinder(fluid, fluid_data::conductivity, share, celsius),
          {strong ? 0.012 : 0.01, far_viscosity ? 0.15 : 0.10, strong ? 0.03 : 0.025, 0.05}};
}

FluidProperties water_properties(Temperature at) {
  const auto& rows = fluid_data::water_rows;
  const double celsius = at.celsius();
  std::size_t i = 1;
  while (i + 1 < rows.size() && rows[i].celsius < celsius) ++i;
  const fluid_data::WaterRow& a = rows[i - 1];
  const fluid_data::WaterRow& b = rows[i];
  const auto straight = [&](double y0, double y1) { return between(celsius, a.celsius, b.celsius, y0, y1); };
  const double log_viscosity =
      between(1.0 / at.kelvin(), 1.0 / (a.celsius + 273.15), 1.0 / (b.celsius + 273.15),
              std::log(a.viscosity_pa_s), std::log(b.viscosity_pa_s));
  return {at,
          straight(a.density_kg_m3, b.density_kg_m3),
          std::exp(log_viscosity),
          straight(a.heat_capacity_j_kg_k, b.heat_capacity_j_kg_k),
          straight(a.conductivity_w_m_k, b.conductivity_w_m_k),
          {0.0005, 0.015, 0.002, 0.02}};
}

/// IAPWS-IF97 region 4, saturation pressure in Pa.
double water_vapour_pa(double kelvin) {
  const auto& n = fluid_data::if97_region4;
  const double theta = kelvin + n[8] / (kelvin - n[9]);
  const double a = theta * theta + n[0] * theta + n[1];
  const double b = n[2] * theta * theta + n[3] * theta + n[4];
  const double c = n[5] * theta * theta + n[6] * theta + n[7];
  const double root = 2.0 * c / (-b + std::sqrt(b * b - 4.0 * a * c));
  return 1e6 * root * root * root * root;
}

double glycol_vapour_pa(CoolantKind kind, double kelvin) {
  const fluid_data::PerryVapour& p =
      kind == CoolantKind::ethylene_glycol ? fluid_data::ethylene_vapour : fluid_data::propylene_vapour;
  return std::exp(p.c1 + p.c2 / kelvin + p.c3 * std::log(kelvin) + p.c4 * std::pow(kelvin, p.c5));
}

double water_mole_share(const CoolantMix& mix) {
  const double water = (1.0 - mix.mass_share()) / fluid_data::water_kg_mol;
  const double glycol =
      mix.mass_share() / (mix.kind() == CoolantKind::ethylene_glycol ? fluid_data::ethylene_glycol_kg_mol
                                                                     : fluid_data::propylene_glycol_kg_mol);
  return water / (water + glycol);
}

double vapour_pa(const CoolantMix& mix, double kelvin) {
  if (mix.kind() == CoolantKind::water) return water_vapour_pa(kelvin);
  const double x = water_mole_share(mix);
  return x * water_vapour_pa(kelvin) + (1.0 - x) * glycol_vapour_pa(mix.kind(), kelvin);
}

std::string glycol_name(CoolantKind kind) {
  return kind == CoolantKind::ethylene_glycol ? "ethylene glycol" : "propylene glycol";
}

}  // namespace

Result<CoolantMix> CoolantMix::by_mass(CoolantKind kind, double share) {
  if (kind == CoolantKind::water) {
    if (share == 0.0) return water();
    return Problems{coolant_problem("coolant.mass_share", fmt::format("want 0 for water, got {}", share))};
  }
  if (!(share > 0.0 && share <= highest_share))
    return Problems{coolant_problem(
        "coolant.mass_share",
        fmt::format("want 0 < share <= {} of {} by mass, the range of the property data, got {}",
                    highest_share, glycol_name(kind), share))};
  return CoolantMix(kind, share);
}

Result<CoolantMix> CoolantMix::by_volume(CoolantKind kind, double share) {
  if (kind == CoolantKind::water) {
    if (share == 0.0) return water();
    return Problems{coolant_problem("coolant.volume_share", fmt::format("want 0 for water, got {}", share))};
  }
  const double highest_volume = volume_from_mass(kind, highest_share);
  if (!(share > 0.0 && share <= highest_volume))
    return Problems{coolant_problem(
        "coolant.volume_share",
        fmt::format("want 0 < share <= {} of {} by volume, the range of the property data, got {}",
                    highest_volume, glycol_name(kind), share))};
  return CoolantMix(kind, mass_from_volume(kind, share));
}

double CoolantMix::volume_share() const {
  return kind_ == CoolantKind::water ? 0.0 : volume_from_mass(kind_, mass_share_);
}

std::string CoolantMix::text() const {
  if (kind_ == CoolantKind::water) return "water";
  return fmt::format("{:.1f} % {} by mass ({:.1f} % by volume)", 100.0 * mass_share_, glycol_name(kind_),
                     100.0 * volume_share());
}

double prandtl(const FluidProperties& fluid) {
  return fluid.viscosity_pa_s * fluid.heat_capacity_j_kg_k / fluid.conductivity_w_m_k;
}

Temperature highest_fluid_temperature() {
  return Temperature::celsius(highest_celsius);
}

Temperature freezing_point(const CoolantMix& mix) {
  if (mix.kind() == CoolantKind::water) return Temperature::celsius(0.0);
  const fluid_data::Melinder& fluid = polynomial_of(mix.kind());
  return Temperature::celsius(melinder(fluid, fluid_data::freezing, mix.mass_share(), fluid.base_celsius));
}

Result<FluidProperties> fluid_properties(const CoolantMix& mix, Temperature at) {
  const Temperature lowest = freezing_point(mix);
  if (!(at >= lowest && at.celsius() <= highest_celsius))
    return Problems{coolant_problem(
        "coolant.temperature", fmt::format("want {:.1f} <= temperature <= {} degC for {}, got {:.1f} degC",
                                           lowest.celsius(), highest_celsius, mix.text(), at.celsius()))};
  return mix.kind() == CoolantKind::water ? water_properties(at) : glycol_properties(mix, at);
}

Result<Pressure> vapour_pressure(const CoolantMix& mix, Temperature at) {
  if (!(at.celsius() >= 0.0 && at.celsius() <= highest_vapour_celsius))
    return Problems{
        coolant_problem("coolant.temperature",
                        fmt::format("want 0 <= temperature <= {} degC for a vapour pressure, got {:.1f} degC",
                                    highest_vapour_celsius, at.celsius()))};
  return Pressure::pa(vapour_pa(mix, at.kelvin()));
}

Result<Temperature> boiling_point(const CoolantMix& mix, Pressure absolute) {
  double low = 273.15;
  double high = 273.15 + highest_vapour_celsius;
  if (!(absolute.pa() >= vapour_pa(mix, low) && absolute.pa() <= vapour_pa(mix, high)))
    return Problems{coolant_problem("coolant.pressure",
                                    fmt::format("want a pressure of {:.2f} to {:.0f} kPa absolute for a "
                                                "boiling point between 0 and {} degC, got {:.2f} kPa",
                                                vapour_pa(mix, low) / 1000.0, vapour_pa(mix, high) / 1000.0,
                                                highest_vapour_celsius, absolute.kpa()))};
  constexpr int halvings = 60;  // 150 K / 2^60 is below the spacing of doubles at 400 K
  for (int i = 0; i < halvings; ++i) {
    const double middle = 0.5 * (low + high);
    (vapour_pa(mix, middle) < absolute.pa() ? low : high) = middle;
  }
  return Temperature::celsius(0.5 * (low + high) - 273.15);
}

Result<Temperature> boiling_point(const CoolantMix& mix, Pressure cap_gauge, Length altitude) {
  const Result<Pressure> air = air_pressure(altitude);
  if (!air) return air.problems();
  return boiling_point(mix, *air + cap_gauge);
}

Result<Pressure> air_pressure(Length altitude) {
  if (!(altitude.metre() >= -500.0 && altitude.metre() <= 6000.0))
    return Problems{coolant_problem(
        "altitude", fmt::format("want -500 <= altitude <= 6000 m, got {:.0f} m", altitude.metre()))};
  return Pressure::pa(101325.0 * std::pow(1.0 - 0.0065 * altitude.metre() / 288.15, 5.255880));
}

}  // namespace hosefit
