// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/coolant/circuit.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "solver/coolant/problem.h"

namespace hosefit {
namespace {

double factor(double relative_band, LossEdge edge) {
  switch (edge) {
    case LossEdge::low:
      return 1.0 - relative_band;
    case LossEdge::nominal:
      return 1.0;
    case LossEdge::high:
      return 1.0 + relative_band;
  }
  return 1.0;
}

QuadraticLoss at_edge(const PartLoss& part, LossEdge edge) {
  const double f = factor(part.relative_band, edge);
  return {f * part.loss.linear_pa_s_m3, f * part.loss.quadratic_pa_s2_m6};
}

std::vector<NetworkElement> radiator_elements(const CoolantCircuit& circuit, double opening, LossEdge edge) {
  const Valve thermostat{circuit.thermostat.open_pa_s2_m6, opening};
  std::vector<NetworkElement> elements;
  if (circuit.thermostat.rule.side == ThermostatSide::block_outlet) elements.push_back(thermostat);
  elements.push_back(HoseLine{circuit.upper, edge});
  elements.push_back(at_edge(circuit.radiator_core, edge));
  elements.push_back(HoseLine{circuit.lower, edge});
  if (circuit.thermostat.rule.side == ThermostatSide::pump_inlet) elements.push_back(thermostat);
  return elements;
}

class ProblemList {
 public:
  void want(bool met, std::string path, std::string text) {
    if (!met) problems_.push_back(coolant_problem(std::move(path), std::move(text)));
  }
  void part(const std::string& path, const PartLoss& part) {
    const QuadraticLoss& loss = part.loss;
    want(loss.linear_pa_s_m3 >= 0.0 && loss.quadratic_pa_s2_m6 >= 0.0 &&
             std::isfinite(loss.linear_pa_s_m3 + loss.quadratic_pa_s2_m6),
         path,
         fmt::format("want loss coefficients >= 0, got {} and {}", loss.linear_pa_s_m3,
                     loss.quadratic_pa_s2_m6));
    want(part.relative_band >= 0.0 && part.relative_band <= 0.95, path + ".band",
         fmt::format("want 0 <= band <= 0.95, got {}", part.relative_band));
    want(part.source.find_first_not_of(" \t\r\n") != std::string::npos, path + ".source",
         "want the source of the loss, got nothing");
  }
  void line(const HydraulicLine& line) {
    for (Problem& problem : check(line)) problems_.push_back(std::move(problem));
  }
  Problems take() { return std::move(problems_); }

 private:
  Problems problems_;
};

}  // namespace

Problems check(const CoolantCircuit& circuit) {
  ProblemList list;
  list.want(circuit.pulley_ratio > 0.0 && circuit.pulley_ratio <= 10.0, "pump.pulley_ratio",
            fmt::format("want 0 < pump speed / crank speed <= 10, got {}", circuit.pulley_ratio));
  list.part("engine_jacket", circuit.engine_jacket);
  list.part("radiator_core", circuit.radiator_core);
  if (circuit.bypass) list.part("bypass", *circuit.bypass);
  list.line(circuit.upper);
  list.line(circuit.lower);
  if (circuit.heater) {
    list.part("heater.core", circuit.heater->core);
    list.line(circuit.heater->feed);
    list.line(circuit.heater->return_line);
  }
  list.want(circuit.thermostat.open_pa_s2_m6 >= 0.0 && std::isfinite(circuit.thermostat.open_pa_s2_m6),
            "thermostat.r_open", fmt::format("want >= 0, got {}", circuit.thermostat.open_pa_s2_m6));
  const ThermostatRule& rule = circuit.thermostat.rule;
  list.want(rule.opens_at < rule.fully_open_at, "thermostat",
            fmt::format("want opens_at < fully_open_at, got {} and {} degC", rule.opens_at.celsius(),
                        rule.fully_open_at.celsius()));
  list.want(circuit.cap_gauge.kpa() >= 0.0 && circuit.cap_gauge.kpa() <= 250.0, "coolant.cap",
            fmt::format("want 0 <= cap pressure <= 250 kPa, got {:.1f} kPa", circuit.cap_gauge.kpa()));
  list.want(std::abs(circuit.cap_above_pump.metre()) <= 5.0, "coolant.cap_above_pump",
            fmt::format("want at most 5 m, got {} m", circuit.cap_above_pump.metre()));
  if (!air_pressure(circuit.altitude))
    list.want(false, "altitude", air_pressure(circuit.altitude).problems().front().text);
  return list.take();
}

Problems check(const CircuitDuty& duty) {
  ProblemList list;
  list.want(duty.crank_rpm > 0.0 && duty.crank_rpm <= 20000.0, "duty.crank_rpm",
            fmt::format("want 0 < crank speed <= 20000 rpm in \"{}\", got {}", duty.name, duty.crank_rpm));
  return list.take();  // heat, air and radiator are checked where they are used, by solve_thermal_state()
}

CircuitNetwork circuit_network(const CoolantCircuit& circuit, double crank_rpm, double thermostat_opening,
                               const CircuitEdges& edges) {
  CircuitNetwork result;
  result.network.node_count = 2;
  const auto add = [&](CircuitPath path, std::string name, std::size_t from, std::size_t to,
                       std::vector<NetworkElement> elements) {
    result.network.branches.push_back({std::move(name), from, to, std::move(elements)});
    result.paths.push_back(path);
  };
  const PumpElement pump{circuit.pump.coefficients(),
                         crank_rpm * circuit.pulley_ratio / circuit.pump.reference_rpm(),
                         factor(circuit.pump.relative_band(), edges.pump)};
  add(CircuitPath::pump_and_engine, "pump and engine", pump_inlet_node, block_outlet_node,
      {pump, at_edge(circuit.engine_jacket, edges.engine)});
  add(CircuitPath::radiator, "radiator", block_outlet_node, pump_inlet_node,
      radiator_elements(circuit, thermostat_opening, edges.radiator));
  if (circuit.bypass)
    add(CircuitPath::bypass, "bypass", block_outlet_node, pump_inlet_node,
        {at_edge(*circuit.bypass, edges.other_paths)});
  if (circuit.heater)
    add(CircuitPath::heater, "heater", block_outlet_node, pump_inlet_node,
        {HoseLine{circuit.heater->feed, edges.other_paths}, at_edge(circuit.heater->core, edges.other_paths),
         HoseLine{circuit.heater->return_line, edges.other_paths}});
  return result;
}

std::optional<std::vector<std::string>> warm_up_loop(std::size_t node_count,
                                                     const std::vector<CircuitBranch>& branches) {
  const auto pump =
      std::find_if(branches.begin(), branches.end(), [](const CircuitBranch& b) { return b.through_pump; });
  if (pump == branches.end() || pump->closable || pump->through_core) return std::nullopt;
  struct Reached {
    std::size_t before;
    std::string by;
  };
  std::vector<std::optional<Reached>> reached(node_count);
  std::vector<std::size_t> frontier = {pump->to};
  reached[pump->to] = Reached{pump->to, {}};
  for (std::size_t next = 0; next < frontier.size(); ++next) {
    const std::size_t here = frontier[next];
    for (const CircuitBranch& branch : branches) {
      if (branch.through_pump || branch.through_core || branch.closable) continue;
      if (branch.from != here && branch.to != here) continue;
      const std::size_t there = branch.from == here ? branch.to : branch.from;
      if (reached[there]) continue;
      reached[there] = Reached{here, branch.name};
      frontier.push_back(there);
    }
  }
  if (!reached[pump->from]) return std::nullopt;
  std::vector<std::string> loop;
  for (std::size_t node = pump->from; node != pump->to; node = reached[node]->before)
    loop.push_back(reached[node]->by);
  loop.push_back(pump->name);
  std::reverse(loop.begin(), loop.end());
  return loop;
}

std::optional<std::vector<std::string>> warm_up_loop(const CoolantCircuit& circuit) {
  std::vector<CircuitBranch> branches = {
      {"pump and engine", pump_inlet_node, block_outlet_node, false, false, true},
      {"radiator", block_outlet_node, pump_inlet_node, true, true, false}};
  if (circuit.bypass) branches.push_back({"bypass", block_outlet_node, pump_inlet_node, false, false, false});
  if (circuit.heater)
    branches.push_back(
        {"heater", block_outlet_node, pump_inlet_node, false, circuit.heater->can_shut, false});
  return warm_up_loop(2, branches);
}

}  // namespace hosefit
