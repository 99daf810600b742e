// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <span>
#include <vector>

#include "solver/geometry/centreline.h"
#include "solver/geometry/triangle_mesh.h"

namespace hosefit {

/// The outside of a tube along a centreline, with flat ends; closed and outward. For drawing only: its
/// corners lie on the tube's surface, its facets inside it by at most `sag_mm`.
struct TubeMesh {
  TriangleMesh mesh;
  std::vector<double> middle_s_mm;  ///< per triangle: arc length at the middle of its ring of facets
};

/// radius_mm and sag_mm > 0; an arc whose radius is below radius_mm folds into itself. Empty when the
/// centreline has no length. `stops_mm`: arc lengths, ascending, at which a ring of facets must end.
TubeMesh tube_mesh(const Centreline& centreline, double radius_mm, double sag_mm,
                   std::span<const double> stops_mm = {});

}  // namespace hosefit
