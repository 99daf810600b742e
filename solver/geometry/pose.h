// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/geometry/vec.h"

namespace hosefit {

/// A rigid motion: maps a point of a part's own frame to the parent frame, p_parent = rotation p_own +
/// origin.
struct Pose {
  Mat3 rotation = Mat3::Identity();  ///< orthonormal, determinant +1
  Vec3 origin_mm = Vec3::Zero();

  Vec3 point(const Vec3& p_own_mm) const { return rotation * p_own_mm + origin_mm; }
  Vec3 direction(const Vec3& d_own) const { return rotation * d_own; }
  Vec3 point_inverse(const Vec3& p_parent_mm) const {
    return rotation.transpose() * (p_parent_mm - origin_mm);
  }
  Vec3 direction_inverse(const Vec3& d_parent) const { return rotation.transpose() * d_parent; }

  static Pose translation(const Vec3& shift_mm) { return {Mat3::Identity(), shift_mm}; }
  /// The frame at `origin_mm` whose Z axis is `z` and whose X axis is `x` made square to it. z and x must not
  /// be parallel.
  static Pose from_axes(const Vec3& origin_mm, const Vec3& z, const Vec3& x) {
    Pose pose;
    const Vec3 ez = z.normalized();
    const Vec3 ex = (x - x.dot(ez) * ez).normalized();
    pose.rotation.col(0) = ex;
    pose.rotation.col(1) = ez.cross(ex);
    pose.rotation.col(2) = ez;
    pose.origin_mm = origin_mm;
    return pose;
  }
};

/// (a * b).point(p) == a.point(b.point(p)).
inline Pose operator*(const Pose& a, const Pose& b) {
  return {a.rotation * b.rotation, a.rotation * b.origin_mm + a.origin_mm};
}
inline Pose inverse(const Pose& p) {
  return {p.rotation.transpose(), -(p.rotation.transpose() * p.origin_mm)};
}

}  // namespace hosefit
