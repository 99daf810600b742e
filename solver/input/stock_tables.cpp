// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/table_parts.h"

/// The tables of what is on sale and of limits.
namespace hosefit {
namespace {

constexpr std::size_t kMostMouldedBends = 8;  // the search looks at no more (route/shape_chain.h)
constexpr std::size_t kMostMouldedShapes = 20000;

const MapRule& moulded_shape_table() {
  static const MapRule table{
      "a moulded shape",
      "moulded_shape",
      {name_key("Its name among the shapes of this stock."),
       {"straights", true, list_of(size_up_to(2000, "no hose is moulded so long"), 2, kMostMouldedBends + 1),
        "Straights from the end marked A to the other: one more than bends."},
       {"radii", true, list_of(size_up_to(1000, "that is straight"), 1, kMostMouldedBends),
        "Of the centreline, one for each bend."},
       {"angles_deg", true,
        list_of(angle_value({.at_least = 10,
                             .at_most = 165,
                             .reason = "less is what hose gives of itself, more is told as two bends"}),
                1, kMostMouldedBends),
        "By how much each bend turns."},
       {"turns_deg", false,
        list_of(angle_value({.at_least = -180, .at_most = 180, .reason = "half a turn reaches everywhere"}),
                0, kMostMouldedBends - 1),
        "Of each bend's plane against that of the bend before, right-handed about the straight between, seen "
        "from A: one less than bends."},
       {"price", false, number_value({.at_least = 0, .at_most = 1e6, .reason = "hose costs less"}),
        "Of a piece, in the shop's money; that of the stock when it is not given."}}};
  return table;
}

// What a bend may be is said by the stock, or for a moulded one by each shape.
std::vector<NeededWith> needed_by_make() {
  std::vector<NeededWith> needed;
  for (const Make make : kMakes) {
    if (make == Make::moulded_shape) continue;
    for (const std::string_view key : {"radii", "most_bend_deg", "straight_between"})
      needed.push_back({"make", word(make), key});
  }
  needed.push_back({"make", word(Make::moulded_shape), "shapes"});
  return needed;
}

const MapRule& stock_item_table() {
  static const MapRule table{
      "a stock item",
      "stock_item",
      {{"id", true, name_value(), "Its name in this and other files."},
       {"make", true, choice_of(words_of(kMakes)), "Which make it is for."},
       description_key(),
       {"bore", true, size_up_to(120, "coolant hoses are smaller"),
        "Nominal inside diameter; for tube that of its coupler."},
       {"outside_diameter", true, size_up_to(150, "coolant hoses are smaller"),
        "Of the hose; for tube of the bare tube."},
       {"wall", true, size_up_to(30, "no wall is thicker"), "Wall thickness."},
       {"radii", false, list_of(size_up_to(5000, "that is straight"), 1, 50),
        "Tube: the bender's dies, ascending. Moulded: none. Others: the least radius of the centreline."},
       {"angles_deg", false,
        list_of(angle_value({.above = 0, .at_most = 180, .reason = "a bend turns back at most"}), 0, 50),
        "Elbows: the angles on sale, ascending."},
       {"most_bend_deg", false,
        angle_value({.above = 0, .at_most = 180, .reason = "a bend turns back at most"}),
        "Largest angle of one bend. Moulded: none."},
       {"straight_between", false, size_or_none_up_to(1000, "no bender asks for more"),
        "Least straight between two bends. Moulded: none."},
       {"leg", false, size_or_none_up_to(2000, "elbows are shorter"),
        "Elbows: leg as sold, from the corner to the end."},
       {"cuff", false, size_or_none_up_to(500, "cuffs are shorter"),
        "Corrugated: plain end. Tube: length inside a coupler."},
       {"coupler_outside", false, size_up_to(150, "couplers are smaller"),
        "Tube: outside diameter of the coupler."},
       {"coupler_gap", false, size_or_none_up_to(200, "couplers are shorter"),
        "Tube: free hose between neck and tube."},
       {"lengths", false, list_of(size_up_to(20000, "no stick is longer"), 0, 100),
        "Lengths on sale, ascending."},
       {"cuff_trim", false, size_or_none_up_to(500, "cuffs are shorter"),
        "Corrugated: what may be cut off each cuff."},
       {"bore_roughness_mm", false,
        number_value({.at_least = 0, .at_most = 5, .reason = "that is not a bore"}),
        "Roughness of the bore; 0.01 when it is not given."},
       {"corrugation_pitch", false, size_or_none_up_to(50, "corrugations are closer"),
        "Of a corrugated bore; smooth when it is not given."},
       {"price", false, number_value({.at_least = 0, .at_most = 1e6, .reason = "hose costs less"}),
        "Per piece or metre, in the shop's money."},
       {"shapes", false, list_of(map_of(moulded_shape_table), 1, kMostMouldedShapes),
        "Moulded: the shapes on sale."},
       {"provenance", true, map_of(provenance_table), "Where the bend data come from."}},
      {},
      {},
      needed_by_make()};
  return table;
}
const MapRule& gap_row_table() {
  static const MapRule table{
      "a gap",
      "gap",
      {{"id", true, name_value(), "Its name in reports."},
       {"runner", true, choice_of(words_of(kRunners)), "What runs past."},
       {"hazard", true, choice_of(words_of(kHazards)), "What it runs past."},
       {"same_carrier", true, boolean_value(), "Whether both are on the engine or both on the chassis."},
       {"at_rest", true, gap_value(), "Least gap as installed."},
       {"after_motion", true, gap_value(), "Least gap when the engine has moved."},
       {"provenance", true, map_of(provenance_table), "Where it comes from."}}};
  return table;
}

const MapRule& mounts_table() {
  static const MapRule table = [] {
    MapRule made{"a kind of mount", "mounts", motion_keys()};
    made.keys.insert(
        made.keys.begin(),
        {"mounts", true, choice_of(words_of(std::array{Mounts::rubber, Mounts::firm, Mounts::solid})),
         "Which."});
    made.keys.push_back({"provenance", true, map_of(provenance_table), "Where it comes from."});
    return made;
  }();
  return table;
}

const MapRule& reducer_table() {
  static const MapRule table{
      "a reducer",
      "reducer",
      {id_key(),
       {"kind", true, choice_of(words_of(kReducerKinds)),
        "stepped_joiner: beaded tube with two outside diameters. reducing_hose: hose with two bores."},
       description_key(),
       {"wide", true, size_up_to(120, "coolant hoses are smaller"),
        "Larger end: outside of a joiner, bore of a hose."},
       {"narrow", true, size_up_to(120, "coolant hoses are smaller"),
        "Smaller end: outside of a joiner, bore of a hose."},
       {"length", true, size_up_to(1000, "reducers are shorter"), "End to end."},
       {"price", false, number_value({.at_least = 0, .at_most = 1e6, .reason = "reducers cost less"}),
        "Per piece, in the shop's money."},
       {"provenance", true, map_of(provenance_table), "Where its sizes come from."}}};
  return table;
}

const MapRule& clamp_table() {
  const auto torque = [](std::string_view key, bool required, std::string_view doc) {
    return KeyRule{key, required,
                   number_value({.above = 0, .at_most = 50, .reason = "a hose clamp's screw bears less"}),
                   doc};
  };
  static const MapRule table{
      "a clamp size",
      "clamp",
      {id_key(),
       {"kind", true, choice_of(words_of(kClampKinds)),
        "worm_drive: slotted band. narrow_worm_drive: narrow plain band. lined_spring: for silicone."},
       {"standard", true, text_value(), "The open standard that counts the size, and the form."},
       {"code", true, name_value(), "Size as that standard writes it."},
       {"least", true, size_up_to(200, "coolant hoses are smaller"), "Smallest outside it closes on."},
       {"most", true, size_up_to(200, "coolant hoses are smaller"), "Largest outside it opens to."},
       {"band", true, size_up_to(40, "no band is wider"), "Width of the band."},
       torque("torque_nm", true, "Of the screw on new hose, N.m."),
       torque("torque_spread_nm", false, "To either side, N.m."),
       torque("torque_reused_nm", false, "On hose that has been clamped before, N.m."),
       {"provenance", true, map_of(provenance_table), "Where the range comes from."},
       {"torque_provenance", true, map_of(provenance_table), "Where the torque comes from."},
       {"torque_note", false, text_value(), "Said wherever the torque is shown."}}};
  return table;
}

}  // namespace

const MapRule& stock_file() {
  static const MapRule table = [] {
    MapRule made = list_file(FileKind::stock, "a stock file", stock_item_table, "stock", 2000);
    made.keys.push_back(
        {"reducers", false, list_of(map_of(reducer_table), 0, 500), "Parts that join two diameters."});
    return made;
  }();
  return table;
}

const MapRule& clamps_file() {
  static const MapRule table = list_file(FileKind::clamps, "a clamps file", clamp_table, "clamps", 500);
  return table;
}

const MapRule& limits_file() {
  static const MapRule table = [] {
    MapRule made = list_file(FileKind::limits, "a limits file", gap_row_table, "gaps", 200);
    made.keys.push_back(
        {"mounts", true, list_of(map_of(mounts_table), 3, 3), "How far the engine goes on each."});
    return made;
  }();
  return table;
}

}  // namespace hosefit
