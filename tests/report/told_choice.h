// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <memory>
#include <string>

#include "solver/report/text.h"

/// A small job and an answer to it made by hand, so that reports are tested without any search.
namespace hosefit::told {

inline std::shared_ptr<const Body> body_with(std::string obstacle, Hazard hazard, Carrier carrier) {
  auto body = std::make_shared<Body>();
  body->name = obstacle;
  body->carrier = carrier;
  Obstacle one;
  one.name = std::move(obstacle);
  one.hazard = hazard;
  one.shape = SphereShape{Vec3(500, -90, 600), 20};
  body->obstacles.push_back(one);
  return body;
}

inline GapTable flat_gaps() {
  std::vector<GapRow> rows;
  for (const Hazard hazard : kHazards)
    for (const Runner runner : {Runner::hose, Runner::clamp, Runner::rigid_part})
      for (const bool same : {false, true})
        rows.push_back({"flat",
                        runner,
                        hazard,
                        same,
                        Length::mm(12),
                        Length::mm(6),
                        {Source::common_practice, "", "", ""}});
  return GapTable(rows);
}

inline Neck neck(std::string name, const Vec3& at_mm) {
  Neck out;
  out.name = std::move(name);
  out.end_mm.value = at_mm;
  out.outward = Vec3::UnitX();
  out.outside_diameter = Length::mm(38.1);
  out.bore = Length::mm(34);
  out.straight = Length::mm(35);
  return out;
}

inline Line line(std::string name, std::string from, std::string to, Duty duty) {
  Line out;
  out.name = std::move(name);
  out.from = std::move(from);
  out.to = std::move(to);
  out.duty = duty;
  out.makes = {Make::bent_tube};
  return out;
}

/// Two pumps named as asked, one drive, one housing with two clocks, one intake.
inline Job job(const std::string& pump_name = "tall pump") {
  Job out{{}, {}, {}, flat_gaps(), "0123abcd"};
  Vehicle& vehicle = out.vehicle;
  vehicle.name = "test coupe";
  vehicle.family = "test block";
  vehicle.chassis = body_with("battery tray", Hazard::sharp_edge, Carrier::chassis);
  vehicle.hood = body_with("hood", Hazard::hood, Carrier::chassis);
  vehicle.fan = body_with("fan", Hazard::fan, Carrier::chassis);
  vehicle.on_engine = body_with("header", Hazard::bare_exhaust, Carrier::engine);
  vehicle.necks = {neck("radiator.top", {0, 0, 500}), neck("radiator.bottom", {0, 0, 200})};
  vehicle.lines = {line("upper", "pump.outlet", "radiator.top", Duty::hot),
                   line("lower", "radiator.bottom", "pump.inlet", Duty::suction)};
  out.family.name = "test block";
  out.family.engine.body = body_with("block", Hazard::smooth_metal, Carrier::engine);
  for (const std::string& name : {pump_name, std::string("short pump")}) {
    Pump pump;
    pump.name = name;
    pump.body = body_with(name + " casting", Hazard::smooth_metal, Carrier::engine);
    pump.seat.flange = "two bolt";
    pump.necks = {neck("pump.inlet", {-100, 0, 100})};
    out.family.pumps.push_back(pump);
  }
  Drive drive;
  drive.name = "truck drive";
  drive.body = body_with("alternator", Hazard::belt_or_pulley, Carrier::engine);
  out.family.drives = {drive};
  Housing housing;
  housing.name = "swivel";
  housing.flange = "two bolt";
  housing.places = {SeatPlace::outlet};
  housing.clocks = {Angle::deg(0), Angle::deg(45)};
  housing.body = body_with("thermostat housing", Hazard::smooth_metal, Carrier::engine);
  housing.neck = neck("housing", {0, 0, 30});
  out.family.housings = {housing};
  Intake intake;
  intake.name = "tall plenum";
  intake.drawn_height = intake.least_height = Length::mm(250);
  intake.most_height = Length::mm(350);
  out.family.intakes = {intake};
  Stock stock;
  stock.id = "tube_38";
  stock.make = Make::bent_tube;
  stock.description = "aluminium tube, 1.5 mm wall";
  stock.bore = stock.outside_diameter = Length::mm(38.1);
  stock.radii = {Length::mm(60)};
  out.stock = {stock};
  return out;
}

/// Straight, quarter turn of 60 mm, straight, turn back: all ends meet.
inline Centreline bent_run() {
  FilletChain chain;
  chain.points_mm = {{100, -80, 600}, {250, -80, 600}, {250, 120, 600}, {420, 120, 700}};
  chain.radii_mm = {60, 60};
  return *centreline_of(chain);
}

inline Finding stop_on_upper() {
  Finding out;
  out.rule = RuleId::no_passage;
  out.severity = Severity::stop;
  out.subject = "upper";
  out.other = "throttle body";
  out.where_mm = Vec3(410, -84, 620);
  out.measured = 8.0;
  out.limit = 12.0;
  out.margin = -4.0;
  out.unit = FindingUnit::mm;
  out.provenance = Provenance{Source::common_practice, "", "", ""};
  return out;
}

inline FlowAnswer flow(const std::string& source = "bench test of a like pump, from memory") {
  const SourcedCurve curve = *SourcedCurve::make({40000, 0, -1e9}, 3000, 0.2, source);
  const SourcedFlow total(Flow::l_min(98), Flow::l_min(84), Flow::l_min(113), curve);
  const Temperature hot = Temperature::celsius(92);
  const LineReport upper{"upper",
                         LineDuty::pressure,
                         total,
                         Pressure::kpa(3.2),
                         Pressure::kpa(2.2),
                         Pressure::kpa(4.2),
                         10.0,
                         1.8,
                         VelocityGrade::within_guide,
                         {}};
  const OperatingPoint point{"cruise",
                             ThermalOutcome::regulating,
                             total,
                             total,
                             std::nullopt,
                             std::nullopt,
                             Pressure::kpa(30),
                             {upper},
                             0.4,
                             hot,
                             hot,
                             hot,
                             Temperature::celsius(85),
                             7.0,
                             Temperature::celsius(128),
                             Pressure::kpa(180),
                             {Pressure::kpa(60), Pressure::kpa(55), Pressure::kpa(65)},
                             false};
  FlowAnswer out;
  out.points = {point};
  out.curve_source = source;
  out.curve_band = 0.2;
  return out;
}

inline CandidateResult fitting(std::size_t pump) {
  CandidateResult out;
  out.candidate.pump = pump;
  out.candidate.clock = 1;
  out.candidate.height = Length::mm(312);
  out.verdict = {Fit::fits, {2, 3, 1}};
  out.lines_tried = true;
  Route route;
  route.make = Make::bent_tube;
  route.stock = "tube_38";
  route.centreline = bent_run();
  route.sections = {{0, length_mm(route.centreline), 38.1, Runner::rigid_part}};
  route.pieces = {{"coupler", "coupler", 60, 1000, std::nullopt},
                  {"tube_38", "tube", 412, 0, Angle::deg(90).rad()}};
  route.engagement_from_mm = route.engagement_to_mm = 28;
  route.joints = 4;
  LineProof proof;
  proof.proved = true;
  proof.gaps = {{"throttle body",
                 std::nullopt,
                 Runner::hose,
                 12.0,
                 14.2,
                 14.0,
                 80.0,
                 Vec3(410, -84, 620),
                 {Source::common_practice, "", "", ""}}};
  for (std::size_t i = 0; i < 2; ++i) {
    route.line = proof.line = i;
    out.routes.push_back(route);
    out.proof.lines.push_back(proof);
    LineSearch search;
    search.line = i;
    search.outcome = SearchOutcome::found;
    out.searches.push_back(search);
  }
  out.flow = flow();
  out.comparison.fit_order = 0;
  out.comparison.joints = 8;
  out.comparison.least_spare_mm = 2.0;
  out.comparison.length_mm = 1000;
  out.changes = {"drive: truck drive"};
  return out;
}

inline CandidateResult refused(std::size_t pump) {
  CandidateResult out;
  out.candidate.pump = pump;
  out.candidate.height = Length::mm(312);
  out.verdict = {Fit::does_not_fit, {0, 1, 0}};
  out.lines_tried = true;
  out.findings = {stop_on_upper()};
  out.comparison.hindrance = Hindrance::line;
  out.comparison.missing_mm = 4;
  return out;
}

inline Choice choice() {
  Choice out;
  out.query.height = Length::mm(312);
  out.candidates = {fitting(0), refused(1)};
  out.ranking = {{0, 0, {}}, {1, 1, {}}};
  return out;
}

}  // namespace hosefit::told
