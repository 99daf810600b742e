// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/table_parts.h"

/// The tables of a tee.
namespace hosefit {
namespace {

ValueRule diameter() {
  return length_value({.above = 0, .at_most = 120, .reason = "coolant hoses are smaller"});
}
ValueRule straight() {
  return length_value({.at_least = 20, .at_most = 300, .reason = "a hose must be pushed on and clamped"});
}

const MapRule& tee_run_table() {
  static const MapRule table{
      "the run of a tee",
      "tee_run",
      {{"od", true, diameter(), "Outside diameter of its two tube ends, beside the bead."},
       {"bore", true, diameter(), "Inside diameter of the run."},
       {"straight", true, straight(), "Length of each tube end that hose can be pushed over."},
       {"bead", false, boolean_value(), "Whether its ends have beads; true when it is not given."}}};
  return table;
}

const MapRule& tee_body_table() {
  static const MapRule table{
      "the body of a tee",
      "tee_body",
      {{"length", true, length_value({.above = 0, .at_most = 300, .reason = "no such fitting is longer"}),
        "Along the run, between its two tube ends."},
       {"od", true, length_value({.above = 0, .at_most = 160, .reason = "no such fitting is thicker"}),
        "Greatest outside diameter about the run's axis."}}};
  return table;
}

const MapRule& tee_branch_table() {
  static const MapRule table{
      "the branch of a tee",
      "tee_branch",
      {{"od", true, diameter(), "Outside diameter of its tube end, beside the bead."},
       {"bore", true, diameter(), "Inside diameter."},
       {"straight", true, straight(), "Length of its tube end that hose can be pushed over."},
       {"off_axis", true, length_value({.above = 0, .at_most = 400, .reason = "no such fitting is larger"}),
        "From the run's axis to its open end."},
       {"bead", false, boolean_value(), "Whether its end has a bead; true when it is not given."}}};
  return table;
}

const MapRule& tee_place_table() {
  static const MapRule table{
      "the place of a tee",
      "tee_place",
      {{"from", true, name_value(), "The neck at one end of the line, from whose open end it is measured."},
       {"least", true, length_value({.at_least = 0, .at_most = 10000, .reason = "no line is longer"}),
        "Shortest way along the middle of the hose to the middle of the tee."},
       {"most", true, length_value({.above = 0, .at_most = 10000, .reason = "no line is longer"}),
        "Longest way there."}}};
  return table;
}

}  // namespace

const MapRule& tee_table() {
  static const MapRule table = [] {
    ValueRule place{ValueKind::either, "free or {from, least, most}", {}, {}, {}, 0, 0, nullptr, {}};
    place.forms = {choice_of({"free"}), map_of(tee_place_table)};
    ValueRule clock{ValueKind::either, "free or a list of degrees", {}, {}, {}, 0, 0, nullptr, {}};
    clock.forms = {choice_of({"free"}),
                   list_of(angle_value({.at_least = 0, .below = 360, .reason = "360 is 0 again"}), 1, 72)};
    return MapRule{
        "a tee",
        "tee",
        {{"name", true, name_value(), "What the shop calls it; one line starts or ends at this name."},
         {"on", true, name_value(), "The line it is put into; that line must not have to rise or fall."},
         {"run", true, map_of(tee_run_table), "Its two tube ends that the line is pushed over."},
         {"body", true, map_of(tee_body_table), "What is between them."},
         {"branch", true, map_of(tee_branch_table), "Its third tube end, square to the run, at its middle."},
         {"place", true, place, "Where along the line it may sit, on a straight of it; free: anywhere."},
         {"clock_deg", true, clock,
          "Which ways the branch may point, clockwise seen from the line's start: 0 is up, on a run steeper "
          "than 64 deg rearward; free: every 15 deg."}}};
  }();
  return table;
}

}  // namespace hosefit
