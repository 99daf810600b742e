// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/coolant/network.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "solver/coolant/friction.h"
#include "solver/coolant/linear_equations.h"
#include "solver/coolant/problem.h"

namespace hosefit {
namespace {

constexpr double required_residual = 1e-10;
constexpr double polished_residual =
    1e-13;  // asked for, but not insisted on: rounding may stop a step before it
constexpr int most_steps = 200;
constexpr int most_halvings = 40;

double drop_pa(const Pipe& pipe, const FluidProperties& fluid, double flow_m3s) {
  if (flow_m3s == 0.0) return 0.0;
  const double d = pipe.bore.metre();
  const double speed = 4.0 * std::abs(flow_m3s) / (std::numbers::pi * d * d);
  const double reynolds = fluid.density_kg_m3 * speed * d / fluid.viscosity_pa_s;
  const double k =
      friction_factor(reynolds, pipe.roughness / pipe.bore) * (pipe.length / pipe.bore) + pipe.minor_loss;
  return std::copysign(0.5 * k * fluid.density_kg_m3 * speed * speed, flow_m3s);
}
double drop_pa(const QuadraticLoss& loss, const FluidProperties&, double flow_m3s) {
  return (loss.linear_pa_s_m3 + loss.quadratic_pa_s2_m6 * std::abs(flow_m3s)) * flow_m3s;
}
double drop_pa(const Valve& valve, const FluidProperties&, double flow_m3s) {
  return valve.open_pa_s2_m6 / (valve.opening * valve.opening) * flow_m3s * std::abs(flow_m3s);
}
double drop_pa(const PumpElement& pump, const FluidProperties&, double flow_m3s) {
  return -pump.rise_factor * pump_rise_pa(pump.at_reference, pump.speed_ratio, flow_m3s);
}
double drop_pa(const HoseLine& hose, const FluidProperties& fluid, double flow_m3s) {
  return line_drop_pa(hose.line, fluid, flow_m3s, hose.edge);
}

/// The open branches of a network, the nodes' components, and the sizes that make all unknowns about 1.
struct ScaledNetwork {
  const Network& network;
  const FluidProperties& fluid;
  std::vector<std::size_t> open;       ///< indices of the open branches
  std::vector<std::size_t> component;  ///< per node: lowest node it is joined to
  double pressure_pa = 0.0;
  double flow_m3s = 0.0;
};

struct State {
  std::vector<double> flows;      ///< per open branch, in units of flow_m3s
  std::vector<double> pressures;  ///< per node, in units of pressure_pa
};

std::vector<std::size_t> open_branches(const Network& network) {
  std::vector<std::size_t> open;
  for (std::size_t b = 0; b < network.branches.size(); ++b)
    if (!is_closed(network.branches[b])) open.push_back(b);
  return open;
}

std::vector<std::size_t> lowest_joined_node(const Network& network, const std::vector<std::size_t>& open) {
  std::vector<std::size_t> lowest(network.node_count);
  for (std::size_t n = 0; n < network.node_count; ++n) lowest[n] = n;
  for (bool changed = true; changed;) {
    changed = false;
    for (const std::size_t b : open) {
      std::size_t& from = lowest[network.branches[b].from];
      std::size_t& to = lowest[network.branches[b].to];
      changed = changed || from != to;
      from = to = std::min(from, to);
    }
  }
  return lowest;
}

/// Flow at which the branch takes `drop` beyond what it takes at rest.
double flow_for_drop(const Branch& branch, const FluidProperties& fluid, double drop) {
  const double at_rest = branch_drop_pa(branch, fluid, 0.0);
  double flow = 1e-7;
  while (flow < 1e3 && branch_drop_pa(branch, fluid, flow) - at_rest < drop) flow *= 2.0;
  return flow;
}

double drop_at(const ScaledNetwork& s, std::size_t open_branch, double scaled_flow) {
  return branch_drop_pa(s.network.branches[s.open[open_branch]], s.fluid, scaled_flow * s.flow_m3s) /
         s.pressure_pa;
}

/// Misses of the branch laws, then of the nodes; a component's lowest node asks for pressure 0 instead of the
/// continuity that follows from its other nodes.
std::vector<double> misses(const ScaledNetwork& s, const State& state) {
  const std::size_t branches = s.open.size();
  std::vector<double> miss(branches + s.network.node_count, 0.0);
  for (std::size_t b = 0; b < branches; ++b) {
    const Branch& branch = s.network.branches[s.open[b]];
    miss[b] = drop_at(s, b, state.flows[b]) - (state.pressures[branch.from] - state.pressures[branch.to]);
    miss[branches + branch.from] -= state.flows[b];
    miss[branches + branch.to] += state.flows[b];
  }
  for (std::size_t n = 0; n < s.network.node_count; ++n)
    if (s.component[n] == n) miss[branches + n] = state.pressures[n];
  return miss;
}

double norm(const std::vector<double>& miss) {
  double sum = 0.0;
  for (const double m : miss) sum += m * m;
  return std::sqrt(sum);
}

double largest(const std::vector<double>& miss) {
  double most = 0.0;
  for (const double m : miss) most = std::max(most, std::abs(m));
  return most;
}

/// Slope of a branch law by central difference. The friction factor has kinks but no steps, so the difference
/// is good enough for Newton; the floor keeps a branch at rest from making the equations singular.
double slope_at(const ScaledNetwork& s, std::size_t b, double flow) {
  const double h = std::max(1e-6 * std::abs(flow), 1e-9);
  return std::max(1e-9, (drop_at(s, b, flow + h) - drop_at(s, b, flow - h)) / (2.0 * h));
}

/// Change of flows and pressures that cancels `miss` when each branch b has the slope `slopes[b]`.
std::optional<State> newton_step(const ScaledNetwork& s, const std::vector<double>& slopes,
                                 const std::vector<double>& miss) {
  const std::size_t branches = s.open.size();
  LinearEquations equations(miss.size());
  for (std::size_t b = 0; b < branches; ++b) {
    const Branch& branch = s.network.branches[s.open[b]];
    equations.add(b, b, slopes[b]);
    equations.add(b, branches + branch.from, -1.0);
    equations.add(b, branches + branch.to, 1.0);
    if (s.component[branch.from] != branch.from) equations.add(branches + branch.from, b, -1.0);
    if (s.component[branch.to] != branch.to) equations.add(branches + branch.to, b, 1.0);
  }
  for (std::size_t n = 0; n < s.network.node_count; ++n)
    if (s.component[n] == n) equations.add(branches + n, branches + n, 1.0);
  for (std::size_t i = 0; i < miss.size(); ++i) equations.set_right_side(i, -miss[i]);
  const std::optional<std::vector<double>> change = equations.solve();
  if (!change) return std::nullopt;
  return State{{change->begin(), change->begin() + static_cast<std::ptrdiff_t>(branches)},
               {change->begin() + static_cast<std::ptrdiff_t>(branches), change->end()}};
}

State moved(const State& from, const State& by, double share) {
  State to = from;
  for (std::size_t i = 0; i < to.flows.size(); ++i) to.flows[i] += share * by.flows[i];
  for (std::size_t i = 0; i < to.pressures.size(); ++i) to.pressures[i] += share * by.pressures[i];
  return to;
}

/// Largest rise at rest, and the largest flow any branch would take under it.
ScaledNetwork scaled(const Network& network, const FluidProperties& fluid) {
  ScaledNetwork s{network, fluid, open_branches(network), {}, 0.0, 0.0};
  s.component = lowest_joined_node(network, s.open);
  for (const std::size_t b : s.open)
    s.pressure_pa = std::max(s.pressure_pa, std::abs(branch_drop_pa(network.branches[b], fluid, 0.0)));
  if (s.pressure_pa == 0.0) return s;
  for (const std::size_t b : s.open) {
    const double flow = flow_for_drop(network.branches[b], fluid, s.pressure_pa);
    if (flow < 1e3) s.flow_m3s = std::max(s.flow_m3s, flow);
  }
  if (s.flow_m3s == 0.0) s.flow_m3s = 1.0;
  return s;
}

std::optional<State> linearised_start(const ScaledNetwork& s) {
  State start{std::vector<double>(s.open.size(), 0.0), std::vector<double>(s.network.node_count, 0.0)};
  std::vector<double> secants(s.open.size());
  for (std::size_t b = 0; b < s.open.size(); ++b)
    secants[b] = s.flow_m3s / flow_for_drop(s.network.branches[s.open[b]], s.fluid, s.pressure_pa);
  const std::optional<State> step = newton_step(s, secants, misses(s, start));
  if (!step) return std::nullopt;
  return moved(start, *step, 1.0);
}

NetworkSolution unscaled(const ScaledNetwork& s, const State& state, int steps, double residual) {
  NetworkSolution solution;
  solution.flows.assign(s.network.branches.size(), Flow());
  for (std::size_t b = 0; b < s.open.size(); ++b)
    solution.flows[s.open[b]] = Flow::m3s(state.flows[b] * s.flow_m3s);
  solution.pressures.resize(s.network.node_count);
  for (std::size_t n = 0; n < s.network.node_count; ++n)
    if (s.component[n] == 0) solution.pressures[n] = Pressure::pa(state.pressures[n] * s.pressure_pa);
  solution.steps = steps;
  solution.residual = residual;
  return solution;
}

/// The Newton step shortened until the misses shrink; empty when no shortening helps.
std::optional<State> shorter_until_better(const ScaledNetwork& s, const State& state, const State& step,
                                          double before) {
  double share = 1.0;
  for (int halving = 0; halving < most_halvings; ++halving, share *= 0.5) {
    State trial = moved(state, step, share);
    if (norm(misses(s, trial)) < before) return trial;
  }
  return std::nullopt;
}

Problem no_convergence(int steps, double residual) {
  return coolant_problem(
      "coolant.network",
      fmt::format("the flow equations did not converge: miss {:.1e} after {} steps, want {:.0e}", residual,
                  steps, required_residual));
}

}  // namespace

double element_drop_pa(const NetworkElement& element, const FluidProperties& fluid, double flow_m3s) {
  return std::visit([&](const auto& e) { return drop_pa(e, fluid, flow_m3s); }, element);
}

double branch_drop_pa(const Branch& branch, const FluidProperties& fluid, double flow_m3s) {
  double sum = 0.0;
  for (const NetworkElement& element : branch.elements) sum += element_drop_pa(element, fluid, flow_m3s);
  return sum;
}

bool is_closed(const Branch& branch) {
  return std::any_of(branch.elements.begin(), branch.elements.end(), [](const NetworkElement& element) {
    const auto* valve = std::get_if<Valve>(&element);
    return valve && valve->opening == 0.0;
  });
}

Result<NetworkSolution> solve_network(const Network& network, const FluidProperties& fluid) {
  if (Problems problems = check(network); !problems.empty()) return problems;
  const ScaledNetwork s = scaled(network, fluid);
  State state{std::vector<double>(s.open.size(), 0.0), std::vector<double>(network.node_count, 0.0)};
  if (s.pressure_pa == 0.0) {
    ScaledNetwork at_rest = s;
    at_rest.pressure_pa = at_rest.flow_m3s = 1.0;
    return unscaled(at_rest, state, 0, 0.0);
  }
  if (const std::optional<State> start = linearised_start(s)) state = *start;

  int steps = 0;
  for (; steps < most_steps; ++steps) {
    const std::vector<double> miss = misses(s, state);
    if (largest(miss) <= polished_residual) break;
    std::vector<double> slopes(s.open.size());
    for (std::size_t b = 0; b < slopes.size(); ++b) slopes[b] = slope_at(s, b, state.flows[b]);
    const std::optional<State> step = newton_step(s, slopes, miss);
    if (!step) break;
    std::optional<State> better = shorter_until_better(s, state, *step, norm(miss));
    if (!better) break;
    state = std::move(*better);
  }
  const double residual = largest(misses(s, state));
  if (!(residual <= required_residual)) return Problems{no_convergence(steps, residual)};
  return unscaled(s, state, steps, residual);
}

}  // namespace hosefit
