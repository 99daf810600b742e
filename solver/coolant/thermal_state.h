// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <functional>

#include "solver/base/quantity.h"
#include "solver/base/result.h"
#include "solver/coolant/fluid.h"
#include "solver/coolant/heat_exchange.h"

/// The steady temperature of an engine, its thermostat and its radiator, coupled with the flows that the
/// thermostat's opening lets through.
namespace hosefit {

/// On which side of the engine the thermostat stands, and so which coolant it senses: the block's outlet, or
/// the mixture that returns to the pump.
enum class ThermostatSide { block_outlet, pump_inlet };

struct ThermostatRule {
  Temperature opens_at;
  Temperature fully_open_at;
  ThermostatSide side = ThermostatSide::block_outlet;
};

/// (T - opens_at)/(fully_open_at - opens_at), held in 0..1.
double thermostat_opening(const ThermostatRule&, Temperature sensed);

struct ThermalLoop {
  ThermostatRule thermostat;
  RadiatorSide radiator;
  Temperature air_in;
  double engine_heat_w = 0.0;
  Temperature hottest = highest_fluid_temperature();  ///< where the search gives up
};

struct LoopFlows {
  Flow total;
  Flow radiator;
};
using FluidAt = std::function<Result<FluidProperties>(Temperature)>;
using FlowsAt = std::function<Result<LoopFlows>(const FluidProperties&, double opening)>;

/// - regulating: the thermostat is partly open and holds the temperature.
/// - fully_open: the radiator holds it.
/// - overheating: even at `hottest` the radiator does not move the heat. The state is the one there;
///   it is not steady, and the heat it moves is below the engine's.
enum class ThermalOutcome { regulating, fully_open, overheating };

struct ThermalState {
  ThermalOutcome outcome = ThermalOutcome::regulating;
  double opening = 0.0;
  Temperature block_outlet;
  Temperature pump_inlet;
  Temperature radiator_outlet;
  double effectiveness = 0.0;
  double radiator_heat_w = 0.0;
  FluidProperties fluid;  ///< at the sensed temperature, which all flows are computed with
};

/// Brackets the sensed temperature between opens_at and `hottest`, where the radiator's heat grows with it,
/// until radiator and engine heat agree to 1e-11. Only the radiator moves heat: heater, hoses and block lose
/// none. Wants engine_heat_w > 0, opens_at < fully_open_at < hottest, air_in < opens_at.
Result<ThermalState> solve_thermal_state(const ThermalLoop&, const FluidAt&, const FlowsAt&);

}  // namespace hosefit
