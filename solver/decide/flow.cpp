// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/flow.h"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace hosefit {
namespace {

// Input gives cores and jackets without a band; tests of like parts spread by about this (judgement).
constexpr double kResistanceBand = 0.30;
// Steps smaller than this are no step to the flow, and the check of a line lets them pass.
constexpr double kSameBore_mm = 0.005;

std::string source_text(const Provenance& provenance) {
  std::string text = provenance.title.empty() ? std::string(word(provenance.source)) : provenance.title;
  if (!provenance.signer.empty()) text += ", signed by " + provenance.signer;
  return text;
}

PartLoss part_loss(const FlowResistance& resistance) {
  return {{resistance.a_pa_per_m3s, resistance.b_pa_per_m3s2},
          kResistanceBand,
          source_text(resistance.provenance)};
}

Result<CoolantMix> mix_of(const CoolantData& data) {
  if (data.fluid == CoolantFluid::water || data.share <= 0) return CoolantMix::water();
  const CoolantKind kind = data.fluid == CoolantFluid::ethylene_glycol ? CoolantKind::ethylene_glycol
                                                                       : CoolantKind::propylene_glycol;
  return data.share_by == ShareBy::mass ? CoolantMix::by_mass(kind, data.share)
                                        : CoolantMix::by_volume(kind, data.share);
}

Length bore_of_run(const Stock& stock) {
  return stock.make == Make::bent_tube ? stock.outside_diameter - 2.0 * stock.wall : stock.bore;
}

void add_step(HydraulicLine& line, Length from, Length to) {
  if (std::abs((from - to).mm()) > kSameBore_mm)
    line.elements.push_back(BoreStep{from, to, Angle::deg(180.0)});
}

struct LineOnNecks {
  const Route* route = nullptr;
  const BayLine* line = nullptr;
};

LineOnNecks line_of_duty(const Bay& bay, std::span<const Route> routes, Duty duty) {
  for (const Route& route : routes)
    if (bay.lines[route.line].line.duty == duty) return {&route, &bay.lines[route.line]};
  return {};
}

const Stock* stock_of(const Job& job, const Route& route) {
  const auto it =
      std::find_if(job.stock.begin(), job.stock.end(), [&](const Stock& s) { return s.id == route.stock; });
  return it == job.stock.end() ? nullptr : &*it;
}

enum class FlowSense { from_engine, to_engine };

HydraulicLine with_the_flow(const Job& job, const Bay& bay, const LineOnNecks& on, FlowSense sense) {
  const PlacedNeck& from = bay.necks[on.line->from];
  const PlacedNeck& to = bay.necks[on.line->to];
  const HydraulicLine line =
      hydraulic_line(on.line->line.name, *on.route, *stock_of(job, *on.route), from, to);
  const Carrier starts_on = sense == FlowSense::from_engine ? Carrier::engine : Carrier::chassis;
  const bool written_backwards = from.carrier != starts_on && to.carrier == starts_on;
  return written_backwards ? reversed(line) : line;
}

double height_mm(const Bay& bay, const BayLine& line, Carrier end) {
  const PlacedNeck& from = bay.necks[line.from];
  const PlacedNeck& to = bay.necks[line.to];
  return (from.carrier == end ? from : to).end_mm.z();
}

void take_problems(Problems& into, const Problems& more, const std::string& about) {
  for (Problem problem : more) {
    problem.text = about + ": " + problem.text;
    into.push_back(std::move(problem));
  }
}

std::optional<HeaterPath> heater_of(const Job& job, const Bay& bay, std::span<const Route> routes) {
  const LineOnNecks feed = line_of_duty(bay, routes, Duty::heater_feed);
  const LineOnNecks back = line_of_duty(bay, routes, Duty::heater_return);
  if (feed.route == nullptr || back.route == nullptr) return std::nullopt;
  return HeaterPath{with_the_flow(job, bay, feed, FlowSense::from_engine),
                    part_loss(job.vehicle.coolant.heater_core),
                    with_the_flow(job, bay, back, FlowSense::to_engine), true};
}

Result<CoolantCircuit> circuit_of(const Job& job, const Bay& bay, const Candidate& candidate,
                                  std::span<const Route> routes) {
  const Pump& pump = job.family.pumps[candidate.pump];
  const Drive& drive = job.family.drives[candidate.drive];
  const Engine& engine = job.family.engine;
  const CoolantData& data = job.vehicle.coolant;
  const Result<CoolantMix> mix = mix_of(data);
  const PumpCurve& measured = pump.curve;
  const auto curve = SourcedCurve::make({measured.a0_pa, measured.a1_pa_per_m3s, measured.a2_pa_per_m3s2},
                                        measured.at_rpm, measured.band, source_text(measured.provenance));
  Problems problems;
  if (!mix) take_problems(problems, mix.problems(), "coolant");
  if (!curve) take_problems(problems, curve.problems(), "curve of " + pump.name);
  if (!problems.empty()) return problems;

  const LineOnNecks hot = line_of_duty(bay, routes, Duty::hot);
  const LineOnNecks suction = line_of_duty(bay, routes, Duty::suction);
  CoolantCircuit circuit{.mix = *mix,
                         .pump = *curve,
                         .pulley_ratio = drive.crank_pulley_diameter / pump.pulley_diameter,
                         .engine_jacket = part_loss(engine.jacket),
                         .radiator_core = part_loss(data.radiator_core),
                         .bypass = {},
                         .heater = heater_of(job, bay, routes),
                         .thermostat = {engine.thermostat_r_open,
                                        {engine.thermostat_starts, engine.thermostat_full,
                                         pump.seat.place == SeatPlace::outlet ? ThermostatSide::block_outlet
                                                                              : ThermostatSide::pump_inlet}},
                         .upper = with_the_flow(job, bay, hot, FlowSense::from_engine),
                         .lower = with_the_flow(job, bay, suction, FlowSense::to_engine),
                         .cap_gauge = data.cap_gauge,
                         .cap_at = CapPlace::radiator_outlet,
                         .cap_above_pump = Length::mm(height_mm(bay, *hot.line, Carrier::chassis) -
                                                      height_mm(bay, *suction.line, Carrier::engine)),
                         .altitude = data.altitude};
  if (engine.bypass.a_pa_per_m3s > 0 || engine.bypass.b_pa_per_m3s2 > 0)
    circuit.bypass = part_loss(engine.bypass);
  return circuit;
}

}  // namespace

HydraulicLine hydraulic_line(const std::string& name, const Route& route, const Stock& stock,
                             const PlacedNeck& from, const PlacedNeck& to) {
  HydraulicLine line{name, {}};
  const Length bore = bore_of_run(stock);
  const Length roughness = Length::mm(stock.bore_roughness_mm);
  add_step(line, from.bore, bore);
  if (stock.corrugation_pitch.mm() > 0) {
    line.elements.push_back(
        CorrugatedRun{Length::mm(length_mm(route.centreline)), bore, stock.corrugation_pitch});
  } else {
    for (const Piece& piece : route.centreline.pieces) {
      if (const Arc* arc = std::get_if<Arc>(&piece))
        line.elements.push_back(
            Bend{bore, Length::mm(arc->radius_mm()), Angle::rad(arc->angle_rad), roughness});
      else if (length_mm(piece) > 0)
        line.elements.push_back(StraightRun{Length::mm(length_mm(piece)), bore, roughness});
    }
  }
  add_step(line, bore, to.bore);
  return line;
}

HydraulicLine reversed(const HydraulicLine& line) {
  HydraulicLine out{line.name, {line.elements.rbegin(), line.elements.rend()}};
  for (HydraulicElement& element : out.elements)
    if (BoreStep* step = std::get_if<BoreStep>(&element)) std::swap(step->from_bore, step->to_bore);
  return out;
}

std::optional<FlowAnswer> coolant_flow(const Job& job, const Bay& bay, const Candidate& candidate,
                                       std::span<const Route> routes) {
  if (routes.size() != bay.lines.size()) return std::nullopt;
  if (bay.tee) return std::nullopt;  // the network knows no branch there; told as tee_flow
  const bool stock_known =
      std::all_of(routes.begin(), routes.end(), [&](const Route& r) { return stock_of(job, r); });
  if (!stock_known || !line_of_duty(bay, routes, Duty::hot).route ||
      !line_of_duty(bay, routes, Duty::suction).route)
    return std::nullopt;
  const Pump& pump = job.family.pumps[candidate.pump];
  FlowAnswer answer;
  answer.curve_source = source_text(pump.curve.provenance);
  answer.curve_band = pump.curve.band;
  const Result<CoolantCircuit> circuit = circuit_of(job, bay, candidate, routes);
  if (!circuit) {
    answer.problems = circuit.problems();
    return answer;
  }
  answer.warm_up_loop = warm_up_loop(*circuit).has_value();
  const CoolantData& data = job.vehicle.coolant;
  for (const WorkingPoint& at : job.vehicle.working_points) {
    const CircuitDuty duty{
        at.name, at.crank_rpm, at.heat_to_coolant_w, data.radiator_ua_w_per_k, data.air_capacity_w_per_k,
        data.air};
    const Result<OperatingPoint> point = operating_point(*circuit, duty);
    if (point)
      answer.points.push_back(*point);
    else
      take_problems(answer.problems, point.problems(), at.name);
  }
  return answer;
}

}  // namespace hosefit
