// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "solver/base/quantity.h"
#include "solver/base/result.h"
#include "solver/coolant/circuit.h"
#include "solver/coolant/pump_curve.h"
#include "solver/coolant/thermal_state.h"

/// What a coolant circuit does at a duty: flows with their bands, loss per line, temperatures, suction
/// margin.
namespace hosefit {

/// Margin of the total pressure at a pump inlet over the vapour pressure: `cap_absolute` holds at the coolant
/// level `cap_above_pump` above the inlet, `lost` on the way. density g times NPSH available (closed loop).
Pressure suction_margin(Pressure cap_absolute, Length cap_above_pump, double density_kg_m3, Pressure lost,
                        Pressure vapour);

/// What a line does in the circuit; the velocity guides depend on it.
enum class LineDuty { pressure, suction, heater };

/// Mean velocities that installation practice asks for (from memory): preferred and limit. Suction 2.5
/// and 3.0, pressure 3.5 and 4.5, heater 2.0 m/s for both.
struct VelocityGuide {
  double preferred_m_s;
  double limit_m_s;
};
VelocityGuide velocity_guide(LineDuty);

enum class VelocityGrade { within_guide, above_preferred, above_limit };
VelocityGrade velocity_grade(LineDuty, double velocity_m_s);

struct LineReport {
  std::string name;
  LineDuty duty = LineDuty::pressure;
  SourcedFlow flow;
  Pressure loss;  ///< at the nominal flow
  Pressure loss_low;
  Pressure loss_high;
  double percent_of_pump_rise = 0.0;
  double velocity_m_s = 0.0;
  VelocityGrade velocity = VelocityGrade::within_guide;
  std::vector<std::string> notes;
};

/// Pressure at the pump inlet less the vapour pressure of what flows in. Total pressure, as for NPSH; a
/// margin of 20 to 30 kPa is usual (from memory).
struct SuctionMargin {
  Pressure nominal;
  Pressure low;
  Pressure high;
};

struct OperatingPoint {
  std::string duty;
  ThermalOutcome outcome = ThermalOutcome::regulating;
  SourcedFlow total;
  SourcedFlow radiator;
  std::optional<SourcedFlow> heater;
  std::optional<SourcedFlow> bypass;
  Pressure pump_rise;
  std::vector<LineReport> lines;  ///< upper, lower, then heater feed and return when there is a heater
  double thermostat_opening = 0.0;
  Temperature block_outlet;
  Temperature block_outlet_low;  ///< over the same ends of the bands as the flows
  Temperature block_outlet_high;
  Temperature pump_inlet;
  double radiator_drop_k = 0.0;  ///< coolant, inlet to outlet
  Temperature boiling_point;     ///< under the cap, at the altitude
  Pressure pump_inlet_absolute;
  SuctionMargin suction_margin;
  bool overheats_in_band =
      false;  ///< at some end of the bands the radiator no longer moves the heat below 120 degC
};

/// The steady state of a circuit at a duty.
///
/// Bands: the coupled hydraulic and thermal problem is solved again at every combination of the low and high
/// ends of pump curve, jacket loss, radiator path and other paths (16 combinations); a band is the span of
/// all answers, so it holds when every error is at its end at once.
///
/// Exact crossflow form. Only the radiator moves heat, so a heater in use makes the engine cooler than told.
///
/// An engine that overheats is an answer, not a Problem: see ThermalOutcome. Problems: those of check(), a
/// temperature out of the fluid's range, or no convergence.
Result<OperatingPoint> operating_point(const CoolantCircuit&, const CircuitDuty&);

/// All duties in order; every problem of every duty when one fails.
Result<std::vector<OperatingPoint>> operating_points(const CoolantCircuit&, const std::vector<CircuitDuty>&);

/// The flows with the thermostat shut, at one temperature: what keeps the block from local steam while
/// warming up. All zero when there is no other way round.
struct WarmUpFlows {
  SourcedFlow total;
  std::optional<SourcedFlow> heater;
  std::optional<SourcedFlow> bypass;
};
Result<WarmUpFlows> warm_up_flows(const CoolantCircuit&, double crank_rpm, Temperature coolant);

/// Change of a line loss between two candidates in words that do not claim more than the model knows: the
/// smooth line band is +-30 %, so a difference inside it is called none: "A and B lose about the same
/// (1.9 and 2.1 kPa, each +-30 %)" or "A loses less than B (...)".
std::string compare_losses(const std::string& first_name, Pressure first, const std::string& second_name,
                           Pressure second);

}  // namespace hosefit
