// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <string>

#include "solver/recheck/job.h"

namespace hosefit::recheck {

/// One place of the engine on its mounts: roll in rad (right-handed about the engine's X axis: its right side
/// rises), then mm up, rearward and to the right. At rest all are nothing.
using EngineAt = Eigen::Vector4d;
inline constexpr Eigen::Index kRoll = 0, kUp = 1, kRearward = 2, kRight = 3;

/// All places within `half` of the centre, each way by itself.
struct PlaceBox {
  EngineAt centre = EngineAt::Zero(), half = EngineAt::Zero();
};
std::array<EngineAt, 16> corners(const PlaceBox& box);
std::array<PlaceBox, 2> halved(const PlaceBox& box, Eigen::Index way);

/// Where the engine may go; vehicle frame.
struct EngineWays {
  PlaceBox all;
  V3 axis_point_mm = V3::Zero(), axis = V3::UnitX();  ///< of roll

  /// From where a point of the engine is at rest to where it is then.
  Frame moved(const EngineAt& at) const;
  /// Of the roll axis, which shifts with the engine.
  V3 axis_point_at(const EngineAt& at) const;
};
/// `engine`: engine frame to vehicle frame.
EngineWays engine_ways(const Frame& engine, const MountsFigures& figures);

/// "4 deg of roll to either side, 10 mm up and down, ..."
std::string figures_words(const MountsFigures& figures);

/// "with the engine rolled 4.0 deg right side up, 10.0 mm down, 8.0 mm left", or "with the engine at rest".
std::string place_words(const EngineAt& at);

}  // namespace hosefit::recheck
