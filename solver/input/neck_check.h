// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "solver/input/map_view.h"
#include "solver/model/neck.h"

namespace hosefit {

/// The body that a neck sits on.
struct NeckSurroundings {
  const std::vector<Obstacle>& obstacles;  ///< those that could be read
  std::vector<std::string> names;          ///< of all that are written, readable or not
};
NeckSurroundings surroundings(const std::vector<Obstacle>& obstacles, const std::vector<MapView>& written);

/// Refuses names in `on` that are no obstacle of the body, an end inside a closed obstacle of the body, and a
/// neck that points into an obstacle it grows out of: the straight line from 0.5 mm outside its end, as long
/// as its spigot and 15 mm more, must not meet one.
void check_neck(const MapView& in, const Neck& neck, const NeckSurroundings& around, ProblemLog& log);

/// Inside a closed obstacle; `skin_mm` within its surface still counts as outside.
bool is_inside(const Obstacle& obstacle, const Vec3& p_mm, double skin_mm);

/// How far along the unit direction the surface is first met, within `reach_mm`; 0 when `from_mm` is inside a
/// closed obstacle. To 0.01 mm; a rail or mesh by its triangles.
std::optional<double> first_hit_mm(const Obstacle& obstacle, const Vec3& from_mm, const Vec3& direction,
                                   double reach_mm);

}  // namespace hosefit
