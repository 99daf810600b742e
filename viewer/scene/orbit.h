// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <optional>

#include "solver/view/camera.h"

namespace hosefit {

/// A camera that a mouse leads: looks at a point from a distance, upright. Turn 0 looks rearward (+X) from in
/// front of the vehicle; positive turns walk to the vehicle's right side; rise is how far above level the eye
/// stands.
struct Orbit {
  Vec3 target_mm = Vec3::Zero();
  double turn_rad = -0.6;
  double rise_rad = 0.8;
  double distance_mm = 2500;
  friend bool operator==(const Orbit&, const Orbit&) = default;
};

inline constexpr double kViewAngle_rad = 0.5;  ///< of the picture's height: about an 80 mm lens

/// The same as a camera of pictures, for a picture that is 1 high and `aspect` wide.
Camera camera_of(const Orbit& camera, double aspect);
Vec3 view_direction(const Orbit& camera);  ///< unit, from the eye to the target
Vec3 right_of(const Orbit& camera);
Vec3 up_of(const Orbit& camera);

/// Column by column, vehicle millimetres to clip space, as OpenGL wants it. `aspect` = width / height.
std::array<float, 16> clip_matrix(const Orbit& camera, double aspect);

/// A place in the picture: x to the right, y down, both 0 .. 1 inside it.
struct PicturePoint {
  double x = 0, y = 0;
};
/// Where a point appears; empty when it lies behind the eye.
std::optional<PicturePoint> project(const Orbit& camera, double aspect, const Vec3& p_mm);

Ray ray_through(const Orbit& camera, double aspect, PicturePoint at);

/// Moves that a mouse or key asks for. Amounts are parts of the picture's height.
Orbit orbited(Orbit camera, double across, double down);
Orbit shifted(Orbit camera, double across, double down);
Orbit nearer(Orbit camera, double factor);  ///< distance divided by `factor`, kept within 50 mm .. 50 m
Orbit fitted(Orbit camera, const AxisBox& box, double aspect);

}  // namespace hosefit
