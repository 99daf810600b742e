// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/table_parts.h"

/// The tables of the files that describe vehicle and engine family.
namespace hosefit {
namespace {

constexpr std::array kGrades{Grade::rise, Grade::fall, Grade::one_way, Grade::free};

ValueRule obstacles() {
  return list_of(map_of(obstacle_table), 0, 2000);
}
ValueRule necks() {
  return list_of(map_of(neck_table), 0, 200);
}
ValueRule chassis_necks() {
  return list_of(map_of(chassis_neck_table), 0, 200);
}
ValueRule rotation() {
  return choice_of(words_of(std::array{Rotation::clockwise, Rotation::counterclockwise}));
}
ValueRule seat_place() {
  return choice_of(words_of(std::array{SeatPlace::outlet, SeatPlace::inlet}));
}
ValueRule makes() {
  return list_of(choice_of(words_of(kMakes)), 1, kMakes.size());
}
ValueRule celsius() {
  return number_value({.at_least = -60, .at_most = 200, .reason = "coolant is neither ice nor steam there"});
}
void add_trade_keys(std::vector<KeyRule>& keys) {
  keys.push_back({"price", false, number_value({.at_least = 0, .at_most = 1e7, .reason = "parts cost less"}),
                  "In the shop's money."});
  keys.push_back({"lead_days", false,
                  integer_value({.at_least = 0, .at_most = 1000, .reason = "nobody waits longer"}),
                  "Days until it is here."});
}

const MapRule& shop_motion_table() {
  static const MapRule table = [] {
    MapRule made{"the engine's motion", "shop_motion", motion_keys()};
    made.keys.push_back({"by", true, text_value(), "Who stands for it."});
    made.keys.push_back({"reason", true, text_value(), "Why."});
    return made;
  }();
  return table;
}
const MapRule& engine_place_table() {
  static const MapRule table{
      "the engine's place",
      "engine_place",
      {{"family", true, name_value(), "Folder of the engine family."},
       {"at", true, measured_point_value(), "Crank centreline at the block's front face."},
       {"tilt_deg", false,
        angle_value(
            {.at_least = -15, .at_most = 15, .reason = "engines are set within a few degrees of level"}),
        "Front of the engine up; 0 when it is not given."},
       {"mounts", true, choice_of(words_of(std::array{Mounts::rubber, Mounts::firm, Mounts::solid})),
        "What the engine stands on."},
       {"motion", false, map_of(shop_motion_table),
        "How far it was measured to go, in place of the mounts' figures."}}};
  return table;
}
const MapRule& radiator_table() {
  static const MapRule table{
      "the radiator",
      "radiator",
      {{"core", true, map_of(shape_table), "Its core; becomes the obstacle \"radiator core\"."},
       {"tanks", false, obstacles(), "Its tanks and what else belongs to it."},
       {"necks", true, chassis_necks(), "Its necks."},
       {"measured", false, find(obstacle_table(), "measured")->value, "How the core was measured."},
       {"accuracy", false, find(obstacle_table(), "accuracy")->value, "How far off the core may be."}}};
  return table;
}
const MapRule& fan_table() {
  static const MapRule table{"the fan",
                             "fan",
                             {{"carrier", true, choice_of({"chassis", "engine"}),
                               "What it is bolted to; on the engine its obstacles are in the engine frame."},
                              {"obstacles", true, obstacles(), "Blades, motor, shroud."}}};
  return table;
}
const MapRule& line_table() {
  static const MapRule table{
      "a line",
      "line",
      {name_key("What the shop calls it: upper, lower."),
       {"from", true, name_value(), "Neck or tee where the coolant enters it."},
       {"to", true, name_value(), "Neck or tee where the coolant leaves it."},
       {"duty", true, choice_of(words_of(kDuties)), "What it carries."},
       {"grade", false, choice_of(words_of(kGrades)),
        "How its height may change on the way; free when it is not given."},
       {"makes", false, makes(), "Ways to make it, best first, in place of the file's."},
       {"stock", false, name_value(), "The stock it must be made of."},
       {"reason", false, text_value(), "Why this stock; shown wherever the line is."}},
      {},
      {},
      {{"stock", "", "reason"}, {"reason", "", "stock"}}};
  return table;
}
const MapRule& shop_gap_table() {
  static const MapRule table{
      "a gap set by the shop",
      "shop_gap",
      {{"runner", true, choice_of(words_of(kRunners)), "What runs past."},
       {"hazard", true, choice_of(words_of(kHazards)), "What it runs past."},
       {"same_carrier", false, boolean_value(),
        "Only when both are on the engine or both on the chassis (true) or not (false)."},
       {"gap", true, gap_value(), "Least gap at rest."},
       {"by", true, text_value(), "Who stands for it."},
       {"reason", true, text_value(), "Why."}}};
  return table;
}
const MapRule& coolant_table() {
  const auto share = [] {
    return number_value({.at_least = 0, .at_most = 0.7, .reason = "more glycol than that is not used"});
  };
  const auto per_kelvin = [] {
    return number_value({.above = 0, .at_most = 1e5, .reason = "no vehicle radiator is larger"});
  };
  static const MapRule table{
      "the coolant side",
      "coolant",
      {{"fluid", true, choice_of({"water", "ethylene_glycol", "propylene_glycol"}),
        "What is mixed into the water."},
       {"volume_share", false, share(), "Share of glycol by volume, 0 to 1."},
       {"mass_share", false, share(), "Share of glycol by mass, 0 to 1."},
       {"cap_kpa", false, number_value({.at_least = 0, .at_most = 250, .reason = "caps are weaker"}),
        "Gauge pressure of the cap; 103 when it is not given."},
       {"altitude_m", false, number_value({.at_least = -500, .at_most = 6000, .reason = "no road is higher"}),
        "Above the sea; 0 when it is not given."},
       {"radiator", true, map_of(resistance_table), "Of the radiator's core."},
       {"heater", false, map_of(resistance_table), "Of the heater's core; needed with heater lines."},
       {"radiator_ua_w_per_k", true, per_kelvin(), "Heat the radiator passes per kelvin."},
       {"air_capacity_w_per_k", true, per_kelvin(), "Heat the air through it takes per kelvin."},
       {"air_c", false, number_value({.at_least = -40, .at_most = 60, .reason = "weather"}),
        "Air in front of it; 35 when it is not given."}},
      {},
      {{"volume_share", "mass_share"}}};
  return table;
}
const MapRule& working_point_table() {
  static const MapRule table{
      "a working point",
      "working_point",
      {name_key("idle, cruise, high speed."),
       {"crank_rpm", true,
        number_value({.above = 0, .at_most = 12000, .reason = "no such engine turns faster"}),
        "Speed of the crank."},
       {"heat_kw", true, number_value({.above = 0, .at_most = 500, .reason = "no such engine heats more"}),
        "Heat into the coolant."}}};
  return table;
}
const MapRule& owned_hose_table() {
  static const MapRule table{
      "a piece of hose in hand",
      "owned_hose",
      {{"stock", true, name_value(), "Id of the stock it is, as in the stock file."},
       {"length", true, size_up_to(5000, "no hose in a bay is longer"),
        "End to end; of an elbow the shorter leg, from the intersection point of its legs to its end."},
       {"angle_deg", false,
        angle_value(
            {.above = 0, .at_most = 180, .reason = "a bend turns by more than 0 and at most 180 deg"}),
        "Of an elbow: by how much it turns the flow; 90 is an L."}}};
  return table;
}
const MapRule& in_hand_table() {
  static const MapRule table{"the parts in hand",
                             "in_hand",
                             {{"pump", false, name_value(), "Fitted pump."},
                              {"drive", false, name_value(), "Fitted drive."},
                              {"housing", false, name_value(), "Fitted housing."},
                              {"intake", false, name_value(), "Fitted intake."},
                              {"owned", false, list_of(name_value(), 0, 200), "Parts on the shelf."},
                              {"hoses", false, list_of(map_of(owned_hose_table), 0, 40),
                               "Pieces of hose fitted or on the shelf that may be used again."}}};
  return table;
}
const MapRule& question_table() {
  static const MapRule table{"the question",
                             "question",
                             {{"intake", true, name_value(), "Which intake."},
                              {"height", true, size_up_to(1500, "no bonnet is that high"),
                               "Height of its reference plane above the crank centreline."}}};
  return table;
}
const MapRule& vehicle_file() {
  static const MapRule table{
      "a vehicle file", "vehicle",
      with_file_head(
          FileKind::vehicle,
          {name_key("The vehicle as the shop calls it."),
           description_key(),
           {"shown_in", false, choice_of({"mm", "in"}),
            "Unit of what is printed; that of the file when it is not given."},
           {"tape", false, map_of(tape_table),
            "Points measured with tape and plumb line; anywhere on the chassis {taped: NAME} stands for "
            "one."},
           {"engine", true, map_of(engine_place_table), "Which engine and where."},
           {"radiator", true, map_of(radiator_table), "The radiator."},
           {"necks", false, chassis_necks(), "Other necks on the chassis."},
           {"hood", false, obstacles(), "The underside of the closed hood."},
           {"fan", false, map_of(fan_table), "The fan."},
           {"on_engine", false, obstacles(), "What the vehicle adds to the engine, in the engine frame."},
           {"obstacles", true, obstacles(), "What is on the chassis."},
           {"known_space", false, list_of(map_of(known_space_table), 0, 100),
            "Where all obstacles are recorded."},
           {"lines", true, list_of(map_of(line_table), 1, 20), "The hoses wanted."},
           {"tees", false, list_of(map_of(tee_table), 0, 1),
            "Fittings put into a line for another line to start or end at; one at most so far."},
           {"makes", true, makes(), "Ways to make a line, best first."},
           {"gaps", false, list_of(map_of(shop_gap_table), 0, 84), "Gaps set by the shop."},
           {"coolant", true, map_of(coolant_table), "The coolant side."},
           {"working_points", true, list_of(map_of(working_point_table), 1, 20),
            "Where flow and temperature are worked out."},
           {"in_hand", false, map_of(in_hand_table), "What is fitted or on the shelf."},
           {"question", true, map_of(question_table), "What is asked."}})};
  return table;
}

const MapRule& thermostat_table() {
  static const MapRule table{
      "a thermostat",
      "thermostat",
      {{"r_open", true, number_value({.at_least = 0, .at_most = 1e15, .reason = "nothing would flow"}),
        "Resistance when open, Pa/(m3/s)2."},
       {"starts_c", true, celsius(), "Begins to open."},
       {"full_c", true, celsius(), "Fully open."}}};
  return table;
}
const MapRule& engine_file() {
  static const MapRule table{
      "an engine file", "engine",
      with_file_head(FileKind::engine,
                     {name_key("The engine as the shop calls it."),
                      description_key(),
                      {"crank_rotation", true, rotation(), "Seen facing the front of the engine."},
                      {"obstacles", true, obstacles(), "Block, heads, covers."},
                      {"necks", false, necks(), "Its own necks: engine.vent."},
                      {"jacket", true, map_of(resistance_table), "Of block and heads."},
                      {"bypass", true, map_of(resistance_table), "Of the bypass."},
                      {"thermostat", true, map_of(thermostat_table), "The thermostat."}})};
  return table;
}

const MapRule& seat_table() {
  static const MapRule table{"a seat",
                             "seat",
                             {{"place", true, seat_place(), "Which port of the pump it is."},
                              {"flange", true, name_value(), "Bolt pattern."},
                              {"at", true, point_value(), "On the flange face, middle of the port."},
                              {"outward", true, direction_value(), "Out of the port."},
                              {"clock_zero", true, direction_value(),
                               "Where a housing at clock 0 points; made square to outward."}}};
  return table;
}
const MapRule& curve_table() {
  static const MapRule table{
      "a pump curve",
      "pump_curve",
      {{"at_rpm", true, number_value({.above = 0, .at_most = 20000, .reason = "pumps turn slower"}),
        "Speed of the pump's shaft it holds for."},
       {"a0_pa", true, number_value({.above = 0, .at_most = 1e6, .reason = "no such pump presses harder"}),
        "Rise without flow, Pa."},
       {"a1", true, number_value({.at_least = -1e10, .at_most = 1e10, .reason = "no such pump"}),
        "Rise per flow, Pa/(m3/s)."},
       {"a2", true,
        number_value({.at_least = -1e13, .at_most = 0, .reason = "the rise must fall with the flow"}),
        "Rise per flow squared, Pa/(m3/s)2."},
       {"band", false,
        number_value({.above = 0, .at_most = 1, .reason = "a band of more than the whole says nothing"}),
        "Relative half-width of the rise; 0.2 when it is not given."},
       {"provenance", true, map_of(provenance_table), "Where the curve comes from."}}};
  return table;
}
const MapRule& pump_table() {
  static const MapRule table = [] {
    MapRule rule{
        "a pump",
        "pump",
        {name_key("The pump as the shop calls it."),
         description_key(),
         {"obstacles", true, obstacles(), "Casting, snout, pulley."},
         {"necks", true, necks(), "pump.inlet or pump.outlet, the one that is not the seat; heater ports."},
         {"seat", true, map_of(seat_table), "Where the housing bolts to."},
         {"rotation", true, rotation(), "Of its shaft, seen facing the front of the engine."},
         {"pulley_plane", true, measured_length_value(),
          "Belt plane ahead of the block's front face, forward positive."},
         {"pulley_diameter", true, size_up_to(400, "no pump pulley is larger"), "Pitch diameter."},
         {"depth", true, size_up_to(600, "no pump is longer"),
          "Foremost point ahead of the block's front face."},
         {"curve", true, map_of(curve_table), "Pressure rise over flow."}}};
    add_trade_keys(rule.keys);
    return rule;
  }();
  return table;
}
const MapRule& drive_table() {
  static const MapRule table = [] {
    MapRule rule{
        "a drive",
        "drive",
        {name_key("The drive as the shop calls it."),
         description_key(),
         {"obstacles", true, obstacles(), "Damper, brackets, accessories, belt."},
         {"belt_plane", true, measured_length_value(), "Ahead of the block's front face, forward positive."},
         {"crank_pulley_diameter", true, size_up_to(400, "no crank pulley is larger"), "Pitch diameter."},
         {"pump_contact", true,
          choice_of(words_of(std::array{BeltContact::grooved_side, BeltContact::back_side})),
          "Which side of the belt runs on the pump's pulley."},
         {"longest_span", true, size_up_to(1500, "no belt span is longer"),
          "Of the belt at the pump's pulley."}}};
    add_trade_keys(rule.keys);
    return rule;
  }();
  return table;
}
const MapRule& housing_table() {
  static const MapRule table = [] {
    MapRule rule{
        "a housing",
        "housing",
        {name_key("The housing as the shop calls it."),
         description_key(),
         {"obstacles", true, obstacles(), "In the frame of the seat, at clock 0."},
         {"neck", true, map_of(neck_table), "Its neck, named housing."},
         {"flange", true, name_value(), "Bolt pattern."},
         {"places", true, list_of(seat_place(), 1, 2), "Where it may be used."},
         {"clocks_deg", true,
          list_of(angle_value({.at_least = -360, .at_most = 360, .reason = "a full turn is enough"}), 1, 72),
          "Turns about the seat it can be fixed at."}}};
    add_trade_keys(rule.keys);
    return rule;
  }();
  return table;
}
const MapRule& intake_table() {
  static const MapRule table = [] {
    const auto height = [] { return size_up_to(1500, "no bonnet is that high"); };
    MapRule rule{
        "an intake",
        "intake",
        {name_key("The intake as the shop calls it."),
         description_key(),
         {"drawn_height", true, height(), "Height at which the obstacles stand as written."},
         {"least_height", true, height(), "Lowest it can be built."},
         {"most_height", true, height(), "Highest it can be built."},
         {"obstacles", true, list_of(map_of(intake_obstacle_table), 1, 2000), "Base, stretch and top."}}};
    add_trade_keys(rule.keys);
    return rule;
  }();
  return table;
}
}  // namespace

const MapRule& file_table(FileKind kind) {
  static const MapRule pumps = list_file(FileKind::pumps, "a pumps file", pump_table, "pumps", 200);
  static const MapRule drives = list_file(FileKind::drives, "a drives file", drive_table, "drives", 200);
  static const MapRule housings =
      list_file(FileKind::housings, "a housings file", housing_table, "housings", 200);
  static const MapRule intakes =
      list_file(FileKind::intakes, "an intakes file", intake_table, "intakes", 200);
  switch (kind) {
    case FileKind::vehicle:
      return vehicle_file();
    case FileKind::engine:
      return engine_file();
    case FileKind::pumps:
      return pumps;
    case FileKind::drives:
      return drives;
    case FileKind::housings:
      return housings;
    case FileKind::intakes:
      return intakes;
    case FileKind::stock:
      return stock_file();
    case FileKind::clamps:
      return clamps_file();
    case FileKind::limits:
      return limits_file();
  }
  return vehicle_file();
}

}  // namespace hosefit
