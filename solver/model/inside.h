// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>

#include "solver/model/body.h"

namespace hosefit {

/// Inside a closed obstacle; `skin_mm` within its surface still counts as outside.
bool is_inside(const Obstacle& obstacle, const Vec3& p_mm, double skin_mm);

/// How far along the unit direction the surface is first met, within `reach_mm`; 0 when `from_mm` is inside a
/// closed obstacle. To 0.01 mm; a rail or mesh by its triangles.
std::optional<double> first_hit_mm(const Obstacle& obstacle, const Vec3& from_mm, const Vec3& direction,
                                   double reach_mm);

}  // namespace hosefit
