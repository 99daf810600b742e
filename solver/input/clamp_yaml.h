// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <vector>

#include "solver/input/map_view.h"
#include "solver/model/clamp.h"

namespace hosefit {

/// Sizes of a clamps file in its order; ids stand once, ranges open wider than they close.
std::vector<ClampSize> read_clamps(const InputFile& file, ProblemLog& log);

/// Reducers of a stock file in its order; none when it has no such key.
std::vector<Reducer> read_reducers(const InputFile& file, ProblemLog& log);

}  // namespace hosefit
