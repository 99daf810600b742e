// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <vector>

#include "solver/input/map_view.h"
#include "solver/model/gap_table.h"
#include "solver/model/make.h"

namespace hosefit {

/// Entries of a stock file in its order; what a make needs must stand, radii, angles and lengths ascend.
std::vector<Stock> read_stock(const InputFile& file, ProblemLog& log);

/// Empty when the table is not complete; it must hold every (runner, hazard, same_carrier) exactly once.
std::optional<GapTable> read_limits(const InputFile& file, ProblemLog& log);

}  // namespace hosefit
