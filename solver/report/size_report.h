// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <vector>

#include "solver/order/order_list.h"
#include "solver/report/page.h"

/// The answer to `hosefit size`: what to order and cut for one combination of parts. Pure functions: same
/// input, same bytes. A line that is not proved says so beside its numbers, a combination that is not proved
/// to fit on top of everything; neither is ever in the order list as if it were.
namespace hosefit {

struct SizeReport {
  const Job& job;
  const CandidateResult& result;
  const std::vector<CutSheet>& sheets;  ///< cut_sheets(job, result)
  const OrderList& list;                ///< order_list(job, result, sheets)
  std::string version;
};

/// For people; lengths in mm and inches both, whatever `look.unit` says of the rest.
std::string size_text(const SizeReport& report, const TextLook& look);

/// RFC 4180: comma, quotes doubled, CRLF; UTF-8. First row names the columns:
///   section   notice | order | reducer | shelf | cut | clamp | bend | spring | sleeve | clip
///   line, standing (see word(Standing)), item, stock, what, needed, spare, buy (needed + spare), length_mm,
///   length_in, inside_mm, inside_in, outside_mm, outside_in, angle_deg, turn_deg (clock of a bend against
///   the one before), price (of the row), note
/// A cell that is text and would be read as a formula (begins with = + - @, tab or return, also after blanks)
/// gets an apostrophe in front; control characters become '?'. Cells that are numbers are numbers.
std::string size_csv(const SizeReport& report);

/// UTF-8, keys in this order, numbers rounded to 1e-6 of their unit (null where there is none). Lengths in
/// mm, places in mm in the vehicle frame, angles in radians, torques in N.m. Text is data: not made safe for
/// a terminal. A change of meaning raises the number beside the first key; new keys may be added without.
///
/// {"hosefit_size": 1, "program", "input_fingerprint", "vehicle", "pump", "drive", "housing",
///  "housing_clock_rad", "intake", "height_mm", "fit", "order_now": true only if the combination fits and
///  every line is proved, "lines_left_out": [name], "order": [{"item", "stock": id | null, "description",
///  "clamp": CLAMP | null, "inside_mm", "outside_mm",
///    "length_mm", "leg_mm", "turn_rad", "needed", "spare", "price": number | null, "lines": [name],
///    "look_alikes": [{"stock", "inside_mm", "outside_mm"}]}],
///  "known_price", "rows_without_price", "least_spend_proved",
///  "in_hand": [{"stock", "length_mm", "turn_rad", "use": "keep" | "trim" | "leave", "cuts": [CUT]}],
///  "sticks": [{"stock", "length_mm", "cuts": [CUT]}],
///  "lines": [{"name", "from", "to", "standing", "make", "stock", "description", "ends": [END, END] | [],
///    "pieces": [{"kind", "what", "stock": id | null, "inside_mm", "outside_mm", "cut_mm", "bought_mm",
///      "turn_rad", "clock_rad", "leg_from_mm", "leg_to_mm", "push_from_mm", "push_to_mm", "tolerance_mm",
///      "squareness_mm", "tolerance_source", "from_s_mm", "to_s_mm"}],
///    "clamps": [{"piece": index, "end": "start" | "end", "on", "count", "installed_outside_mm",
///    "from_end_mm",
///      "clock_rad", "size": CLAMP | null}],
///    "bends": [{"feed_mm", "rotate_rad", "bend_rad", "radius_mm"}], "last_straight_mm": number | null,
///    "points": [[x, y, z]], "radii_mm": [number],
///    "springs": [{"piece", "outside_mm", "length_mm"}],
///    "sleeves": [{"obstacle", "shielded", "gap_mm", "wanted_mm", "from_s_mm", "to_s_mm", "over_mm"}],
///    "clips": [{"at_s_mm", "over_mm", "carrier", "on": name | null, "off_mm": 0 | null}], "reducer_needed",
///    "reducers": [{"from_mm", "to_mm",
///      "item": null | {"id", "kind", "description", "wide_mm", "narrow_mm", "length_mm", "price",
///      "source"}}]}],
///  "notice"}
/// CUT = {"line": name, "piece": index, "cut_mm"}
/// CLAMP = {"id", "standard", "code", "least_mm", "most_mm", "band_mm", "torque_new_nm", "torque_spread_nm",
///   "torque_reused_nm": number | null, "size_source", "torque_source"}
/// END = {"neck", "neck_outside_mm", "neck_tolerance_mm", "bead", "spigot_mm", "hose_inside_mm",
///   "hose_inside_least_mm", "hose_inside_most_mm" (ISO 1307, null: not listed), "over_mm", "over_least_mm",
///   "over_most_mm", "grip": "loose" | "good" | "tight" | "too_tight", "accept_least_mm", "accept_most_mm"}
std::string size_json(const SizeReport& report);

}  // namespace hosefit
