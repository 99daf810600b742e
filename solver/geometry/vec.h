// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <Eigen/Core>
#include <Eigen/Geometry>

/// Plain linear algebra. All lengths in millimetres; the frame is the vehicle's unless a name says otherwise.
/// Vehicle frame: X rearward, Y to the right as seated, Z up (right-handed; axes after ISO 4130:1978, Y from
/// memory). Engine frame: origin at the crank centreline on the block's front face, same sense when untilted.
namespace hosefit {

using Vec2 = Eigen::Vector2d;
using Vec3 = Eigen::Vector3d;
using Mat3 = Eigen::Matrix3d;
using AxisBox = Eigen::AlignedBox3d;

/// A unit vector square to `direction` (which need not be unit, but not zero); always the same for the same
/// input.
inline Vec3 any_perpendicular(const Vec3& direction) {
  const Vec3 axis = std::abs(direction.x()) < 0.6 * direction.norm() ? Vec3::UnitX() : Vec3::UnitY();
  return direction.cross(axis).normalized();
}

/// The angle between two directions in radians, exact near 0 and pi where acos is not.
inline double angle_between(const Vec3& a, const Vec3& b) {
  return std::atan2(a.cross(b).norm(), a.dot(b));
}

}  // namespace hosefit
