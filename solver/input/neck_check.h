// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
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

}  // namespace hosefit
