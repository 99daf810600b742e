// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/family_yaml.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <numbers>

#include "solver/model/inside.h"

namespace hosefit {
namespace {

constexpr std::array kRotations{Rotation::clockwise, Rotation::counterclockwise};
constexpr std::array kPlaces{SeatPlace::outlet, SeatPlace::inlet};
constexpr std::array kContacts{BeltContact::grooved_side, BeltContact::back_side};

std::shared_ptr<const Body> body_on_engine(std::string name, std::vector<Obstacle> obstacles) {
  return std::make_shared<const Body>(Body{std::move(name), Carrier::engine, std::move(obstacles)});
}

// Keys that every part of a family has.
template <class Part>
Part named_part(const MapView& in) {
  Part part;
  part.name = in.text("name");
  part.description = in.text("description");
  part.price = in.number("price");
  part.lead_days = in.integer("lead_days");
  part.place = in.place();
  return part;
}

void refuse_neck_names(const MapView& in, std::string_view prefix, ProblemLog& log) {
  const std::vector<MapView> necks = in.maps("necks");
  refuse_repeated(necks, "name", "a neck", log);
  for (const MapView& neck : necks)
    if (const std::string name = neck.text("name"); neck.has("name") && !name.starts_with(prefix))
      neck.refuse(log, "name",
                  fmt::format("want a name that begins with \"{}\", found \"{}\"", prefix, name));
}

Engine read_engine(const InputFile& file, const ReadTools& tools) {
  const MapView in(file, file.root, "");
  Engine engine;
  engine.name = in.text("name");
  engine.description = in.text("description");
  refuse_repeated(in.maps("obstacles"), "name", "an obstacle", tools.log);
  refuse_neck_names(in, "engine.", tools.log);
  std::vector<Obstacle> obstacles = read_obstacles(in, "obstacles", tools);
  engine.necks = read_necks(in, "necks", surroundings(obstacles, in.maps("obstacles")), tools);
  engine.body = body_on_engine("engine", std::move(obstacles));
  engine.crank_clockwise = in.text("crank_rotation") != word(Rotation::counterclockwise);
  engine.jacket = read_resistance(in.map("jacket"));
  engine.bypass = read_resistance(in.map("bypass"));
  const MapView thermostat = in.map("thermostat");
  engine.thermostat_r_open = thermostat.number("r_open");
  engine.thermostat_starts = Temperature::celsius(thermostat.number("starts_c"));
  engine.thermostat_full = Temperature::celsius(thermostat.number("full_c"));
  if (in.has("thermostat") && thermostat.ok() && engine.thermostat_full <= engine.thermostat_starts)
    thermostat.refuse(tools.log, "full_c",
                      fmt::format("want more than starts_c ({}), found {}", thermostat.number("starts_c"),
                                  thermostat.number("full_c")));
  engine.place = in.place();
  return engine;
}

Seat read_seat(const MapView& in, ProblemLog& log) {
  Seat seat;
  seat.place = in.choice("place", kPlaces, SeatPlace::outlet);
  seat.flange = in.text("flange");
  const Vec3 outward = in.direction("outward");
  const Vec3 zero = in.direction("clock_zero", any_perpendicular(outward));
  if (in.ok() && outward.cross(zero).norm() < 1e-3) {
    in.refuse(log, "clock_zero", "want a direction across `outward`, found one along it");
    return seat;
  }
  seat.frame = Pose::from_axes(in.point_mm("at"), outward,
                               outward.cross(zero).norm() < 1e-3 ? any_perpendicular(outward) : zero);
  return seat;
}

// One of outlet and inlet comes with the housing, the other must be a neck of the pump.
void check_ports(const MapView& in, const Seat& seat, ProblemLog& log) {
  const std::string from_seat = fmt::format("pump.{}", word(seat.place));
  const std::string own = seat.place == SeatPlace::outlet ? "pump.inlet" : "pump.outlet";
  bool found = false;
  for (const MapView& neck : in.maps("necks")) {
    found = found || neck.text("name") == own;
    if (neck.text("name") == from_seat)
      neck.refuse(
          log, "name",
          fmt::format(
              "{} comes with the housing on this pump's seat; leave the neck out or correct seat.place",
              from_seat));
  }
  if (!found)
    in.refuse(log, "necks",
              fmt::format("the neck {} is missing; with a seat at the {} the pump must have it", own,
                          word(seat.place)));
}

Pump read_pump(const MapView& in, const Body& block, const ReadTools& tools) {
  Pump pump = named_part<Pump>(in);
  refuse_repeated(in.maps("obstacles"), "name", "an obstacle", tools.log);
  refuse_neck_names(in, "pump.", tools.log);
  std::vector<Obstacle> obstacles = read_obstacles(in, "obstacles", tools);
  pump.necks = read_necks(in, "necks", surroundings(obstacles, in.maps("obstacles")), tools);
  pump.seat = read_seat(in.map("seat"), tools.log);
  if (in.ok()) check_ports(in, pump.seat, tools.log);
  for (const MapView& neck : in.maps("necks"))
    for (const Obstacle& o : block.obstacles)
      if (neck.ok() && is_inside(o, neck.measured_point("at").value, 0.5))
        neck.refuse(tools.log, "at", fmt::format("the neck's end lies inside \"{}\" of the engine", o.name));
  pump.body = body_on_engine("pump " + pump.name, std::move(obstacles));
  pump.rotation = in.choice("rotation", kRotations, Rotation::clockwise);
  pump.pulley_plane_mm = in.measured_length_mm("pulley_plane");
  pump.pulley_diameter = in.length("pulley_diameter");
  pump.depth = in.length("depth");
  const MapView curve = in.map("curve");
  pump.curve = {curve.number("at_rpm"), curve.number("a0_pa"),     curve.number("a1"),
                curve.number("a2"),     curve.number("band", 0.2), read_provenance(curve.map("provenance"))};
  return pump;
}

Drive read_drive(const MapView& in, const ReadTools& tools) {
  Drive drive = named_part<Drive>(in);
  refuse_repeated(in.maps("obstacles"), "name", "an obstacle", tools.log);
  drive.body = body_on_engine("drive " + drive.name, read_obstacles(in, "obstacles", tools));
  drive.belt_plane_mm = in.measured_length_mm("belt_plane");
  drive.crank_pulley_diameter = in.length("crank_pulley_diameter");
  drive.pump_contact = in.choice("pump_contact", kContacts, BeltContact::grooved_side);
  drive.longest_span = in.length("longest_span");
  return drive;
}

Housing read_housing(const MapView& in, const ReadTools& tools) {
  Housing housing = named_part<Housing>(in);
  refuse_repeated(in.maps("obstacles"), "name", "an obstacle", tools.log);
  std::vector<Obstacle> obstacles = read_obstacles(in, "obstacles", tools);
  const MapView neck_in = in.map("neck");
  if (neck_in.has("name") && neck_in.text("name") != "housing")
    neck_in.refuse(tools.log, "name",
                   fmt::format("want \"housing\", found \"{}\"; the pump's seat gives it its full name",
                               neck_in.text("name")));
  if (auto neck = read_neck(neck_in, tools); neck && in.has("neck")) {
    check_neck(neck_in, *neck, surroundings(obstacles, in.maps("obstacles")), tools.log);
    housing.neck = *std::move(neck);
  }
  housing.body = body_on_engine("housing " + housing.name, std::move(obstacles));
  housing.flange = in.text("flange");
  for (const std::string& place : in.texts("places"))
    housing.places.push_back(place == word(SeatPlace::inlet) ? SeatPlace::inlet : SeatPlace::outlet);
  if (housing.places.size() == 2 && housing.places[0] == housing.places[1])
    in.refuse_item(tools.log, "places", 1, "stands twice; keep one");
  housing.clocks = in.angles("clocks_deg");
  for (std::size_t i = 0; i < housing.clocks.size(); ++i)
    for (std::size_t j = 0; j < i; ++j)
      if (std::abs(std::remainder((housing.clocks[i] - housing.clocks[j]).deg(), 360.0)) < 1e-6)
        in.refuse_item(tools.log, "clocks_deg", i, "the same clock stands twice; keep one");
  return housing;
}

Intake read_intake(const MapView& in, const ReadTools& tools) {
  Intake intake = named_part<Intake>(in);
  intake.drawn_height = in.length("drawn_height");
  intake.least_height = in.length("least_height");
  intake.most_height = in.length("most_height");
  if (in.has("least_height") && intake.most_height < intake.least_height && in.ok())
    in.refuse(tools.log, "most_height",
              fmt::format("want at least least_height ({:g} mm), found {:g} mm", intake.least_height.mm(),
                          intake.most_height.mm()));
  refuse_repeated(in.maps("obstacles"), "name", "an obstacle", tools.log);
  for (const MapView& map : in.maps("obstacles")) {
    auto obstacle = read_obstacle(map, tools);
    if (!obstacle) continue;
    const std::string part = map.text("part");
    if (part == "stretch") {
      const auto* box = std::get_if<BoxShape>(&obstacle->shape);
      if (box == nullptr || !box->frame.rotation.isIdentity(0.0)) {
        map.refuse(tools.log, "shape",
                   "a stretch must be a box along the axes, so that it can grow; use {box: {min, max}}");
        continue;
      }
    }
    (part == "base"      ? intake.base
     : part == "stretch" ? intake.stretch
                         : intake.top)
        .push_back(*std::move(obstacle));
  }
  return intake;
}

}  // namespace

std::vector<MapView> entries(const InputFile& file, std::string_view key) {
  return MapView(file, file.root, "").maps(key);
}

std::vector<std::string> names_of(const std::vector<MapView>& maps, std::string_view key) {
  std::vector<std::string> names;
  for (const MapView& map : maps)
    if (map.has(key) && !map.text(key).empty()) names.push_back(map.text(key));
  return names;
}

Family read_family(const std::string& name, const FamilyFiles& files, const ReadTools& tools) {
  Family family;
  family.name = name;
  family.engine = read_engine(files.engine, tools);
  refuse_repeated(entries(files.pumps, "pumps"), "name", "a pump", tools.log);
  refuse_repeated(entries(files.drives, "drives"), "name", "a drive", tools.log);
  refuse_repeated(entries(files.housings, "housings"), "name", "a housing", tools.log);
  refuse_repeated(entries(files.intakes, "intakes"), "name", "an intake", tools.log);
  for (const MapView& in : entries(files.pumps, "pumps"))
    family.pumps.push_back(read_pump(in, *family.engine.body, tools));
  for (const MapView& in : entries(files.drives, "drives")) family.drives.push_back(read_drive(in, tools));
  for (const MapView& in : entries(files.housings, "housings"))
    family.housings.push_back(read_housing(in, tools));
  for (const MapView& in : entries(files.intakes, "intakes"))
    family.intakes.push_back(read_intake(in, tools));
  return family;
}

}  // namespace hosefit
