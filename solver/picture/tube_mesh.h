// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/geometry/centreline.h"
#include "solver/geometry/triangle_mesh.h"

namespace hosefit {

/// The outside of a tube along a centreline, with flat ends; closed and outward. For drawing only: its
/// corners lie on the tube's surface, its facets inside it by at most `sag_mm`. radius_mm and sag_mm > 0; an
/// arc whose radius is below radius_mm folds into itself. Empty when the centreline has no length.
TriangleMesh tube_mesh(const Centreline& centreline, double radius_mm, double sag_mm);

}  // namespace hosefit
