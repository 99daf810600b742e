// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <vector>

#include "solver/order/cut_sheet.h"

namespace hosefit {

/// What a line lacks when no stock of its makes has a good grip on both its necks (the limits of the rule
/// neck_match), or when the stock set by the shop does not go on one of them, good or tight. Empty when
/// nothing is lacking. A reducer on file matches when a stepped joiner's outside diameters are those to join
/// within 0.5 mm, or a reducing hose's bores have a good grip on both (common practice, no source); of those
/// that match the nearest, the first in the file of those alike.
std::vector<ReducerNeed> reducers_for(const Job& job, const Bay& bay, std::size_t line);

}  // namespace hosefit
