// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <vector>

#include "solver/geometry/centreline.h"
#include "solver/model/route.h"

namespace hosefit {

/// How one bend of a moulded shape is sprung as the hose is put on: as fitted less as moulded. `turn`: of its
/// plane against that of the bend before; of the first 0.
struct SprungBend {
  Angle bend, turn;
};

/// One for each row of the line's bend table. Empty when shape and line have not as many bends between the
/// cuts.
std::vector<SprungBend> sprung_bends(const MouldedShape& shape, const ShapeCut& cut, const BendTable& fitted);

}  // namespace hosefit
