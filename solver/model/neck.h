// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "solver/base/measured.h"
#include "solver/geometry/pose.h"
#include "solver/model/body.h"

namespace hosefit {

/// An open tube end that takes a hose. The spigot behind `end` is not an obstacle of its own: the hose on it
/// is.
struct Neck {
  std::string name;       ///< full name as lines use it: "radiator.top", "pump.outlet"
  Measured<Vec3> end_mm;  ///< centre of the open end, in the frame of the part that carries it
  Vec3 outward;           ///< unit, pointing out of the opening
  Length outside_diameter, bore;
  Length straight;  ///< of the spigot behind its end, that hose can be pushed over
  bool bead = true;
  std::vector<std::string> on;  ///< obstacles of the same body that it grows out of; see OwnPart in bay.h
};

}  // namespace hosefit
