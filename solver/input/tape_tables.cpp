// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/table_parts.h"

/// The table of what a shop measures with tape and plumb line.
namespace hosefit {
namespace {

KeyRule reading_accuracy_key(std::string_view doc) {
  return {"accuracy", false,
          length_value({.above = 0, .at_most = 50, .reason = "a tape that far off says nothing"}), doc};
}
KeyRule end_key() {
  return {"to", true, name_value(), "A datum, or another of the points."};
}
KeyRule own_accuracy_key() {
  return reading_accuracy_key("How far off it may be, plus or minus; without it tape.accuracy holds.");
}

const MapRule& datum_table() {
  static const MapRule table{
      "a datum",
      "datum",
      {name_key("What the shop calls it: front bolt of the left rail."),
       {"at", true, coordinates_value(), "Where it is."},
       {"measured", false, find(obstacle_table(), "measured")->value,
        "How that was measured; without it the file's method holds."},
       {"accuracy", false, find(obstacle_table(), "accuracy")->value,
        "How far off it may be, plus or minus; it takes part in what is worked out."}}};
  return table;
}
const MapRule& tape_distance_table() {
  static const MapRule table{
      "a tape",
      "tape_distance",
      {end_key(),
       {"reads", true, size_up_to(20000, "nothing in a vehicle is farther off"), "Straight distance."},
       own_accuracy_key()}};
  return table;
}
const MapRule& plumb_drop_table() {
  static const MapRule table{
      "a plumb drop",
      "plumb_drop",
      {end_key(),
       {"reads", true,
        length_value({.at_least = -20000, .at_most = 20000, .reason = "nothing in a vehicle is farther off"}),
        "Height of the point above that end; negative when it is below."},
       own_accuracy_key()}};
  return table;
}
const MapRule& tape_point_table() {
  static const MapRule table{
      "a point by tape",
      "tape_point",
      {name_key("What {taped: NAME} calls it."),
       {"near", false, coordinates_value(),
        "A rough place, where the tapes leave two mirror images; chooses between them and nothing else."},
       {"tapes", false, list_of(map_of(tape_distance_table), 1, 12), "Distances from it."},
       {"drops", false, list_of(map_of(plumb_drop_table), 1, 4), "Heights by plumb line."}}};
  return table;
}

}  // namespace

const MapRule& tape_table() {
  static const MapRule table{
      "the tape sheet",
      "tape",
      {reading_accuracy_key("How far off a tape or a drop may be that says nothing else, plus or minus; 5 mm "
                            "when it is not given."),
       {"datums", true, list_of(map_of(datum_table), 1, 60), "Points whose coordinates are known."},
       {"points", true, list_of(map_of(tape_point_table), 1, 40), "Points to be worked out from them."}}};
  return table;
}

}  // namespace hosefit
