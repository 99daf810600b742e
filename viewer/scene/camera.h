// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <optional>

#include "solver/geometry/vec.h"

namespace hosefit {

/// Looks at a point from a distance, upright. Turn 0 looks rearward (+X) from in front of the vehicle;
/// positive turns walk to the vehicle's right side; rise is how far above level the eye stands.
struct Camera {
  Vec3 target_mm = Vec3::Zero();
  double turn_rad = -0.6;
  double rise_rad = 0.8;
  double distance_mm = 2500;
  friend bool operator==(const Camera&, const Camera&) = default;
};

inline constexpr double kViewAngle_rad = 0.5;  ///< of the picture's height: about an 80 mm lens

Vec3 eye_mm(const Camera& camera);
Vec3 view_direction(const Camera& camera);  ///< unit, from the eye to the target
Vec3 right_of(const Camera& camera);
Vec3 up_of(const Camera& camera);

/// Column by column, vehicle millimetres to clip space, as OpenGL wants it. `aspect` = width / height.
std::array<float, 16> clip_matrix(const Camera& camera, double aspect);

/// A place in the picture: x to the right, y down, both 0 .. 1 inside it.
struct PicturePoint {
  double x = 0, y = 0;
};
/// Where a point appears; empty when it lies behind the eye.
std::optional<PicturePoint> project(const Camera& camera, double aspect, const Vec3& p_mm);

struct Ray {
  Vec3 from_mm;
  Vec3 along;  ///< unit
};
Ray ray_through(const Camera& camera, double aspect, PicturePoint at);

/// Moves that a mouse or key asks for. Amounts are parts of the picture's height.
Camera orbited(Camera camera, double across, double down);
Camera shifted(Camera camera, double across, double down);
Camera nearer(Camera camera, double factor);  ///< distance divided by `factor`, kept within 50 mm .. 50 m
Camera fitted(Camera camera, const AxisBox& box, double aspect);

}  // namespace hosefit
