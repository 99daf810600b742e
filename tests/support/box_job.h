// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "solver/model/vehicle.h"

/// A bay of boxes, small enough to reason about by hand. Engine frame origin at vehicle (300, 0, 500), no
/// tilt.
///   Both large hoses run straight forward over 160 mm: hot at y = 100, z = 700, suction at y = -100, z =
///   400. The top of the intake hangs over the pump from height - 20 to height + 20 (engine z); the hood is
///   at engine z = 380. Pump "low": casing up to 150, outlet arm up to 220. Pump "tall": the same with a
///   snout up to 250.
/// With the gaps below (rigid parts on the engine 12 mm, hood 20 mm, hose past anything on another carrier 15
/// mm):
///   hood over intake      height + 20 + 20 <= 380:  height <= 340
///   tall under intake     height - 20 >= 250 + 12:  height >= 282
///   hose under intake     height - 20 >= 200 + sqrt((24 + 15)^2 - 10^2):  height >= 257.7   (the 48 mm hose
///   leaves the
///     housing's neck, end at z 200, 10 mm ahead of the intake's front edge; over the neck it goes with the
///     engine: 6 mm)
namespace hosefit::box_job {

inline Obstacle box(std::string name, const Vec3& centre, const Vec3& half,
                    Hazard hazard = Hazard::smooth_metal) {
  Obstacle o;
  o.name = std::move(name);
  o.hazard = hazard;
  BoxShape shape;
  shape.frame.origin_mm = centre;
  shape.half_size_mm = half;
  o.shape = shape;
  return o;
}

inline std::shared_ptr<const Body> body(std::string name, Carrier carrier, std::vector<Obstacle> obstacles) {
  return std::make_shared<const Body>(Body{std::move(name), carrier, std::move(obstacles)});
}

inline Neck neck(std::string name, const Vec3& at, const Vec3& outward, std::vector<std::string> on = {}) {
  Neck n;
  n.name = std::move(name);
  n.end_mm.value = at;
  n.outward = outward;
  n.outside_diameter = Length::mm(38);
  n.bore = Length::mm(34);
  n.straight = Length::mm(35);
  n.on = std::move(on);
  return n;
}

inline Length gap_of(Runner runner, Hazard hazard, bool same) {
  if (runner == Runner::rigid_part) return Length::mm(hazard == Hazard::hood ? 20 : same ? 12 : 15);
  const double least = runner == Runner::clamp ? 10 : 6;
  return Length::mm(hazard == Hazard::radiator_core ? 10 : same ? least : 15);
}

inline GapTable gaps() {
  std::vector<GapRow> rows;
  for (const Runner runner : {Runner::hose, Runner::clamp, Runner::rigid_part})
    for (const Hazard hazard : kHazards)
      for (const bool same : {false, true}) {
        GapRow row;
        row.id = std::string(word(runner)) + "." + std::string(word(hazard)) + (same ? ".same" : ".other");
        row.runner = runner;
        row.hazard = hazard;
        row.same_carrier = same;
        row.at_rest = gap_of(runner, hazard, same);
        row.after_motion = 0.5 * row.at_rest;
        row.provenance.source = Source::common_practice;
        rows.push_back(row);
      }
  return GapTable(rows);
}

inline Pump pump(const std::string& name, double casing_top_mm) {
  Pump p;
  p.name = name;
  std::vector<Obstacle> obstacles{box("casing", {-25, 0, 50}, {35, 60, 100}),
                                  box("outlet arm", {-10, 100, 200}, {20, 20, 20}),
                                  box("inlet arm", {-25, -100, -100}, {30, 20, 20})};
  if (casing_top_mm > 150)
    obstacles.push_back(
        box("snout", {-25, 0, (150 + casing_top_mm) / 2}, {35, 30, (casing_top_mm - 150) / 2}));
  p.body = body(name, Carrier::engine, std::move(obstacles));
  p.necks = {neck("pump.inlet", {-100, -100, -100}, -Vec3::UnitX(), {"inlet arm"})};
  p.seat.flange = "two bolts";
  p.seat.frame = Pose::from_axes({-60, 100, 200}, -Vec3::UnitX(), Vec3::UnitZ());
  p.pulley_plane_mm.value = 80;
  p.pulley_diameter = Length::mm(140);
  p.curve = {5000, 60000, -2e6, -8e9, 0.2, {Source::from_memory, "", "", ""}};
  return p;
}

inline Family family() {
  Family f;
  f.name = "boxes";
  f.engine.body = body("engine", Carrier::engine, {box("block", {270, 0, -20}, {250, 150, 130})});
  f.engine.jacket = {1e6, 2.5e9, {}};
  f.engine.bypass = {0, 4e10, {}};
  f.engine.thermostat_r_open = 5e8;
  f.engine.thermostat_starts = Temperature::celsius(88);
  f.engine.thermostat_full = Temperature::celsius(98);
  f.pumps = {pump("low", 150), pump("tall", 250)};
  Drive drive;
  drive.name = "drive";
  drive.body =
      body("drive", Carrier::engine, {box("belt", {-84, 0, 0}, {10, 40, 60}, Hazard::belt_or_pulley)});
  drive.belt_plane_mm.value = 80;
  drive.crank_pulley_diameter = Length::mm(168);
  drive.longest_span = Length::mm(300);
  f.drives = {drive};
  Housing housing;
  housing.name = "straight";
  housing.body = body("straight", Carrier::engine, {box("collar", {0, 0, -10}, {20, 20, 20})});
  housing.neck = neck("housing", {0, 0, 40}, Vec3::UnitZ(), {"collar"});
  housing.flange = "two bolts";
  housing.places = {SeatPlace::outlet};
  housing.clocks = {Angle{}};
  f.housings = {housing};
  Intake intake;
  intake.name = "boxed";
  intake.drawn_height = Length::mm(300);
  intake.least_height = Length::mm(250);
  intake.most_height = Length::mm(350);
  intake.base = {box("runners", {140, 0, 150}, {100, 100, 30})};
  intake.stretch = {box("riser", {120, 0, 230}, {80, 80, 50})};
  intake.top = {box("plenum", {75, 0, 300}, {165, 130, 20})};
  f.intakes = {intake};
  return f;
}

inline Line line(std::string name, std::string from, std::string to, Duty duty) {
  Line l;
  l.name = std::move(name);
  l.from = std::move(from);
  l.to = std::move(to);
  l.duty = duty;
  l.makes = {Make::straight_hose};
  return l;
}

inline Stock straight_hose() {
  Stock s;
  s.id = "straight 38";
  s.make = Make::straight_hose;
  s.bore = Length::mm(38);
  s.wall = Length::mm(5);
  s.outside_diameter = Length::mm(48);
  s.radii = {Length::mm(265)};
  s.most_bend = Angle::deg(90);
  s.straight_between = Length::mm(48);
  s.lengths = {Length::mm(900)};
  s.provenance.source = Source::derived;
  return s;
}

inline Job make() {
  Job job{{}, family(), {straight_hose()}, gaps(), ""};
  Vehicle& v = job.vehicle;
  v.name = "box bay";
  v.family = "boxes";
  v.engine_at_mm.value = {300, 0, 500};
  v.chassis =
      body("chassis", Carrier::chassis, {box("core", {-60, 0, 550}, {30, 250, 250}, Hazard::radiator_core)});
  v.hood = body("hood", Carrier::chassis, {box("hood skin", {400, 0, 890}, {500, 500, 10}, Hazard::hood)});
  v.fan = body("fan", Carrier::chassis, {});
  v.on_engine = body("on engine", Carrier::engine, {});
  v.necks = {neck("radiator.top", {40, 100, 700}, Vec3::UnitX()),
             neck("radiator.bottom", {40, -100, 400}, Vec3::UnitX())};
  v.lines = {line("upper", "pump.outlet", "radiator.top", Duty::hot),
             line("lower", "radiator.bottom", "pump.inlet", Duty::suction)};
  BoxShape known;
  known.frame.origin_mm = {300, 0, 500};
  known.half_size_mm = {700, 700, 700};
  v.known_space = {known};
  v.coolant.radiator_core = {1e6, 6e8, {}};
  v.coolant.radiator_ua_w_per_k = 1500;
  v.coolant.air_capacity_w_per_k = 3000;
  v.working_points = {{"idle", 900, 10000}, {"cruise", 2500, 30000}};
  v.in_hand = {"low", "drive", "straight", "boxed", {}};
  v.question = {"boxed", Length::mm(300)};
  return job;
}

}  // namespace hosefit::box_job
