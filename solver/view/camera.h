// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <optional>
#include <string_view>
#include <vector>

#include "solver/geometry/vec.h"

/// Where a picture is seen from. Pure values; pixels run right and down from the picture's upper left corner,
/// pixel (i, j) covers i..i+1, j..j+1.
namespace hosefit {

/// Sides of the vehicle; left and right as seated. three_quarter: from the front, the left and above.
enum class Side { front, rear, left, right, top, bottom, three_quarter };
inline constexpr std::array kSides{Side::front, Side::rear,   Side::left,         Side::right,
                                   Side::top,   Side::bottom, Side::three_quarter};
std::string_view word(Side side);  ///< as an option value: "three-quarter"
std::optional<Side> side_named(std::string_view name);

enum class Projection { orthographic, perspective };

/// right, up and towards (from the scene to the viewer) are unit, square to each other and right-handed.
struct Camera {
  Vec3 target_mm = Vec3::Zero();  ///< seen at middle_px; the scale holds in the plane through it
  Vec3 right = Vec3::UnitX(), up = Vec3::UnitY(), towards = Vec3::UnitZ();
  Projection projection = Projection::orthographic;
  double distance_mm = 1000;  ///< from the target to the eye; for orthographic to where rays start
  Vec2 middle_px = Vec2::Zero();
  double px_per_mm = 1;  ///< > 0
};

/// x and y in pixels; z: mm in front of the eye, square to the picture.
Vec3 project(const Camera& camera, const Vec3& p_mm);

struct Ray {
  Vec3 origin_mm;
  Vec3 direction;  ///< unit
};
Ray ray_through(const Camera& camera, double x_px, double y_px);

/// A camera turned to look along -towards with `up_hint` up (or the vehicle's front up when looking along
/// it).
Camera looking(const Vec3& towards, const Vec3& up_hint, Projection projection);
Camera looking_from(Side side);

struct PixelBox {
  double left = 0, top = 0, right = 0, bottom = 0;
  double width() const { return right - left; }
  double height() const { return bottom - top; }
};
bool overlap(const PixelBox& a, const PixelBox& b);
bool holds(const PixelBox& outer, const PixelBox& inner);

/// The camera moved and scaled so that all points fill the box in its tighter direction, in the middle of it.
/// At least one point.
Camera fitted(Camera camera, const std::vector<Vec3>& points_mm, const PixelBox& box);

}  // namespace hosefit
