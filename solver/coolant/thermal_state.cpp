// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/coolant/thermal_state.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/coolant/problem.h"

namespace hosefit {
namespace {

Problems check(const ThermalLoop& loop) {
  Problems problems;
  const auto refuse = [&](const char* path, std::string text) {
    problems.push_back(coolant_problem(path, std::move(text)));
  };
  if (!(loop.engine_heat_w > 0.0 && std::isfinite(loop.engine_heat_w)))
    refuse("duty.heat", fmt::format("want a heat above 0 W, got {}", loop.engine_heat_w));
  const ThermostatRule& rule = loop.thermostat;
  if (!(rule.opens_at < rule.fully_open_at && rule.fully_open_at < loop.hottest))
    refuse("thermostat",
           fmt::format("want opens_at < fully_open_at < {:.0f} degC, got {} and {} degC",
                       loop.hottest.celsius(), rule.opens_at.celsius(), rule.fully_open_at.celsius()));
  if (!(loop.air_in < rule.opens_at))
    refuse("duty.air_in", fmt::format("want air cooler than the opening thermostat ({} degC), got {} degC",
                                      rule.opens_at.celsius(), loop.air_in.celsius()));
  const RadiatorSide& radiator = loop.radiator;
  if (!(radiator.ua_w_k > 0.0 && radiator.air_capacity_w_k > 0.0 &&
        radiator.ua_w_k <= 100.0 * radiator.air_capacity_w_k && std::isfinite(radiator.air_capacity_w_k)))
    refuse("radiator",
           fmt::format(
               "want UA and air capacity rate above 0 W/K and UA at most 100 times the latter, got {} and {}",
               radiator.ua_w_k, radiator.air_capacity_w_k));
  return problems;
}

/// Temperatures and radiator heat if the thermostat sensed `sensed`.
Result<ThermalState> state_at(const ThermalLoop& loop, const FluidAt& fluid_at, const FlowsAt& flows_at,
                              Temperature sensed) {
  const Result<FluidProperties> fluid = fluid_at(sensed);
  if (!fluid) return fluid.problems();
  const double opening = thermostat_opening(loop.thermostat, sensed);
  const Result<LoopFlows> flows = flows_at(*fluid, opening);
  if (!flows) return flows.problems();

  const double per_flow = fluid->density_kg_m3 * fluid->heat_capacity_j_kg_k;
  const double total_w_k = per_flow * flows->total.m3s();
  const double radiator_w_k = per_flow * flows->radiator.m3s();
  ThermalState state;
  state.fluid = *fluid;
  state.opening = opening;
  state.block_outlet = sensed;
  if (loop.thermostat.side == ThermostatSide::pump_inlet && total_w_k > 0.0)
    state.block_outlet = sensed + Temperature::celsius(loop.engine_heat_w / total_w_k);
  const RadiatorHeat heat = radiator_heat(loop.radiator, radiator_w_k);
  state.effectiveness = heat.effectiveness;
  state.radiator_heat_w = heat.watts_per_kelvin * (state.block_outlet - loop.air_in).celsius();
  state.radiator_outlet = state.block_outlet;
  state.pump_inlet = state.block_outlet;
  if (radiator_w_k > 0.0)
    state.radiator_outlet = state.block_outlet - Temperature::celsius(state.radiator_heat_w / radiator_w_k);
  if (total_w_k > 0.0)
    state.pump_inlet = state.block_outlet - Temperature::celsius(state.radiator_heat_w / total_w_k);
  return state;
}

}  // namespace

double thermostat_opening(const ThermostatRule& rule, Temperature sensed) {
  return std::clamp((sensed - rule.opens_at) / (rule.fully_open_at - rule.opens_at), 0.0, 1.0);
}

Result<ThermalState> solve_thermal_state(const ThermalLoop& loop, const FluidAt& fluid_at,
                                         const FlowsAt& flows_at) {
  if (Problems problems = check(loop); !problems.empty()) return problems;
  const Result<ThermalState> at_hottest = state_at(loop, fluid_at, flows_at, loop.hottest);
  if (!at_hottest) return at_hottest.problems();
  if (at_hottest->radiator_heat_w < loop.engine_heat_w) {
    ThermalState state = *at_hottest;
    state.outcome = ThermalOutcome::overheating;
    return state;
  }
  // Regula falsi with the Illinois halving: keeps the bracket, so it cannot hunt around the thermostat.
  double low = loop.thermostat.opens_at.celsius();
  double high = loop.hottest.celsius();
  double low_miss = -loop.engine_heat_w;
  double high_miss = at_hottest->radiator_heat_w - loop.engine_heat_w;
  int last_side = 0;
  constexpr int most_steps = 200;
  for (int step = 0; step < most_steps; ++step) {
    // A step in eight halves the bracket, in case the kink of the thermostat stalls the secants.
    const double middle =
        step % 8 == 7 ? 0.5 * (low + high) : low - low_miss * (high - low) / (high_miss - low_miss);
    Result<ThermalState> trial = state_at(loop, fluid_at, flows_at, Temperature::celsius(middle));
    if (!trial) return trial.problems();
    const double miss = trial->radiator_heat_w - loop.engine_heat_w;
    if (std::abs(miss) <= 1e-11 * loop.engine_heat_w || high - low <= 1e-12) {
      ThermalState state = *trial;
      state.outcome = state.opening < 1.0 ? ThermalOutcome::regulating : ThermalOutcome::fully_open;
      return state;
    }
    if (miss < 0.0) {
      low = middle;
      low_miss = miss;
      if (last_side == -1) high_miss *= 0.5;
      last_side = -1;
    } else {
      high = middle;
      high_miss = miss;
      if (last_side == 1) low_miss *= 0.5;
      last_side = 1;
    }
  }
  return Problems{coolant_problem(
      "coolant.temperature",
      fmt::format("the thermal balance did not converge: bracket {:.9f} to {:.9f} degC", low, high))};
}

}  // namespace hosefit
