// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/vehicle_yaml.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>

#include "solver/input/neck_choice_yaml.h"
#include "solver/input/stock_yaml.h"

namespace hosefit {
namespace {

constexpr std::array kGrades{Grade::rise, Grade::fall, Grade::one_way, Grade::free};
constexpr std::array kRunners{Runner::hose, Runner::clamp, Runner::rigid_part};
constexpr std::array kMounts{Mounts::rubber, Mounts::firm, Mounts::solid};
constexpr std::string_view kCoreName = "radiator core";

std::shared_ptr<const Body> body_of(std::string name, Carrier carrier, std::vector<Obstacle> obstacles) {
  return std::make_shared<const Body>(Body{std::move(name), carrier, std::move(obstacles)});
}

std::vector<Make> read_makes(const MapView& in, std::string_view key, ProblemLog& log) {
  std::vector<Make> makes;
  const std::vector<std::string> words = in.texts(key);
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (std::find(words.begin(), words.begin() + static_cast<std::ptrdiff_t>(i), words[i]) !=
        words.begin() + static_cast<std::ptrdiff_t>(i))
      in.refuse_item(log, key, i, fmt::format("{} stands twice; keep one", words[i]));
    for (const Make make : kMakes)
      if (word(make) == words[i]) makes.push_back(make);
  }
  return makes;
}

std::vector<MapView> joined(std::vector<MapView> a, const std::vector<MapView>& b) {
  a.insert(a.end(), b.begin(), b.end());
  return a;
}

// The radiator's core first, then its tanks, then what else is on the chassis.
void read_chassis(const MapView& in, const ReadTools& tools, Vehicle& vehicle) {
  const MapView radiator = in.map("radiator");
  const std::vector<MapView> written = joined(radiator.maps("tanks"), in.maps("obstacles"));
  refuse_repeated(written, "name", "an obstacle", tools.log);
  for (const MapView& map : written)
    if (map.text("name") == kCoreName)
      map.refuse(tools.log, "name", "radiator.core has that name already; give it another name");
  std::vector<Obstacle> obstacles;
  if (in.has("radiator") && radiator.has("core"))
    if (auto shape = read_shape(radiator.map("core"), tools))
      obstacles.push_back({std::string(kCoreName), Hazard::radiator_core, std::move(shape->shape),
                           shape->closed, std::nullopt, radiator.method(),
                           std::max(radiator.accuracy() + shape->off, radiator.map("core").taped_accuracy()),
                           radiator.place("core"), shape->seen_from, shape->notes});
  for (Obstacle& o : read_obstacles(radiator, "tanks", tools)) obstacles.push_back(std::move(o));
  for (const Obstacle& o : obstacles) vehicle.radiator.obstacles.push_back(o.name);
  for (Obstacle& o : read_obstacles(in, "obstacles", tools)) obstacles.push_back(std::move(o));

  NeckSurroundings around = surroundings(obstacles, written);
  around.names.emplace_back(kCoreName);
  vehicle.necks = read_necks(radiator, "necks", around, tools);
  for (const Neck& neck : vehicle.necks) vehicle.radiator.necks.push_back(neck.name);
  for (Neck& neck : read_necks(in, "necks", around, tools)) vehicle.necks.push_back(std::move(neck));
  const std::vector<MapView> necks = joined(radiator.maps("necks"), in.maps("necks"));
  refuse_repeated(necks, "name", "a neck", tools.log);
  check_neck_choices(necks, around.names, kCoreName, tools.log);
  for (const MapView& neck : necks)
    for (const std::string_view taken : {"pump.", "engine."})
      if (neck.text("name").starts_with(taken))
        neck.refuse(tools.log, "name",
                    fmt::format("names that begin with \"{}\" belong to the engine family; give a neck on "
                                "the chassis another name",
                                taken));
  vehicle.chassis = body_of("chassis", Carrier::chassis, std::move(obstacles));
}

std::vector<Obstacle> checked_obstacles(const MapView& in, std::string_view key, const ReadTools& tools) {
  refuse_repeated(in.maps(key), "name", "an obstacle", tools.log);
  return read_obstacles(in, key, tools);
}

std::vector<Line> read_lines(const MapView& in, const std::vector<Make>& usual, ProblemLog& log) {
  std::vector<Line> lines;
  refuse_repeated(in.maps("lines"), "name", "a line", log);
  for (const MapView& map : in.maps("lines")) {
    if (!map.ok()) continue;
    Line line;
    line.name = map.text("name");
    line.from = map.text("from");
    line.to = map.text("to");
    line.duty = map.choice("duty", kDuties, Duty::hot);
    line.grade = map.choice("grade", kGrades, Grade::free);
    if (map.has("stock")) line.stock = map.text("stock");
    line.stock_reason = map.text("reason");
    line.makes = map.has("makes") ? read_makes(map, "makes", log) : usual;
    line.place = map.place();
    lines.push_back(std::move(line));
  }
  return lines;
}

std::vector<GapSetByShop> read_shop_gaps(const MapView& in, ProblemLog& log) {
  std::vector<GapSetByShop> gaps;
  std::set<std::tuple<std::string, std::string, std::string>> seen;
  for (const MapView& map : in.maps("gaps")) {
    if (!map.ok()) continue;
    if (!seen.insert({map.text("runner"), map.text("hazard"), map.text("same_carrier")}).second)
      map.refuse(log, "this gap is set above already; keep one");
    std::optional<bool> same;
    if (map.has("same_carrier")) same = map.boolean("same_carrier", false);
    gaps.push_back({map.choice("runner", kRunners, Runner::hose),
                    map.choice("hazard", kHazards, Hazard::smooth_metal), same, map.length("gap"),
                    shop_provenance(map)});
  }
  return gaps;
}

CoolantData read_coolant(const MapView& in, ProblemLog& log) {
  CoolantData c;
  const std::string fluid = in.text("fluid");
  c.fluid = fluid == "water"              ? CoolantFluid::water
            : fluid == "propylene_glycol" ? CoolantFluid::propylene_glycol
                                          : CoolantFluid::ethylene_glycol;
  c.share_by = in.has("mass_share") ? ShareBy::mass : ShareBy::volume;
  c.share =
      c.fluid == CoolantFluid::water ? 0.0 : in.number(in.has("mass_share") ? "mass_share" : "volume_share");
  const bool share_given = in.has("mass_share") || in.has("volume_share");
  if (in.ok() && in.has("fluid") && c.fluid == CoolantFluid::water && share_given)
    in.refuse(log, in.has("mass_share") ? "mass_share" : "volume_share",
              "water has no share of glycol; leave it out or name the glycol");
  if (in.ok() && in.has("fluid") && c.fluid != CoolantFluid::water && !share_given)
    in.refuse(log, "volume_share", fmt::format("want volume_share or mass_share with {}", fluid));
  c.cap_gauge = Pressure::kpa(in.number("cap_kpa", c.cap_gauge.kpa()));
  c.altitude = Length::metre(in.number("altitude_m"));
  c.radiator_core = read_resistance(in.map("radiator"));
  if (in.has("heater")) c.heater_core = read_resistance(in.map("heater"));
  c.radiator_ua_w_per_k = in.number("radiator_ua_w_per_k");
  c.air_capacity_w_per_k = in.number("air_capacity_w_per_k");
  c.air = Temperature::celsius(in.number("air_c", c.air.celsius()));
  return c;
}

void read_known_space(const MapView& in, const ReadTools& tools, Vehicle& vehicle) {
  for (const MapView& map : in.maps("known_space")) {
    const auto box = read_shape(map, tools);
    if (!box) continue;
    vehicle.known_space.push_back(std::get<BoxShape>(box->shape));
    if (map.boolean("looked_behind", false)) vehicle.looked_behind.push_back(vehicle.known_space.back());
  }
}

std::vector<OwnedHose> read_owned_hoses(const MapView& in_hand) {
  std::vector<OwnedHose> hoses;
  for (const MapView& map : in_hand.maps("hoses")) {
    if (!map.ok()) continue;
    OwnedHose hose;
    hose.stock = map.text("stock");
    hose.length = map.length("length");
    if (map.has("angle_deg")) hose.angle = map.angle("angle_deg");
    hose.place = map.place();
    hoses.push_back(std::move(hose));
  }
  return hoses;
}

void read_bodies(const MapView& in, const ReadTools& tools, Vehicle& vehicle) {
  read_chassis(in, tools, vehicle);
  vehicle.hood = body_of("hood", Carrier::chassis, checked_obstacles(in, "hood", tools));
  const MapView fan = in.map("fan");
  vehicle.fan = body_of("fan", fan.text("carrier") == "engine" ? Carrier::engine : Carrier::chassis,
                        checked_obstacles(fan, "obstacles", tools));
  vehicle.on_engine = body_of("on_engine", Carrier::engine, checked_obstacles(in, "on_engine", tools));
  read_known_space(in, tools, vehicle);
}

}  // namespace

std::vector<MapView> chassis_necks(const InputFile& file) {
  const MapView in(file, file.root, "");
  return joined(in.map("radiator").maps("necks"), in.maps("necks"));
}

Vehicle read_vehicle(const InputFile& file, const ReadTools& tools) {
  const MapView in(file, file.root, "");
  Vehicle v;
  v.name = in.text("name");
  v.description = in.text("description");
  v.shown_in = (in.has("shown_in") ? in.text("shown_in") : in.text("units")) == "in" ? LengthUnit::inch
                                                                                     : LengthUnit::mm;
  const MapView engine = in.map("engine");
  v.family = engine.text("family");
  v.engine_at_mm = engine.measured_point("at");
  v.engine_tilt = engine.angle("tilt_deg");
  v.mounts = engine.choice("mounts", kMounts, Mounts::rubber);
  if (engine.has("motion")) {
    v.motion = read_motion(engine.map("motion"));
    v.motion->provenance = shop_provenance(engine.map("motion"));
  }
  read_bodies(in, tools, v);
  v.lines = read_lines(in, read_makes(in, "makes", tools.log), tools.log);
  v.gaps = read_shop_gaps(in, tools.log);
  v.coolant = read_coolant(in.map("coolant"), tools.log);
  refuse_repeated(in.maps("working_points"), "name", "a working point", tools.log);
  for (const MapView& map : in.maps("working_points"))
    v.working_points.push_back({map.text("name"), map.number("crank_rpm"), map.number("heat_kw") * 1000.0});
  const MapView in_hand = in.map("in_hand");
  v.in_hand = {in_hand.text("pump"), in_hand.text("drive"), in_hand.text("housing"), in_hand.text("intake"),
               in_hand.texts("owned")};
  v.in_hand.hoses = read_owned_hoses(in_hand);
  v.question = {in.map("question").text("intake"), in.map("question").length("height")};
  v.tape = file.tape;
  v.place = in.place();
  return v;
}

}  // namespace hosefit
