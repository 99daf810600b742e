// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "solver/coolant/operating_point.h"
#include "solver/model/bay.h"
#include "solver/model/finding.h"
#include "solver/model/route.h"

namespace hosefit {

/// The coolant side of one candidate: an operating point for each working point of the vehicle, and where the
/// figures come from.
struct FlowAnswer {
  std::vector<OperatingPoint>
      points;  ///< in the order of the vehicle's working points; those without a solution are left out
  std::string curve_source;  ///< which pump curve the flows rest on; never empty
  double curve_band = 0;     ///< relative half-width of that curve
  bool warm_up_loop = true;  ///< coolant goes round while the thermostat is shut, not through a tap
  Problems problems;         ///< working points that had no solution, and what is wrong with the circuit
};

/// Builds the circuit of a candidate from its routes (bore, bends, neck steps) and solves it. Empty when a
/// line of the job has no route, or when the job has no hot or no suction line: then there is no circuit.
/// Vent lines carry no flow here.
///   Resistances have no band of their own in the input: +-30 % is taken (judgement). The coolant level at
///   the cap is taken to stand at the radiator end of the hot line. A heater is taken to have a tap that can
///   shut.
std::optional<FlowAnswer> coolant_flow(const Job& job, const Bay& bay, const Candidate& candidate,
                                       std::span<const Route> routes);

/// The elements that coolant meets along a route, from neck bore to neck bore.
HydraulicLine hydraulic_line(const std::string& name, const Route& route, const Stock& stock,
                             const PlacedNeck& from, const PlacedNeck& to);
/// The same line met from its other end.
HydraulicLine reversed(const HydraulicLine& line);

/// Lines where the coolant runs faster than installation practice allows, little pressure left at the pump
/// inlet, no way round the shut thermostat; at the worst working point each. Flags, but notes where the pump
/// curve has no source: an unsourced curve must not rank pumps. The last does not rest on a curve and is
/// always a flag.
std::vector<Finding> flow_findings(const Job& job, const Candidate& candidate, const FlowAnswer& flow);

}  // namespace hosefit
