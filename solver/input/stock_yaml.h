// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <vector>

#include "solver/input/map_view.h"
#include "solver/model/gap_table.h"
#include "solver/model/make.h"
#include "solver/model/vehicle.h"

namespace hosefit {

/// Entries of a stock file in its order; what a make needs must stand, radii, angles and lengths ascend. A
/// moulded stock has shapes and nothing else about bends; each shape's lists go together.
std::vector<Stock> read_stock(const InputFile& file, ProblemLog& log);

/// Empty when the table is not complete; it must hold every (runner, hazard, same_carrier) exactly once.
std::optional<GapTable> read_limits(const InputFile& file, ProblemLog& log);

/// How far an engine goes on each kind of mount.
struct MountsMotion {
  Mounts mounts = Mounts::rubber;
  EngineMotion motion;
};
/// Of a limits file; every kind must stand exactly once.
std::vector<MountsMotion> read_mounts(const InputFile& file, ProblemLog& log);
/// The figures that mounts and the shop's own entry share; provenance stays as it is.
EngineMotion read_motion(const MapView& in);

}  // namespace hosefit
