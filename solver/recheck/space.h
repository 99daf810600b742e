// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <Eigen/Core>
#include <Eigen/Geometry>
#include <cmath>

/// Plain vectors of the second reader. Millimetres; the vehicle's frame unless a name says otherwise: X
/// rearward, Y to the right as seated, Z up.
namespace hosefit::recheck {

using V2 = Eigen::Vector2d;
using V3 = Eigen::Vector3d;
using M3 = Eigen::Matrix3d;
using Box3 = Eigen::AlignedBox3d;

/// Where a part stands: own coordinates to those of what carries it.
struct Frame {
  M3 turn = M3::Identity();
  V3 at_mm = V3::Zero();

  V3 point(const V3& own_mm) const { return turn * own_mm + at_mm; }
  V3 back(const V3& p_mm) const { return turn.transpose() * (p_mm - at_mm); }
};
inline Frame operator*(const Frame& outer, const Frame& inner) {
  return {outer.turn * inner.turn, outer.point(inner.at_mm)};
}

/// Right-handed turn about a unit axis.
inline V3 turned(const V3& v, const V3& axis, double angle_rad) {
  return v * std::cos(angle_rad) + axis.cross(v) * std::sin(angle_rad) +
         axis * (axis.dot(v) * (1.0 - std::cos(angle_rad)));
}

/// Axes with the third along `third` and the first along `first` made square to it.
inline Frame axes(const V3& at_mm, const V3& third, const V3& first) {
  Frame frame;
  frame.turn.col(2) = third.normalized();
  frame.turn.col(1) = frame.turn.col(2).cross(first).normalized();
  frame.turn.col(0) = frame.turn.col(1).cross(frame.turn.col(2));
  frame.at_mm = at_mm;
  return frame;
}

inline double degrees(double rad) {
  return rad * 57.29577951308232;
}
inline double radians(double deg) {
  return deg / 57.29577951308232;
}
inline double between_rad(const V3& a, const V3& b) {
  return std::atan2(a.cross(b).norm(), a.dot(b));
}

inline V3 nearest_on_segment(const V3& p, const V3& a, const V3& b) {
  const V3 run = b - a;
  const double square = run.dot(run);
  if (!(square > 0)) return a;
  const double t = (p - a).dot(run) / square;
  return t <= 0 ? a : t >= 1 ? b : V3(a + t * run);
}

/// From the nearest point of the second segment to that of the first: where both are inside, else from an end
/// of one to the other.
inline V3 across_segments(const V3& a, const V3& b, const V3& c, const V3& d) {
  V3 least = a - nearest_on_segment(a, c, d);
  const auto take = [&](const V3& across) {
    if (across.squaredNorm() < least.squaredNorm()) least = across;
  };
  take(b - nearest_on_segment(b, c, d));
  take(nearest_on_segment(c, a, b) - c);
  take(nearest_on_segment(d, a, b) - d);
  const V3 one = b - a, other = d - c, normal = one.cross(other);
  const double square = normal.squaredNorm();
  if (square > 1e-12 * one.squaredNorm() * other.squaredNorm()) {
    const double s = (c - a).cross(other).dot(normal) / square, t = (c - a).cross(one).dot(normal) / square;
    if (s > 0 && s < 1 && t > 0 && t < 1) take(a + s * one - c - t * other);
  }
  return least;
}
inline double between_segments(const V3& a, const V3& b, const V3& c, const V3& d) {
  return across_segments(a, b, c, d).norm();
}

}  // namespace hosefit::recheck
