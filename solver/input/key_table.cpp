// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/key_table.h"

#include "solver/model/vehicle.h"

namespace hosefit {
namespace {

constexpr std::string_view kInAVehicle = "nothing in a vehicle is farther off";
constexpr double kFarthestInScan = 20000;
constexpr std::array kMethods{MeasuredBy::tape,    MeasuredBy::jig,     MeasuredBy::scan,
                              MeasuredBy::caliper, MeasuredBy::drawing, MeasuredBy::assumed};

ValueRule coordinate() {
  return length_value({.at_least = -20000, .at_most = 20000, .reason = kInAVehicle});
}
ValueRule three_coordinates() {
  ValueRule rule = list_of(coordinate(), 3, 3);
  rule.title = "a point [x, y, z]";
  return rule;
}
ValueRule size_value() {
  return length_value({.above = 0, .at_most = 20000, .reason = kInAVehicle});
}
KeyRule measured_key() {
  return {"measured", false, choice_of(words_of(kMethods)),
          "How it was measured; without it the file's method holds."};
}
KeyRule accuracy_key() {
  return {"accuracy", false,
          length_value({.above = 0, .at_most = 500, .reason = "a value that far off says nothing"}),
          "How far off it may be, plus or minus; without it the method's usual accuracy holds."};
}

const MapRule& point_by_name_table() {
  static const MapRule table{"a point",
                             "point_by_name",
                             {{"x", false, coordinate(), "Rearward."},
                              {"ahead_of_block", false, coordinate(),
                               "Forward of the block's front face, in place of x in engine parts."},
                              {"y", true, coordinate(), "To the right as seated."},
                              {"z", true, coordinate(), "Up."}},
                             {{"x", "ahead_of_block"}}};
  return table;
}
const MapRule& measured_point_table() {
  static const MapRule table{"a measured point",
                             "measured_point",
                             {{"at", true, point_value(), "Where it is."}, measured_key(), accuracy_key()}};
  return table;
}
const MapRule& taped_point_table() {
  static const MapRule table{
      "a taped point",
      "taped_point",
      {{"taped", true, name_value(), "Name of one of tape.points; of what stands on the chassis only."}}};
  return table;
}
const MapRule& measured_length_table() {
  static const MapRule table{"a measured length",
                             "measured_length",
                             {{"value", true, coordinate(), "The length."}, measured_key(), accuracy_key()}};
  return table;
}
const MapRule& box_by_corners_table() {
  static const MapRule table{"a box",
                             "box_by_corners",
                             {{"min", true, point_value(), "Corner with the least x, y and z."},
                              {"max", true, point_value(), "Corner with the greatest x, y and z."}}};
  return table;
}
const MapRule& box_by_centre_table() {
  static const MapRule table{
      "a box",
      "box_by_centre",
      {{"centre", true, point_value(), "Its centre."},
       {"size", true, list_of(size_value(), 3, 3), "Its sizes along its own x, y and z."},
       {"turn_deg", false,
        list_of(angle_value({.at_least = -360, .at_most = 360, .reason = "a full turn is enough"}), 3, 3),
        "Turned about the axis X, then Y, then Z of the frame, right-handed."}}};
  return table;
}
std::vector<KeyRule> rod_keys() {
  return {{"from", true, point_value(), "Centre of one end."},
          {"to", true, point_value(), "Centre of the other end."},
          {"radius", true, size_value(), "Radius."}};
}
const MapRule& cylinder_table() {
  static const MapRule table{"a cylinder", "cylinder", rod_keys()};
  return table;
}
const MapRule& capsule_table() {
  static const MapRule table{"a capsule", "capsule", rod_keys()};
  return table;
}
const MapRule& sphere_table() {
  static const MapRule table{
      "a sphere",
      "sphere",
      {{"centre", true, point_value(), "Centre."}, {"radius", true, size_value(), "Radius."}}};
  return table;
}
const MapRule& cone_table() {
  const auto radius = [] { return length_value({.at_least = 0, .at_most = 20000, .reason = kInAVehicle}); };
  static const MapRule table{"a cone",
                             "cone",
                             {{"from", true, point_value(), "Centre of one end."},
                              {"to", true, point_value(), "Centre of the other end."},
                              {"radius_from", true, radius(), "Radius at `from`; may be 0."},
                              {"radius_to", true, radius(), "Radius at `to`; may be 0."}}};
  return table;
}
const MapRule& extrusion_table() {
  static const MapRule table{
      "an extrusion",
      "extrusion",
      {{"origin", true, point_value(), "Zero point of the outline."},
       {"normal", true, direction_value(), "The way it is drawn out."},
       {"x_axis", true, direction_value(), "The outline's first axis, made square to the normal."},
       {"outline", true, list_of(list_of(coordinate(), 2, 2), 3, 500),
        "Corners, counter-clockwise seen against the normal, not crossing itself."},
       {"height", true, size_value(), "How far it is drawn out."}}};
  return table;
}
const MapRule& rail_table() {
  static const MapRule table{
      "a rail",
      "rail",
      {{"path", true, list_of(point_value(), 2, 500), "Its middle line; no bend of more than 60 degrees."},
       {"width", true, size_value(), "Size across, square to `up`."},
       {"height", true, size_value(), "Size along `up`."},
       {"up", false, direction_value(), "The side of `height`; [0, 0, 1] when it is not given."}}};
  return table;
}
const MapRule& spot_table() {
  static const MapRule table{
      "a spot",
      "spot",
      {{"name", true, name_value(), "What the shop calls it: top of the left strut."},
       {"in_scan", true,
        list_of(number_value({.at_least = -kFarthestInScan,
                              .at_most = kFarthestInScan,
                              .reason = "the numbers of a scan are no larger"}),
                3, 3),
        "Where it is in the scan's own numbers."},
       {"at", true, measured_point_value(), "Where it was measured, in the frame of the obstacle."}}};
  return table;
}
const MapRule& mesh_table() {
  static const MapRule table{
      "a mesh",
      "mesh",
      {{"file", true, text_value(), "STL, OBJ or PLY file in the folder of this file or below it."},
       {"unit", true, choice_of({"mm", "cm", "m", "in", "unknown"}),
        "Unit of its numbers; unknown: the scale is found from `align`."},
       {"closed", false, boolean_value(),
        "true: must be watertight, refused when it is not; false: a sheet. Without it the file decides."},
       {"seen_from", false, choice_of({"front", "back", "both"}),
        "The side an open surface was scanned from, front when it is not given: corners run "
        "counter-clockwise "
        "seen from there. What lies behind is not known. both: a thin sheet, known on either side."},
       {"align", false, list_of(map_of(spot_table), 3, 100),
        "Spots found in the scan and measured on the vehicle, which put it in its place; without it the "
        "file's "
        "numbers are places already."}},
      {},
      {},
      {{"unit", "unknown", "align"}}};
  return table;
}
const MapRule& own_gap_table() {
  static const MapRule table{
      "an own gap",
      "own_gap",
      {{"gap", true,
        length_value({.at_least = 0, .at_most = 500, .reason = "wider gaps are typing mistakes"}),
        "Least gap to this obstacle."},
       {"by", true, text_value(), "Who stands for it."},
       {"reason", true, text_value(), "Why."}}};
  return table;
}
std::vector<KeyRule> obstacle_keys() {
  std::vector<std::string_view> hazards = words_of(kHazards);
  hazards.pop_back();  // another_hose is never an obstacle of a file
  return {{"name", true, name_value(), "What the shop calls it."},
          {"hazard", true, choice_of(hazards), "Why a hose must keep clear of it."},
          {"shape", true, map_of(shape_table), "Where it is."},
          measured_key(),
          accuracy_key(),
          {"own_gap", false, map_of(own_gap_table), "A gap of its own in place of the table's."}};
}

}  // namespace

const KeyRule* find(const MapRule& rule, std::string_view key) {
  for (const KeyRule& k : rule.keys)
    if (k.key == key) return &k;
  return nullptr;
}

std::string_view word(FileKind kind) {
  switch (kind) {
    case FileKind::vehicle:
      return "vehicle";
    case FileKind::engine:
      return "engine";
    case FileKind::pumps:
      return "pumps";
    case FileKind::drives:
      return "drives";
    case FileKind::housings:
      return "housings";
    case FileKind::intakes:
      return "intakes";
    case FileKind::stock:
      return "stock";
    case FileKind::clamps:
      return "clamps";
    case FileKind::limits:
      return "limits";
  }
  return "";
}

ValueRule text_value() {
  return {ValueKind::text, "text", {}, {}, {}, 0, 0, nullptr, {}};
}
ValueRule name_value() {
  return {ValueKind::name, "a name", {}, {}, {}, 0, 0, nullptr, {}};
}
ValueRule boolean_value() {
  return {ValueKind::boolean, "true or false", {}, {}, {}, 0, 0, nullptr, {}};
}
ValueRule direction_value() {
  return {ValueKind::direction, "a direction [x, y, z]", {}, {}, {}, 0, 0, nullptr, {}};
}
ValueRule length_value(Range range) {
  return {ValueKind::length, "a length", range, {}, {}, 0, 0, nullptr, {}};
}
ValueRule angle_value(Range range) {
  return {ValueKind::angle, "an angle in degrees", range, {}, {}, 0, 0, nullptr, {}};
}
ValueRule number_value(Range range) {
  return {ValueKind::number, "a number", range, {}, {}, 0, 0, nullptr, {}};
}
ValueRule integer_value(Range range) {
  return {ValueKind::integer, "a whole number", range, {}, {}, 0, 0, nullptr, {}};
}
ValueRule choice_of(std::vector<std::string_view> words) {
  return {ValueKind::choice, "one of", {}, std::move(words), {}, 0, 0, nullptr, {}};
}
ValueRule list_of(ValueRule item, std::size_t least, std::size_t most) {
  return {ValueKind::list, "a list", {}, {}, {std::move(item)}, least, most, nullptr, {}};
}
ValueRule map_of(MapTable map) {
  return {ValueKind::mapping, "a mapping", {}, {}, {}, 0, 0, map, {}};
}
ValueRule coordinates_value() {
  ValueRule rule{ValueKind::either, "a point [x, y, z]", {}, {}, {}, 0, 0, nullptr, {}};
  rule.forms = {three_coordinates(), map_of(point_by_name_table)};
  return rule;
}
ValueRule point_value() {
  ValueRule rule = coordinates_value();
  rule.forms.push_back(map_of(taped_point_table));
  return rule;
}
ValueRule measured_point_value() {
  ValueRule rule = coordinates_value();
  rule.title = "a point [x, y, z] or {at, measured, accuracy}";
  rule.forms.push_back(map_of(measured_point_table));
  rule.forms.push_back(map_of(taped_point_table));
  return rule;
}
ValueRule measured_length_value() {
  return {ValueKind::either, "a length or {value, measured, accuracy}",    {}, {}, {}, 0, 0,
          nullptr,           {coordinate(), map_of(measured_length_table)}};
}

const MapRule& shape_table() {
  static const MapRule table = [] {
    const ValueRule box{ValueKind::either,
                        "a box {min, max} or {centre, size, turn_deg}",
                        {},
                        {},
                        {},
                        0,
                        0,
                        nullptr,
                        {map_of(box_by_corners_table), map_of(box_by_centre_table)}};
    return MapRule{"a shape",
                   "shape",
                   {{"box", false, box, "A block, along the axes or turned."},
                    {"cylinder", false, map_of(cylinder_table), "A rod with flat ends."},
                    {"capsule", false, map_of(capsule_table), "A rod with round ends."},
                    {"sphere", false, map_of(sphere_table), "A ball."},
                    {"cone", false, map_of(cone_table), "A cone with its tip cut off."},
                    {"extrusion", false, map_of(extrusion_table), "An outline drawn out."},
                    {"rail", false, map_of(rail_table), "A rectangle drawn along a path."},
                    {"mesh", false, map_of(mesh_table), "Triangles from a file."}},
                   {{"box", "cylinder", "capsule", "sphere", "cone", "extrusion", "rail", "mesh"}}};
  }();
  return table;
}

const MapRule& known_space_table() {
  static const MapRule table{
      "a known space",
      "known_space",
      {{"box", true, find(shape_table(), "box")->value, "All obstacles in this box are recorded."},
       {"looked_behind", false, boolean_value(),
        "true: behind open scans and past their edges too, because somebody looked; false when it is not "
        "given."}}};
  return table;
}

const MapRule& obstacle_table() {
  static const MapRule table{"an obstacle", "obstacle", obstacle_keys()};
  return table;
}

const MapRule& intake_obstacle_table() {
  static const MapRule table = [] {
    MapRule rule{"an obstacle of an intake", "intake_obstacle", obstacle_keys()};
    rule.keys.push_back(
        {"part", true, choice_of({"base", "stretch", "top"}),
         "base stays, top moves with the height, stretch (an upright box) grows between them."});
    return rule;
  }();
  return table;
}

const MapRule& neck_table() {
  const auto diameter = [](std::string_view why) {
    return length_value({.above = 0, .at_most = 120, .reason = why});
  };
  static const MapRule table{
      "a neck",
      "neck",
      {{"name", true, name_value(), "Full name as lines use it: radiator.top, pump.outlet."},
       {"at", true, measured_point_value(), "Centre of its open end."},
       {"outward", true, direction_value(), "The way out of its opening."},
       {"od", true, diameter("coolant hoses are smaller"),
        "Outside diameter of the spigot, beside the bead."},
       {"bore", true, diameter("coolant hoses are smaller"), "Inside diameter of the spigot."},
       {"straight", true,
        length_value({.at_least = 5, .at_most = 300, .reason = "a hose must be pushed on and clamped"}),
        "Length of spigot that hose can be pushed over."},
       {"bead", false, boolean_value(), "Whether the spigot has a bead; true when it is not given."},
       {"on", false, list_of(name_value(), 0, 50), "Obstacles of the same part that it grows out of."},
       measured_key(),
       accuracy_key()}};
  return table;
}

const MapRule& provenance_table() {
  static const MapRule table{
      "a provenance",
      "provenance",
      {{"source", true,
        choice_of({"standard", "handbook", "derived", "common_practice", "from_memory", "shop"}),
        "What kind of source."},
       {"title", false, text_value(), "A title that a reader can find."},
       {"by", false, text_value(), "Who stands for it."},
       {"reason", false, text_value(), "Why."}},
      {},
      {},
      {{"source", "standard", "title"}, {"source", "shop", "by"}, {"source", "shop", "reason"}}};
  return table;
}

const MapRule& resistance_table() {
  static const MapRule table{
      "a resistance",
      "resistance",
      {{"a", true, number_value({.at_least = 0, .at_most = 1e12, .reason = "nothing would flow"}),
        "Pressure drop per flow, Pa/(m3/s)."},
       {"b", true, number_value({.at_least = 0, .at_most = 1e15, .reason = "nothing would flow"}),
        "Pressure drop per flow squared, Pa/(m3/s)2."},
       {"provenance", true, map_of(provenance_table), "Where the figures come from."}}};
  return table;
}

std::vector<KeyRule> with_file_head(FileKind kind, std::vector<KeyRule> own) {
  std::vector<KeyRule> keys{
      {"hosefit", true, choice_of({word(kind)}), "What kind of file this is."},
      {"format", true, integer_value({.at_least = 1, .at_most = 1, .reason = "the only format so far"}),
       "Version of the file format."},
      {"units", false, choice_of({"mm", "in"}), "Unit of lengths that carry none; mm when it is not given."},
      {"measured", false, choice_of(words_of(kMethods)),
       "How what this file holds was measured where it does not say so; assumed when it is not given."}};
  for (KeyRule& key : own) keys.push_back(std::move(key));
  return keys;
}

}  // namespace hosefit
