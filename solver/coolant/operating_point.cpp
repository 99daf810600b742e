// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/coolant/operating_point.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

namespace hosefit {
namespace {

constexpr double gravity_m_s2 = 9.80665;

struct CircuitFlows {
  Flow total;
  Flow radiator;
  Flow bypass;
  Flow heater;
};

Result<CircuitFlows> circuit_flows(const CircuitNetwork& circuit, const FluidProperties& fluid) {
  const Result<NetworkSolution> solution = solve_network(circuit.network, fluid);
  if (!solution) return solution.problems();
  CircuitFlows flows;
  for (std::size_t b = 0; b < circuit.paths.size(); ++b) {
    const Flow flow = solution->flows[b];
    switch (circuit.paths[b]) {
      case CircuitPath::pump_and_engine:
        flows.total = flow;
        break;
      case CircuitPath::radiator:
        flows.radiator = flow;
        break;
      case CircuitPath::bypass:
        flows.bypass = flow;
        break;
      case CircuitPath::heater:
        flows.heater = flow;
        break;
    }
  }
  return flows;
}

/// One solution of the coupled problem at one choice of band ends.
struct Solved {
  ThermalState thermal;
  CircuitFlows flows;
  Pressure pump_inlet_absolute;
  Pressure suction_margin;
};

/// Pressure lost from where the cap joins to the pump inlet, along the radiator path. The thermostat is open:
/// a heated engine reaches no steady state with it shut.
Pressure lost_behind_cap(const CoolantCircuit& circuit, const Solved& solved, LossEdge edge) {
  const double flow = solved.flows.radiator.m3s();
  const FluidProperties& fluid = solved.thermal.fluid;
  const bool thermostat_behind = circuit.thermostat.rule.side == ThermostatSide::pump_inlet;
  if (circuit.cap_at == CapPlace::pump_inlet) return {};
  double lost = line_drop_pa(circuit.lower, fluid, flow, edge);
  if (thermostat_behind)
    lost += element_drop_pa(Valve{circuit.thermostat.open_pa_s2_m6, solved.thermal.opening}, fluid, flow);
  if (circuit.cap_at == CapPlace::radiator_inlet) {
    const double scale = edge == LossEdge::low    ? 1.0 - circuit.radiator_core.relative_band
                         : edge == LossEdge::high ? 1.0 + circuit.radiator_core.relative_band
                                                  : 1.0;
    lost += scale * element_drop_pa(circuit.radiator_core.loss, fluid, flow);
  }
  return Pressure::pa(lost);
}

Result<Solved> with_suction(const CoolantCircuit& circuit, Solved solved, LossEdge radiator_edge) {
  const Result<Pressure> air = air_pressure(circuit.altitude);
  if (!air) return air.problems();
  const Result<Pressure> vapour = vapour_pressure(circuit.mix, solved.thermal.pump_inlet);
  if (!vapour) return vapour.problems();
  solved.suction_margin =
      suction_margin(*air + circuit.cap_gauge, circuit.cap_above_pump, solved.thermal.fluid.density_kg_m3,
                     lost_behind_cap(circuit, solved, radiator_edge), *vapour);
  solved.pump_inlet_absolute = solved.suction_margin + *vapour;
  return solved;
}

Result<Solved> solve_at(const CoolantCircuit& circuit, const CircuitDuty& duty, const CircuitEdges& edges) {
  const ThermalLoop loop{circuit.thermostat.rule,
                         {duty.radiator_ua_w_k, duty.air_capacity_w_k, CrossflowForm::exact},
                         duty.air_in,
                         duty.heat_w,
                         highest_fluid_temperature()};
  const auto fluid_at = [&](Temperature at) { return fluid_properties(circuit.mix, at); };
  const auto flows_at = [&](const FluidProperties& fluid, double opening) -> Result<LoopFlows> {
    const Result<CircuitFlows> flows =
        circuit_flows(circuit_network(circuit, duty.crank_rpm, opening, edges), fluid);
    if (!flows) return flows.problems();
    return LoopFlows{flows->total, flows->radiator};
  };
  const Result<ThermalState> thermal = solve_thermal_state(loop, fluid_at, flows_at);
  if (!thermal) return thermal.problems();
  const Result<CircuitFlows> flows =
      circuit_flows(circuit_network(circuit, duty.crank_rpm, thermal->opening, edges), thermal->fluid);
  if (!flows) return flows.problems();
  return with_suction(circuit, Solved{*thermal, *flows, {}, {}}, edges.radiator);
}

/// Every combination of the ends of the four bands.
std::vector<CircuitEdges> band_corners() {
  constexpr std::array<LossEdge, 2> ends = {LossEdge::low, LossEdge::high};
  std::vector<CircuitEdges> corners;
  for (const LossEdge pump : ends)
    for (const LossEdge engine : ends)
      for (const LossEdge radiator : ends)
        for (const LossEdge other : ends) corners.push_back({pump, engine, radiator, other});
  return corners;
}

/// The nominal solution first, then those at the corners.
struct Span {
  std::vector<Solved> all;
  const Solved& nominal() const { return all.front(); }
  template <class Value, class Of>
  Value low(Of of) const {
    Value least = of(all.front());
    for (const Solved& solved : all) least = std::min(least, Value(of(solved)));
    return least;
  }
  template <class Value, class Of>
  Value high(Of of) const {
    Value most = of(all.front());
    for (const Solved& solved : all) most = std::max(most, Value(of(solved)));
    return most;
  }
};

Result<Span> solve_span(const CoolantCircuit& circuit, const CircuitDuty& duty) {
  std::vector<CircuitEdges> edges = band_corners();
  edges.insert(edges.begin(), CircuitEdges{});
  Span span;
  for (const CircuitEdges& one : edges) {
    Result<Solved> solved = solve_at(circuit, duty, one);
    if (!solved) return solved.problems();
    span.all.push_back(*solved);
  }
  return span;
}

template <class Of>
SourcedFlow sourced(const Span& span, const SourcedCurve& pump, Of of) {
  return {of(span.nominal()), span.low<Flow>(of), span.high<Flow>(of), pump};
}

LineReport line_report(const HydraulicLine& line, LineDuty duty, const SourcedFlow& flow,
                       const FluidProperties& fluid, Pressure pump_rise) {
  LineLoss loss = line_loss(line, fluid, flow.nominal());
  const double velocity = line_velocity_m_s(line, flow.nominal());
  const double percent = pump_rise.pa() > 0.0 ? 100.0 * (loss.nominal / pump_rise) : 0.0;
  return {line.name,
          duty,
          flow,
          loss.nominal,
          loss.low,
          loss.high,
          percent,
          velocity,
          velocity_grade(duty, velocity),
          std::move(loss.notes)};
}

std::vector<LineReport> line_reports(const CoolantCircuit& circuit, const OperatingPoint& point,
                                     const FluidProperties& fluid) {
  std::vector<LineReport> lines;
  lines.push_back(line_report(circuit.upper, LineDuty::pressure, point.radiator, fluid, point.pump_rise));
  lines.push_back(line_report(circuit.lower, LineDuty::suction, point.radiator, fluid, point.pump_rise));
  if (circuit.heater) {
    lines.push_back(
        line_report(circuit.heater->feed, LineDuty::heater, *point.heater, fluid, point.pump_rise));
    lines.push_back(
        line_report(circuit.heater->return_line, LineDuty::heater, *point.heater, fluid, point.pump_rise));
  }
  return lines;
}

OperatingPoint point_from(const CoolantCircuit& circuit, const CircuitDuty& duty, const Span& span,
                          Temperature boiling) {
  const auto total = [](const Solved& s) { return s.flows.total; };
  const auto radiator = [](const Solved& s) { return s.flows.radiator; };
  const auto heater = [](const Solved& s) { return s.flows.heater; };
  const auto bypass = [](const Solved& s) { return s.flows.bypass; };
  const auto hot = [](const Solved& s) { return s.thermal.block_outlet; };
  const auto margin = [](const Solved& s) { return s.suction_margin; };
  const Solved& nominal = span.nominal();
  OperatingPoint point{duty.name,
                       nominal.thermal.outcome,
                       sourced(span, circuit.pump, total),
                       sourced(span, circuit.pump, radiator),
                       {},
                       {},
                       {},
                       {},
                       0.0,
                       {},
                       {},
                       {},
                       {},
                       0.0,
                       {},
                       {},
                       {},
                       false};
  if (circuit.heater) point.heater = sourced(span, circuit.pump, heater);
  if (circuit.bypass) point.bypass = sourced(span, circuit.pump, bypass);
  point.pump_rise = Pressure::pa(pump_rise_pa(
      circuit.pump.coefficients(), duty.crank_rpm * circuit.pulley_ratio / circuit.pump.reference_rpm(),
      nominal.flows.total.m3s()));
  point.lines = line_reports(circuit, point, nominal.thermal.fluid);
  point.thermostat_opening = nominal.thermal.opening;
  point.block_outlet = nominal.thermal.block_outlet;
  point.block_outlet_low = span.low<Temperature>(hot);
  point.block_outlet_high = span.high<Temperature>(hot);
  point.pump_inlet = nominal.thermal.pump_inlet;
  point.radiator_drop_k = (nominal.thermal.block_outlet - nominal.thermal.radiator_outlet).celsius();
  point.boiling_point = boiling;
  point.pump_inlet_absolute = nominal.pump_inlet_absolute;
  point.suction_margin = {nominal.suction_margin, span.low<Pressure>(margin), span.high<Pressure>(margin)};
  point.overheats_in_band = std::any_of(span.all.begin(), span.all.end(), [](const Solved& s) {
    return s.thermal.outcome == ThermalOutcome::overheating;
  });
  return point;
}

}  // namespace

Pressure suction_margin(Pressure cap_absolute, Length cap_above_pump, double density_kg_m3, Pressure lost,
                        Pressure vapour) {
  return cap_absolute + Pressure::pa(density_kg_m3 * gravity_m_s2 * cap_above_pump.metre()) - lost - vapour;
}

VelocityGuide velocity_guide(LineDuty duty) {
  switch (duty) {
    case LineDuty::pressure:
      return {3.5, 4.5};
    case LineDuty::suction:
      return {2.5, 3.0};
    case LineDuty::heater:
      return {2.0, 2.0};
  }
  return {0.0, 0.0};
}

VelocityGrade velocity_grade(LineDuty duty, double velocity_m_s) {
  const VelocityGuide guide = velocity_guide(duty);
  if (velocity_m_s > guide.limit_m_s) return VelocityGrade::above_limit;
  return velocity_m_s > guide.preferred_m_s ? VelocityGrade::above_preferred : VelocityGrade::within_guide;
}

Result<OperatingPoint> operating_point(const CoolantCircuit& circuit, const CircuitDuty& duty) {
  Problems problems = check(circuit);
  for (Problem& problem : check(duty)) problems.push_back(std::move(problem));
  if (!problems.empty()) return problems;
  const Result<Temperature> boiling = boiling_point(circuit.mix, circuit.cap_gauge, circuit.altitude);
  if (!boiling) return boiling.problems();
  const Result<Span> span = solve_span(circuit, duty);
  if (!span) return span.problems();
  return point_from(circuit, duty, *span, *boiling);
}

Result<std::vector<OperatingPoint>> operating_points(const CoolantCircuit& circuit,
                                                     const std::vector<CircuitDuty>& duties) {
  std::vector<OperatingPoint> points;
  Problems problems;
  for (const CircuitDuty& duty : duties) {
    Result<OperatingPoint> point = operating_point(circuit, duty);
    if (point)
      points.push_back(*point);
    else
      problems.insert(problems.end(), point.problems().begin(), point.problems().end());
  }
  if (!problems.empty()) return problems;
  return points;
}

Result<WarmUpFlows> warm_up_flows(const CoolantCircuit& circuit, double crank_rpm, Temperature coolant) {
  Problems problems = check(circuit);
  for (Problem& problem : check(CircuitDuty{"warm-up", crank_rpm, 0.0, 0.0, 0.0, {}}))
    problems.push_back(std::move(problem));
  if (!problems.empty()) return problems;
  const Result<FluidProperties> fluid = fluid_properties(circuit.mix, coolant);
  if (!fluid) return fluid.problems();
  std::vector<CircuitEdges> edges = band_corners();
  edges.insert(edges.begin(), CircuitEdges{});
  Span span;
  for (const CircuitEdges& one : edges) {
    const Result<CircuitFlows> flows = circuit_flows(circuit_network(circuit, crank_rpm, 0.0, one), *fluid);
    if (!flows) return flows.problems();
    span.all.push_back(Solved{{}, *flows, {}, {}});
  }
  WarmUpFlows result{sourced(span, circuit.pump, [](const Solved& s) { return s.flows.total; }), {}, {}};
  if (circuit.heater)
    result.heater = sourced(span, circuit.pump, [](const Solved& s) { return s.flows.heater; });
  if (circuit.bypass)
    result.bypass = sourced(span, circuit.pump, [](const Solved& s) { return s.flows.bypass; });
  return result;
}

std::string compare_losses(const std::string& first_name, Pressure first, const std::string& second_name,
                           Pressure second) {
  const std::string figures = fmt::format("{:.1f} and {:.1f} kPa, each +-{:.0f} %", first.kpa(), second.kpa(),
                                          100.0 * smooth_line_band);
  const Pressure smaller = std::min(first, second);
  const Pressure larger = std::max(first, second);
  if ((1.0 + smooth_line_band) * smaller >= (1.0 - smooth_line_band) * larger)
    return fmt::format("{} and {} lose about the same ({})", first_name, second_name, figures);
  return fmt::format("{} loses {} than {} ({})", first_name, first < second ? "less" : "more", second_name,
                     figures);
}

}  // namespace hosefit
