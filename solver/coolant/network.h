// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstddef>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "solver/base/quantity.h"
#include "solver/base/result.h"
#include "solver/coolant/fluid.h"
#include "solver/coolant/hose_line.h"
#include "solver/coolant/pump_curve.h"

/// A small network of nodes and branches with steady incompressible flow. Flows count positive from a
/// branch's `from` node to its `to` node and may come out negative. Pressures are total pressures.
namespace hosefit {

/// Straight round pipe with Darcy friction and a lumped K on its own velocity head.
struct Pipe {
  Length bore;
  Length length;
  Length roughness;
  double minor_loss = 0.0;
};
/// a Q + b Q|Q|, with a, b >= 0: engine jacket, cores, fittings given by measurement.
struct QuadraticLoss {
  double linear_pa_s_m3 = 0.0;
  double quadratic_pa_s2_m6 = 0.0;
  friend bool operator==(const QuadraticLoss&, const QuadraticLoss&) = default;
};
/// open/x^2 Q|Q| with the opening x in 0..1; at x = 0 the whole branch is taken out of the network.
struct Valve {
  double open_pa_s2_m6 = 0.0;
  double opening = 1.0;
};
/// Raises the pressure from `from` to `to`. Takes bare coefficients, so that solve_network() can be checked
/// with any falling law; the product's own networks take them from a SourcedCurve and report SourcedFlow.
struct PumpElement {
  PumpCoefficients at_reference;
  double speed_ratio = 1.0;
  double rise_factor = 1.0;  ///< on the whole rise; the ends of the curve's band
};
struct HoseLine {
  HydraulicLine line;
  LossEdge edge = LossEdge::nominal;
};
using NetworkElement = std::variant<Pipe, QuadraticLoss, Valve, PumpElement, HoseLine>;

struct Branch {
  std::string name;
  std::size_t from = 0;
  std::size_t to = 0;
  std::vector<NetworkElement> elements;  ///< in series
};
struct Network {
  std::size_t node_count = 0;
  std::vector<Branch> branches;
};

struct NetworkSolution {
  std::vector<Flow> flows;  ///< per branch; 0 in a closed one
  /// Per node, against the lowest-numbered node it is joined to by open branches; empty where that is not
  /// node 0.
  std::vector<std::optional<Pressure>> pressures;
  int steps = 0;
  double residual =
      0.0;  ///< largest miss of a branch over the largest rise, or of a node over the typical flow
};

/// Drop of total pressure from `from` to `to` at a flow; a pump counts negative. Odd in the flow but for the
/// pump's shut-off rise, and but for steps in a HoseLine, which depend on the sense.
double element_drop_pa(const NetworkElement&, const FluidProperties&, double flow_m3s);
double branch_drop_pa(const Branch&, const FluidProperties&, double flow_m3s);
/// Some valve in the branch has opening 0.
bool is_closed(const Branch&);

Problems check(const Network&);

/// Flows and pressures with every branch law and every node's continuity met to 1e-10 of the largest pump
/// rise and the typical flow. Damped Newton on all flows and pressures at once, from a linearised start.
/// Problems: those of check(), or no convergence. Without any pump all flows are 0.
Result<NetworkSolution> solve_network(const Network&, const FluidProperties&);

}  // namespace hosefit
