// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>

#include "solver/base/quantity.h"
#include "solver/geometry/pose.h"
#include "solver/model/provenance.h"

namespace hosefit {

/// How far the engine goes on its mounts against the chassis, from where it was measured. Roll is about an
/// axis parallel to the crank.
struct EngineMotion {
  Angle roll;                ///< to either side
  Length lift;               ///< up and down
  Length forward, rearward;  ///< under braking and under drive
  Length sideways;           ///< to either side
  Length axis_below_crank;   ///< of the roll axis
  Provenance provenance;
};

/// One place of the engine: roll in rad (right-handed about the engine's X axis: its right side rises), then
/// mm up, rearward and to the right.
using EnginePlace = Eigen::Vector4d;
enum EngineWay : int { roll_way, lift_way, rearward_way, right_way };

/// All places of the engine: a box around `centre`, `half` to either side. Rest is the zero vector and lies
/// inside.
struct EnginePlaces {
  EnginePlace centre = EnginePlace::Zero(), half = EnginePlace::Zero();
  Vec3 axis_point_mm = Vec3::Zero(), axis = Vec3::UnitX();  ///< of roll, vehicle frame

  /// Moves a point of the engine from where it is at rest; vehicle frame.
  Pose moved(const EnginePlace& place) const;
};
/// `engine` maps the engine frame to the vehicle frame.
EnginePlaces engine_places(const EngineMotion& motion, const Pose& engine);

}  // namespace hosefit
