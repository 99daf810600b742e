// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <span>
#include <vector>

#include "solver/order/cut_sheet.h"

namespace hosefit {

/// One coil per smooth hose of a line that the rule suction_collapse speaks of, as long as the hose between
/// what is pushed on at its ends, less 5 mm at each end so that it stops short of the clamps (common
/// practice, no source). Hoses with less than 30 mm free get none.
std::vector<Spring> springs_for(const CutSheet& sheet, const Line& line, std::span<const Finding> findings);

/// Where hose runs nearer than 100 mm to bare or 60 mm to shielded exhaust (handbook: a heavy-truck
/// body-builder manual, preferred distances; no title a reader can find), 25 mm more at each end. One sleeve
/// per exhaust part from the first to the last such place, found in steps of 5 mm; along its whole length
/// where the exhaust part has no closed form. Metal tube gets none, its couplers do.
std::vector<Sleeve> sleeves_for(const CutSheet& sheet, const Bay& bay, const LineProof* proof);

/// The clips of a line with the names of what they go on.
std::vector<Clip> clips_for(const Bay& bay, std::span<const ClipPlace> places);

}  // namespace hosefit
