// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/key_table.h"

/// The tables of a neck that may be ordered elsewhere.
namespace hosefit {
namespace {

constexpr std::string_view kFromHere = "0 is where it is written, and no tank is wider";

const MapRule& neck_slide_table() {
  static const MapRule table{
      "a slide of a neck",
      "neck_slide",
      {{"along", true, direction_value(), "Which way."},
       {"from", true, length_value({.at_least = -1000, .at_most = 0, .reason = kFromHere}),
        "Farthest against that way; 0 or less."},
       {"to", true, length_value({.at_least = 0, .at_most = 1000, .reason = kFromHere}),
        "Farthest that way; 0 or more."},
       {"step", true,
        length_value({.at_least = 1, .at_most = 1000, .reason = "a radiator is built to the mm"}),
        "The neck may sit at every whole multiple of it, counted from where it is written."}}};
  return table;
}

const MapRule& neck_turn_table() {
  static const MapRule table{
      "a turn of a neck",
      "neck_turn",
      {{"about", true, coordinates_value(), "A point of the axis."},
       {"axis", true, direction_value(), "Direction of the axis; turns are right-handed about it."},
       {"by_deg", true,
        list_of(angle_value({.at_least = -180, .at_most = 180, .reason = "that is half a turn already"}), 1,
                72),
        "The turns that can be ordered; 0 always can."}}};
  return table;
}

const MapRule& neck_choice_table() {
  static const MapRule table{
      "a neck's choice of places",
      "neck_choice",
      {{"with", false, list_of(name_value(), 0, 50),
        "Obstacles of the chassis that go along with the neck, as its root; each with one neck only."},
       {"slide", false, list_of(map_of(neck_slide_table), 1, 2), "Ways it can be moved."},
       {"turn", false, map_of(neck_turn_table), "How it can be turned, before it is moved."}}};
  return table;
}

}  // namespace

const MapRule& chassis_neck_table() {
  static const MapRule table = [] {
    MapRule rule = neck_table();
    rule.id = "chassis_neck";
    rule.keys.push_back({"choose", false, map_of(neck_choice_table),
                         "Where else it can be ordered; its place is then chosen with the lines."});
    return rule;
  }();
  return table;
}

}  // namespace hosefit
