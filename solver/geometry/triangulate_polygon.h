// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <cstdint>
#include <vector>

#include "solver/geometry/vec.h"

namespace hosefit {

/// Triangles over the corners of a simple counter-clockwise polygon (at least 3 corners), by cutting ears
/// (Meisters, Am. Math. Monthly 82 (1975) 648). Exactly n - 2 triangles, each counter-clockwise; corners in a
/// straight row give triangles without area, so that every outline edge is the edge of one triangle.
/// Quadratic in the number of corners, cubic at worst.
std::vector<std::array<std::uint32_t, 3>> triangulate_polygon(const std::vector<Vec2>& outline);

}  // namespace hosefit
