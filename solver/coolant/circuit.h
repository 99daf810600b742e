// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "solver/base/quantity.h"
#include "solver/base/result.h"
#include "solver/coolant/fluid.h"
#include "solver/coolant/hose_line.h"
#include "solver/coolant/network.h"
#include "solver/coolant/pump_curve.h"
#include "solver/coolant/thermal_state.h"

/// The coolant circuit of one candidate: pump and engine jacket in series; radiator (thermostat, upper line,
/// core, lower line), bypass and heater in parallel from the block outlet back to the pump inlet.
namespace hosefit {

/// Loss of a part given by two coefficients, with how sure they are and who says so.
struct PartLoss {
  QuadraticLoss loss;
  double relative_band = 0.0;  ///< half-width on the loss, 0..0.95
  std::string source;
};

struct HeaterPath {
  HydraulicLine feed;
  PartLoss core;
  HydraulicLine return_line;
  bool can_shut = false;  ///< has a tap that stops the flow altogether
};

/// Where the pressurised cap or tank joins: the only place whose pressure is known.
enum class CapPlace { radiator_inlet, radiator_outlet, pump_inlet };

struct Thermostat {
  double open_pa_s2_m6 = 0.0;  ///< loss fully open, over Q|Q|
  ThermostatRule rule;
};

struct CoolantCircuit {
  CoolantMix mix;
  SourcedCurve pump;
  double pulley_ratio = 1.0;  ///< pump speed over crank speed
  PartLoss engine_jacket{};
  PartLoss radiator_core{};
  std::optional<PartLoss> bypass{};
  std::optional<HeaterPath> heater{};
  Thermostat thermostat{};
  HydraulicLine upper{};  ///< block outlet to radiator
  HydraulicLine lower{};  ///< radiator to pump inlet: the suction side
  Pressure cap_gauge{};
  CapPlace cap_at = CapPlace::radiator_outlet;
  Length
      cap_above_pump{};  ///< height of the coolant level at the cap above the pump inlet; negative when below
  Length altitude{};
};

/// A way the engine is used. UA and air belong here, since both depend on the road speed and the fan.
struct CircuitDuty {
  std::string name;
  double crank_rpm = 0.0;
  double heat_w = 0.0;  ///< into the coolant
  double radiator_ua_w_k = 0.0;
  double air_capacity_w_k = 0.0;
  Temperature air_in;
};

Problems check(const CoolantCircuit&);
Problems check(const CircuitDuty&);

/// Ends of the bands taken together in one solution of the circuit.
struct CircuitEdges {
  LossEdge pump = LossEdge::nominal;         ///< `low` is the smaller rise
  LossEdge engine = LossEdge::nominal;       ///< jacket
  LossEdge radiator = LossEdge::nominal;     ///< upper line, core, lower line
  LossEdge other_paths = LossEdge::nominal;  ///< bypass, heater core and lines
};

inline constexpr std::size_t block_outlet_node = 0;
inline constexpr std::size_t pump_inlet_node = 1;

/// What a branch of a circuit's network stands for. Absent paths have no branch.
enum class CircuitPath { pump_and_engine, radiator, bypass, heater };

struct CircuitNetwork {
  Network network;
  std::vector<CircuitPath> paths;  ///< per branch
};
/// Two nodes; the radiator's elements stand in the order of flow, the thermostat where its side says.
CircuitNetwork circuit_network(const CoolantCircuit&, double crank_rpm, double thermostat_opening,
                               const CircuitEdges&);

/// A branch of any circuit, for the question below.
struct CircuitBranch {
  std::string name;
  std::size_t from = 0;
  std::size_t to = 0;
  bool through_core = false;  ///< through the radiator core
  bool closable = false;      ///< holds the thermostat, a tap or another valve that can shut
  bool through_pump = false;  ///< the pump with the engine behind it
};

/// With the thermostat shut coolant must still go round from the pump through the engine and back, not
/// through the core and not through a valve that can shut: else steam forms in the block and the thermostat
/// senses nothing. The names of the branches of the shortest such loop, beginning with the pump's; empty when
/// there is none. common practice, no source.
std::optional<std::vector<std::string>> warm_up_loop(std::size_t node_count,
                                                     const std::vector<CircuitBranch>&);
std::optional<std::vector<std::string>> warm_up_loop(const CoolantCircuit&);

}  // namespace hosefit
