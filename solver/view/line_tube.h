// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <span>
#include <vector>

#include "solver/model/route.h"
#include "solver/view/line_bands.h"
#include "solver/view/tube_mesh.h"

namespace hosefit {

/// One line as it is drawn: its sections as closed tubes, with the hose pushed over its necks. Vehicle frame.
struct LineTube {
  TriangleMesh mesh;
  std::vector<Colour> colours;  ///< per triangle
};

/// Painted along its length by `classes` (lengths from the hose's end at the line's start, as
/// classes_along). For drawing only; sag_mm as in tube_mesh.
LineTube line_tube(const Route& route, std::span<const ClassStretch> classes, double sag_mm);

}  // namespace hosefit
