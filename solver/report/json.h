// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>

#include "solver/base/result.h"
#include "solver/report/text.h"

/// Reports for other programs. UTF-8, keys always in the order below, numbers rounded to 1e-6 of their unit
/// (angles and unit vectors of a centreline to 1e-9), always finite (null where there is none), so that the
/// same answer gives the same bytes. Lengths and places in mm, vehicle frame (X rearward, Y right as seated,
/// Z up), angles in radians, flows in L/min, pressures in kPa, temperatures in degrees Celsius. Text is data,
/// not made safe for a terminal: control characters are escaped, bytes that are not UTF-8 become U+FFFD. A
/// change of meaning raises the number beside the first key; new keys may be added without.
///
/// {"hosefit_pick": 1, "program": "0.1.0", "input_fingerprint": "..", "vehicle": "..", "family": "..",
///  "question": {"intake": "..", "height_mm": 0}, "interrupted": false, "combinations_left": 0,
///  "ranking": [{"rank": 1, "pump": "..", "best": CANDIDATE, "others": [CANDIDATE without "lines" and
///  "flow"]}], "height_windows": [{"pump": "..", "windows": [{"from_mm": 0, "to_mm": 0, "fit": "fits",
///  "binds": FINDING | null, "binds_at_mm": 0 | null}]}], "in_motion": MOTION (only when asked for),
///  "notice": ".."}
///
/// CANDIDATE = {"pump", "drive", "housing": names, "housing_clock_rad": 0, "intake": name, "height_mm": 0,
///   "fit": "fits" | "passage, no stock" | "does not fit" | "undecided",
///   "limits": {"sourced": 0, "unsourced": 0, "signed_by_shop": 0}, "lines_tried": true,
///   "comparison": {"fit_order", "hindrance", "missing_mm", "lines_open", "necks_moved", "flags",
///   "parts_changed", "fitted_pump", "joints", "least_spare_mm", "length_mm"}, "changes": [".."], "necks":
///   [NECK], "findings": [FINDING], "lines": [LINE], "flow": FLOW | null}
///
/// NECK, of those whose place is chosen = {"name", "as_written": true, "slide_mm": [..], "turn_rad", "end":
/// [x,y,z], "outward": [x,y,z]}
///
/// LINE = {"name", "from", "to", "duty", "outcome": "found" | .., "pinned_stock", "pinned_reason",
///   "route": null | {"make", "stock", "proved": true, "pieces": [{"stock", "what", "cut_mm", "bought_mm": 0
///   | null, "clock_rad": 0 | null}],
///     "centreline": [{"straight": {"from": [x,y,z], "to": [x,y,z]}} |
///                    {"arc": {"start": [x,y,z], "centre": [x,y,z], "normal": [x,y,z], "angle_rad": 0,
///                    "radius_mm": 0}}],
///     "sections": [{"from_mm", "to_mm", "outside_diameter_mm", "runner"}], "length_mm", "least_radius_mm":
///     allowed | null, "engagement_from_mm", "engagement_to_mm", "joints", "gaps": [{"other", "runner",
///     "required_mm", "found_mm", "proved_mm", "s_mm", "where": [x,y,z], "provenance": PROVENANCE}],
///     "clamps": [{"piece", "end": "start" | "end", "at_neck", "from_end_mm", "clock_rad", "spare_mm",
///     "tightest"}]},
///   "attempts": [{"make", "stock", "outcome", "breaks": null | rule,
///   "nearest_miss": null | MISS}], "nearest_miss": null | MISS}
///   An arc's point at angle t is centre + turn about normal by t (right-handed) of (start - centre), 0 <= t
///   <= angle_rad.
/// MISS = {"obstacle", "where", "missing_mm", "required_mm", "found_mm", "resolution_mm"}
/// FINDING = {"rule", "severity", "undecided", "subject", "other", "where": [x,y,z] | null, "measured",
/// "limit", "margin", "unit",
///   "parameters": {..}, "provenance": PROVENANCE | null, "words": ".."}   (words in mm)
/// PROVENANCE = {"source", "title", "signer", "reason", "counts_as": "sourced" | "unsourced" | "signed"}
/// FLOW = {"curve_source", "curve_band", "points": [{"working_point", "thermal": "regulating" | "fully open"
/// | "overheating",
///   "pump": BAND, "radiator": BAND, "heater": BAND | null, "bypass": BAND | null, "pump_rise_kpa",
///   "block_outlet_c": [low, nominal, high], "pump_inlet_c", "boiling_c", "thermostat_opening",
///   "suction_margin_kpa": [low, nominal, high], "overheats_in_band", "lines": [{"name", "flow": BAND,
///   "loss_kpa": [low, nominal, high], "velocity_m_s", "notes": [..]}]}], "problems": [{"about", "text"}]}
/// MOTION = {"mounts", "roll_rad", "lift_mm", "forward_mm", "rearward_mm", "sideways_mm",
/// "axis_below_crank_mm",
///   "provenance": PROVENANCE, "pumps": [{"pump", "proved", "lines": [{"name", "clips": [{"s_mm", "carrier",
///   "to", "reach_mm"}], "proved", "findings": [FINDING], "gaps": [{"other", "runner", "required_mm",
///   "found_mm", "s_mm", "where", "engine": PLACE}], "tightest_bend_mm": 0 | null, "least_slack": 0 | null}],
///   "parts": [{"on_engine", "on_chassis", "answer": "proved" | "does not hold" | "undecided", "required_mm",
///   "found_mm", "where", "engine": PLACE}]}]}; the two mm and the place are null for a part that a scan has
///   not seen
/// PLACE = {"roll_rad": right side up, "up_mm", "rearward_mm", "right_mm"}
/// BAND = {"l_min": [low, nominal, high], "curve_source": ".."}
namespace hosefit {

std::string pick_json(const Job& job, const Choice& choice, const ReportExtras& extras);

/// {"hosefit_check": 1, "program", "sound": true | false, "input_fingerprint",
///  "problems": [{"file", "line", "column", "path", "text"}],
///  when sound also "advice": [sentence], "meshes": [sentence], "tape": {"points": [{"name", "at",
///  "accuracy_mm", "checked"}], "readings": [{"kind": "tape" | "drop", "point", "to", "reads_mm",
///  "accuracy_mm", "off_mm", "times_accuracy", "studentised", "slip_mm", "seen_from_mm", "doubtful"}]} (the
///  last three figures null where no other reading checks it; see geometry/tape_network.h), "missing",
///  "assumed", "measured": [{"what", "method", "accuracy_mm" | null, "why"}], in each what matters most
///  first}
std::string check_json(const Problems& problems, const std::string& version);
std::string check_json(const Job& job, const std::string& version);

}  // namespace hosefit
