// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <span>
#include <vector>

#include "solver/decide/verdict_rules.h"
#include "solver/model/vehicle.h"
#include "solver/verify/motion_proof.h"

namespace hosefit {

/// One state per search, in their order. `proof` runs beside the searches that found a route. A stop of
/// neck_match in `on_lines` means that the stock does not go on that line's necks.
std::vector<LineState> line_states(const Bay& bay, std::span<const LineSearch> searches,
                                   const ProofReport& proof, std::span<const Finding> on_lines);

/// A proved line that does not hold in motion is open: another way to lead it may hold. `motion` runs beside
/// the lines, all of which are found.
void hold_in_motion(std::span<const MotionLine> motion, std::vector<LineState>& states);

/// One stop for each line without a route, from its nearest miss: stub_blocked, no_passage, bend_radius (no
/// room to bend), no_stock, or no_route_found (undecided). subject = line, other = what is in the way.
/// measured, limit, margin in mm. Parameters: outcome; makes = those tried; stock = the last; resolution_mm
/// when the statement is not exact.
std::vector<Finding> search_findings(const Job& job, const Bay& bay, std::span<const LineSearch> searches);

/// The gap that an obstruction of a line is measured against.
RequiredGap gap_of_obstruction(const Job& job, const Bay& bay, const BayLine& line, const Obstruction& miss);

}  // namespace hosefit
