// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/geometry/centreline.h"

namespace hosefit {

/// Distance from a point to a straight or an arc (as a curve without thickness), closed form, exact to
/// rounding.
double distance_mm(const Piece& piece, const Vec3& p_mm);
/// The point of the piece nearest to p.
Vec3 nearest_point(const Piece& piece, const Vec3& p_mm);
/// Arc length of that point along the piece.
double nearest_s_mm(const Piece& piece, const Vec3& p_mm);
/// Smallest axis-parallel box around the piece.
AxisBox bounds(const Piece& piece);
/// The piece between two arc lengths of its own, 0 <= from < to <= length.
Piece cut(const Piece& piece, double from_s_mm, double to_s_mm);

/// Distance between two boxes, 0 when they touch or overlap.
inline double box_distance_mm(const AxisBox& a, const AxisBox& b) {
  return a.exteriorDistance(b);
}

}  // namespace hosefit
