// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <set>

#include "solver/recheck/read_shapes.h"
#include "solver/recheck/tape.h"
#include "solver/recheck/tees.h"

namespace hosefit::recheck {
namespace {

const std::vector<std::string_view> kRotations{"clockwise", "counterclockwise"};
const std::vector<std::string_view> kPlaces{"outlet", "inlet"};
const std::vector<std::string_view> kMounts{"rubber", "firm", "solid"};
constexpr double kMostRoll_deg = 10;

void set_aside(Table& in, std::initializer_list<const char*> keys) {
  for (const char* key : keys) in.set_aside(key);
}

Pump read_pump(Table in, Files& files) {
  Pump pump;
  pump.name = in.word("name");
  pump.obstacles = read_obstacles(in, "obstacles", files);
  pump.necks = read_necks(in, "necks");
  Table seat = in.table("seat");
  pump.seat_place = seat.one_of("place", kPlaces);
  pump.seat_flange = seat.word("flange");
  const V3 outward = seat.direction("outward"), zero = seat.direction("clock_zero");
  if (outward.cross(zero).norm() < 1e-6) seat.refuse("clock_zero", "along outward");
  pump.seat = axes(seat.point_mm("at"), outward, zero);
  seat.done();
  pump.rotation = in.one_of("rotation", kRotations);
  pump.pulley_plane_mm = in.measured_length_mm("pulley_plane");
  set_aside(in, {"description", "pulley_diameter", "depth", "curve", "price", "lead_days"});
  in.done();
  return pump;
}

Intake read_intake(Table in, Files& files) {
  Intake intake;
  intake.name = in.word("name");
  intake.drawn_mm = in.length_mm("drawn_height");
  intake.least_mm = in.length_mm("least_height");
  intake.most_mm = in.length_mm("most_height");
  for (Table& item : in.tables("obstacles")) {
    const std::string part = item.one_of("part", {"base", "stretch", "top"});
    auto obstacle = read_obstacle(item, files);
    item.done();
    if (!obstacle) continue;
    if (part == "stretch") {
      const auto* block = std::get_if<Block>(&obstacle->solid);
      if (block == nullptr || block->frame.turn != M3(M3::Identity())) {
        item.refuse("shape", "a stretch that is no box along the axes");
        continue;
      }
    }
    (part == "base"      ? intake.base
     : part == "stretch" ? intake.stretch
                         : intake.top)
        .push_back(*std::move(obstacle));
  }
  set_aside(in, {"description", "price", "lead_days"});
  in.done();
  return intake;
}

Line read_line(Table in, const std::vector<std::string>& usual_makes) {
  Line line;
  line.name = in.word("name");
  line.from = in.word("from");
  line.to = in.word("to");
  line.duty = in.one_of("duty", {"hot", "suction", "heater_feed", "heater_return", "vent"});
  line.grade = in.has("grade") ? in.one_of("grade", {"rise", "fall", "one_way", "free"}) : "free";
  if (in.has("stock")) line.stock = in.word("stock");
  in.set_aside("reason");
  line.makes = in.has("makes") ? in.words("makes") : usual_makes;
  in.done();
  return line;
}

void read_radiator(Table in, Files& files, Job& job) {
  const std::optional<Solid> core = read_solid(in.table("core"), files);
  if (core) job.chassis.push_back({"radiator core", "radiator_core", *core, std::nullopt});
  for (Obstacle& tank : read_obstacles(in, "tanks", files)) job.chassis.push_back(std::move(tank));
  job.chassis_necks = read_chassis_necks(in, "necks");
  set_aside(in, {"measured", "accuracy"});
  in.done();
}

MountsFigures read_figures(Table& in) {
  const auto way = [&](const char* key) {
    const double mm = in.length_mm(key);
    if (mm < 0) in.refuse(key, "a way below nothing");
    return mm;
  };
  MountsFigures figures;
  figures.roll_deg = in.number("roll_deg");
  if (!(figures.roll_deg >= 0 && figures.roll_deg <= kMostRoll_deg))
    in.refuse("roll_deg", "a roll that the recheck cannot follow");
  figures.lift_mm = way("lift");
  figures.forward_mm = way("forward");
  figures.rearward_mm = way("rearward");
  figures.sideways_mm = way("sideways");
  figures.axis_below_crank_mm = in.length_mm("axis_below_crank");
  return figures;
}

void read_engine_place(Table in, Job& job) {
  in.set_aside("family");  // the record's counts: the command line may have changed it
  job.engine_at_mm = in.measured_point_mm("at");
  job.tilt_deg = in.number_or("tilt_deg", 0);
  job.mounts = in.one_of("mounts", kMounts);
  if (in.has("motion")) {
    Table own = in.table("motion");
    job.own_figures = read_figures(own);
    set_aside(own, {"by", "reason"});
    own.done();
  }
  in.done();
}

}  // namespace

void read_vehicle(Table in, Files& files, Job& job) {
  read_engine_place(in.table("engine"), job);
  read_radiator(in.table("radiator"), files, job);
  for (Obstacle& o : read_obstacles(in, "obstacles", files)) job.chassis.push_back(std::move(o));
  for (Neck& neck : read_chassis_necks(in, "necks")) job.chassis_necks.push_back(std::move(neck));
  refuse_false_companions(in, job);
  job.hood = read_obstacles(in, "hood", files);
  if (in.has("fan")) {
    Table fan = in.table("fan");
    job.fan_on_engine = fan.one_of("carrier", {"chassis", "engine"}) == "engine";
    job.fan = read_obstacles(fan, "obstacles", files);
    fan.done();
  }
  job.on_engine = read_obstacles(in, "on_engine", files);
  if (holds_taped(in, "on_engine") || (job.fan_on_engine && holds_taped(in, "fan")))
    in.refuse("on_engine", "a taped point in the engine's frame");
  for (Table& known : in.tables("known_space")) {
    if (const auto solid = read_solid(known, files)) {
      if (std::holds_alternative<Block>(*solid))
        job.known_space.push_back(*solid);
      else
        known.refuse("", "a known space that is no box");
    }
  }
  const std::vector<std::string> makes = in.words("makes");
  for (const Table& line : in.tables("lines")) job.lines.push_back(read_line(line, makes));
  read_tee(in, job);
  set_aside(in, {"name", "description", "shown_in", "tape", "coolant", "working_points", "in_hand",
                 "question", "gaps"});
  in.done();
}

void read_engine(Table in, Files& files, Job& job) {
  job.block = read_obstacles(in, "obstacles", files);
  job.engine_necks = read_necks(in, "necks");
  job.crank_rotation = in.one_of("crank_rotation", kRotations);
  set_aside(in, {"name", "description", "jacket", "bypass", "thermostat"});
  in.done();
}

void read_pumps(Table in, Files& files, Job& job) {
  for (const Table& item : in.tables("pumps")) job.pumps.push_back(read_pump(item, files));
  in.done();
}

void read_drives(Table in, Files& files, Job& job) {
  for (Table& item : in.tables("drives")) {
    Drive drive;
    drive.name = item.word("name");
    drive.obstacles = read_obstacles(item, "obstacles", files);
    drive.belt_plane_mm = item.measured_length_mm("belt_plane");
    drive.longest_span_mm = item.length_mm("longest_span");
    drive.pump_contact = item.one_of("pump_contact", {"grooved_side", "back_side"});
    set_aside(item, {"description", "crank_pulley_diameter", "price", "lead_days"});
    item.done();
    job.drives.push_back(std::move(drive));
  }
  in.done();
}

void read_housings(Table in, Files& files, Job& job) {
  for (Table& item : in.tables("housings")) {
    Housing housing;
    housing.name = item.word("name");
    housing.obstacles = read_obstacles(item, "obstacles", files);
    housing.neck = read_neck(item.table("neck"));
    housing.flange = item.word("flange");
    housing.places = item.words("places");
    housing.clocks_deg = item.numbers("clocks_deg");
    set_aside(item, {"description", "price", "lead_days"});
    item.done();
    job.housings.push_back(std::move(housing));
  }
  in.done();
}

void read_intakes(Table in, Files& files, Job& job) {
  for (const Table& item : in.tables("intakes")) job.intakes.push_back(read_intake(item, files));
  in.done();
}

namespace {

MouldedShape read_moulded(Table in) {
  MouldedShape shape;
  shape.name = in.word("name");
  shape.straights_mm = in.lengths_mm("straights");
  shape.radii_mm = in.lengths_mm("radii");
  shape.angles_deg = in.numbers("angles_deg");
  if (in.has("turns_deg")) shape.turns_deg = in.numbers("turns_deg");
  in.set_aside("price");
  in.done();
  const std::size_t bends = shape.radii_mm.size();
  if (bends == 0 || shape.straights_mm.size() != bends + 1 || shape.angles_deg.size() != bends ||
      shape.turns_deg.size() + 1 != bends)
    in.refuse("", "a moulded shape whose lists do not go together");
  const auto above_nothing = [](double value) { return value > 0; };
  for (const std::vector<double>* list : {&shape.straights_mm, &shape.radii_mm, &shape.angles_deg})
    if (!std::all_of(list->begin(), list->end(), above_nothing))
      in.refuse("", "a moulded shape with a straight, radius or angle of nothing");
  return shape;
}

// Bends, straights and lengths of a moulded stock are those of its shapes.
void read_shapes(Table& item, Stock& stock) {
  for (const Table& shape : item.tables("shapes")) stock.shapes.push_back(read_moulded(shape));
  if (stock.shapes.empty()) item.refuse("shapes", "a moulded stock without shapes");
  std::set<std::string> names;
  for (const MouldedShape& shape : stock.shapes)
    if (!names.insert(shape.name).second) item.refuse("shapes", "two shapes of one name");
}

void read_bend_rules(Table& item, Stock& stock) {
  stock.radii_mm = item.lengths_mm("radii");
  if (item.has("angles_deg")) stock.angles_deg = item.numbers("angles_deg");
  if (item.has("lengths")) stock.lengths_mm = item.lengths_mm("lengths");
  stock.most_bend_deg = item.number("most_bend_deg");
  stock.straight_between_mm = item.length_mm("straight_between");
  stock.leg_mm = item.length_or("leg", 0);
  stock.cuff_mm = item.length_or("cuff", 0);
  stock.cuff_trim_mm = item.length_or("cuff_trim", 0);
  stock.coupler_outside_mm = item.length_or("coupler_outside", 0);
  stock.coupler_gap_mm = item.length_or("coupler_gap", 0);
  set_aside(item, {"corrugation_pitch"});
  if (stock.radii_mm.empty()) item.refuse("", "stock without size or radius");
}

}  // namespace

void read_stock(Table in, Job& job) {
  for (Table& item : in.tables("stock")) {
    Stock stock;
    stock.id = item.word("id");
    stock.make = item.one_of(
        "make", {"straight_hose", "elbows_and_straights", "corrugated_hose", "bent_tube", "moulded_shape"});
    stock.bore_mm = item.length_mm("bore");
    stock.outside_mm = item.length_mm("outside_diameter");
    if (stock.make == "moulded_shape")
      read_shapes(item, stock);
    else
      read_bend_rules(item, stock);
    set_aside(item, {"description", "wall", "bore_roughness_mm", "price", "provenance"});
    item.done();
    if (!(stock.outside_mm > 0)) item.refuse("", "stock without size or radius");
    job.stock.push_back(std::move(stock));
  }
  in.set_aside("reducers");  // no proved line holds one
  in.done();
}

void read_limits(Table in, Job& job) {
  for (Table& row : in.tables("mounts")) {
    const std::string kind = row.one_of("mounts", kMounts);
    if (!job.figures_of_mounts.emplace(kind, read_figures(row)).second)
      row.refuse("mounts", "a second row for the same mounts");
    row.set_aside("provenance");
    row.done();
  }
  for (Table& row : in.tables("gaps")) {
    const std::string runner = row.one_of("runner", {"hose", "clamp", "rigid_part"});
    const std::string hazard = row.word("hazard");
    const bool alike = row.yes_or("same_carrier", false);
    if (job.gaps.at(runner, hazard, alike)) row.refuse("", "a second row for the same gap");
    if (!row.has("same_carrier")) row.refuse("same_carrier", "is missing");
    job.gaps.set(runner, hazard, alike, row.length_mm("at_rest"), row.length_mm("after_motion"));
    set_aside(row, {"id", "provenance"});
    row.done();
  }
  in.done();
  if (!mounts_figures(job)) in.refuse("mounts", "no row for the mounts of the vehicle file");
}

std::optional<MountsFigures> mounts_figures(const Job& job) {
  if (job.own_figures) return job.own_figures;
  const auto found = job.figures_of_mounts.find(job.mounts);
  return found == job.figures_of_mounts.end() ? std::nullopt : std::optional(found->second);
}

void apply_shop_gaps(Table in, Job& job) {
  for (Table& gap : in.tables("gaps")) {
    const std::string runner = gap.one_of("runner", {"hose", "clamp", "rigid_part"});
    const std::string hazard = gap.word("hazard");
    const double least = gap.length_mm("gap");
    const bool both = !gap.has("same_carrier");
    const bool alike = gap.yes_or("same_carrier", false);
    set_aside(gap, {"by", "reason"});
    gap.done();
    if (!job.gaps.at(runner, hazard, false)) gap.refuse("hazard", "no row of the table is meant by it");
    if (both || alike) job.gaps.set_by_shop(runner, hazard, true, least);
    if (both || !alike) job.gaps.set_by_shop(runner, hazard, false, least);
  }
}

}  // namespace hosefit::recheck
