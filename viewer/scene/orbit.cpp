// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/scene/orbit.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace hosefit {
namespace {

constexpr double kSteepest_rad = 1.553;  // 89 deg: at 90 the picture's up would be undefined
constexpr double kOrbitPerPicture_rad = 3.2;
constexpr double kNearest_mm = 50, kFarthest_mm = 50000;

}  // namespace

Vec3 view_direction(const Orbit& c) {
  return {std::cos(c.rise_rad) * std::cos(c.turn_rad), -std::cos(c.rise_rad) * std::sin(c.turn_rad),
          -std::sin(c.rise_rad)};
}

Camera camera_of(const Orbit& c, double aspect) {
  Camera out;
  out.target_mm = c.target_mm;
  out.towards = -view_direction(c);
  out.right = right_of(c);
  out.up = up_of(c);
  out.projection = Projection::perspective;
  out.distance_mm = c.distance_mm;
  out.middle_px = {aspect / 2, 0.5};
  out.px_per_mm = 1 / (2 * std::tan(kViewAngle_rad / 2) * c.distance_mm);
  return out;
}

Vec3 right_of(const Orbit& c) {
  return view_direction(c).cross(Vec3::UnitZ()).normalized();
}

Vec3 up_of(const Orbit& c) {
  return right_of(c).cross(view_direction(c));
}

std::array<float, 16> clip_matrix(const Orbit& c, double aspect) {
  const Vec3 ex = right_of(c), ey = up_of(c), ez = -view_direction(c);
  const Vec3 eye = c.target_mm - c.distance_mm * view_direction(c);
  // Near and far follow the distance; what matters stands within a bay's size of the target.
  const double near_mm = std::max(5.0, 0.02 * c.distance_mm), far_mm = c.distance_mm + 12000.0;
  const double f = 1.0 / std::tan(kViewAngle_rad / 2);
  const double a = (far_mm + near_mm) / (near_mm - far_mm), b = 2 * far_mm * near_mm / (near_mm - far_mm);
  std::array<float, 16> m{};
  for (std::size_t col = 0; col < 4; ++col) {
    const Eigen::Index i = static_cast<Eigen::Index>(col);
    const double x = col < 3 ? ex[i] : -ex.dot(eye), y = col < 3 ? ey[i] : -ey.dot(eye);
    const double z = col < 3 ? ez[i] : -ez.dot(eye);
    m[4 * col + 0] = static_cast<float>(f / aspect * x);
    m[4 * col + 1] = static_cast<float>(f * y);
    m[4 * col + 2] = static_cast<float>(a * z + (col == 3 ? b : 0.0));
    m[4 * col + 3] = static_cast<float>(-z);
  }
  return m;
}

std::optional<PicturePoint> project(const Orbit& c, double aspect, const Vec3& p_mm) {
  const Vec3 seen = project(camera_of(c, aspect), p_mm);
  if (seen.z() <= 1e-6) return std::nullopt;
  return PicturePoint{seen.x() / aspect, seen.y()};
}

Ray ray_through(const Orbit& c, double aspect, PicturePoint at) {
  return ray_through(camera_of(c, aspect), at.x * aspect, at.y);
}

Orbit orbited(Orbit c, double across, double down) {
  c.turn_rad = std::remainder(c.turn_rad + kOrbitPerPicture_rad * across, 2 * std::numbers::pi);
  c.rise_rad = std::clamp(c.rise_rad + kOrbitPerPicture_rad * down, -kSteepest_rad, kSteepest_rad);
  return c;
}

Orbit shifted(Orbit c, double across, double down) {
  const double height_mm = 2 * std::tan(kViewAngle_rad / 2) * c.distance_mm;
  c.target_mm += height_mm * (-across * right_of(c) + down * up_of(c));
  return c;
}

Orbit nearer(Orbit c, double factor) {
  c.distance_mm = std::clamp(c.distance_mm / factor, kNearest_mm, kFarthest_mm);
  return c;
}

Orbit fitted(Orbit c, const AxisBox& box, double aspect) {
  if (box.isEmpty()) return c;
  c.target_mm = box.center();
  const double half = std::tan(kViewAngle_rad / 2);
  double distance_mm = kNearest_mm;
  for (int k = 0; k < 8; ++k) {
    const Vec3 d = box.corner(static_cast<AxisBox::CornerType>(k)) - c.target_mm;
    const double towards = -d.dot(view_direction(c));
    distance_mm = std::max({distance_mm, towards + std::abs(d.dot(right_of(c))) / (half * aspect),
                            towards + std::abs(d.dot(up_of(c))) / half});
  }
  c.distance_mm = std::clamp(1.04 * distance_mm, kNearest_mm, kFarthest_mm);
  return c;
}

}  // namespace hosefit
