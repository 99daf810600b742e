// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/view/camera.h"

#include <algorithm>
#include <cassert>
#include <limits>

namespace hosefit {
namespace {

// Rounds of moving the target of a perspective camera; each shrinks the error by about the scene's depth over
// the distance.
constexpr int kFitRounds = 12;
// Eye distance in sizes of the scene: nearer distorts what is in front.
constexpr double kEyeAway = 2.2;

PixelBox seen_box(const Camera& camera, const std::vector<Vec3>& points_mm) {
  constexpr double far = std::numeric_limits<double>::infinity();
  PixelBox box{far, far, -far, -far};
  for (const Vec3& p : points_mm) {
    const Vec3 q = project(camera, p);
    box = {std::min(box.left, q.x()), std::min(box.top, q.y()), std::max(box.right, q.x()),
           std::max(box.bottom, q.y())};
  }
  return box;
}

}  // namespace

std::string_view word(Side side) {
  switch (side) {
    case Side::front:
      return "front";
    case Side::rear:
      return "rear";
    case Side::left:
      return "left";
    case Side::right:
      return "right";
    case Side::top:
      return "top";
    case Side::bottom:
      return "bottom";
    case Side::three_quarter:
      return "three-quarter";
  }
  return "";
}

std::optional<Side> side_named(std::string_view name) {
  for (const Side side : kSides)
    if (word(side) == name) return side;
  return std::nullopt;
}

Vec3 project(const Camera& camera, const Vec3& p_mm) {
  const Vec3 from_target = p_mm - camera.target_mm;
  const double depth = camera.distance_mm - camera.towards.dot(from_target);
  const double scale =
      camera.px_per_mm * (camera.projection == Projection::perspective ? camera.distance_mm / depth : 1.0);
  return {camera.middle_px.x() + scale * camera.right.dot(from_target),
          camera.middle_px.y() - scale * camera.up.dot(from_target), depth};
}

Ray ray_through(const Camera& camera, double x_px, double y_px) {
  const Vec3 in_plane =
      ((x_px - camera.middle_px.x()) * camera.right - (y_px - camera.middle_px.y()) * camera.up) /
      camera.px_per_mm;
  const Vec3 back = camera.distance_mm * camera.towards;
  if (camera.projection == Projection::orthographic)
    return {camera.target_mm + in_plane + back, -camera.towards};
  return {camera.target_mm + back, (in_plane - back).normalized()};
}

Camera looking(const Vec3& towards, const Vec3& up_hint, Projection projection) {
  Camera camera;
  camera.projection = projection;
  camera.towards = towards.normalized();
  Vec3 up = up_hint - up_hint.dot(camera.towards) * camera.towards;
  if (up.norm() < 0.05 * up_hint.norm()) up = -Vec3::UnitX() + camera.towards.x() * camera.towards;
  camera.up = up.normalized();
  camera.right = camera.up.cross(camera.towards);
  return camera;
}

Camera looking_from(Side side) {
  const auto straight = [](const Vec3& towards) {
    return looking(towards, Vec3::UnitZ(), Projection::orthographic);
  };
  switch (side) {
    case Side::front:
      return straight(-Vec3::UnitX());
    case Side::rear:
      return straight(Vec3::UnitX());
    case Side::left:
      return straight(-Vec3::UnitY());
    case Side::right:
      return straight(Vec3::UnitY());
    case Side::top:
      return straight(Vec3::UnitZ());
    case Side::bottom:
      return straight(-Vec3::UnitZ());
    case Side::three_quarter:
      return looking(Vec3(-1.0, -0.75, 0.85), Vec3::UnitZ(), Projection::perspective);
  }
  return straight(-Vec3::UnitX());
}

bool overlap(const PixelBox& a, const PixelBox& b) {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}
bool holds(const PixelBox& outer, const PixelBox& inner) {
  return inner.left >= outer.left && inner.right <= outer.right && inner.top >= outer.top &&
         inner.bottom <= outer.bottom;
}

Camera fitted(Camera camera, const std::vector<Vec3>& points_mm, const PixelBox& box) {
  assert(!points_mm.empty());
  AxisBox bounds;
  for (const Vec3& p : points_mm) bounds.extend(p);
  const double size_mm = std::max(1.0, bounds.diagonal().norm());
  camera.target_mm = bounds.center();
  camera.distance_mm = kEyeAway * size_mm;
  camera.middle_px = {(box.left + box.right) / 2, (box.top + box.bottom) / 2};
  camera.px_per_mm = std::min(box.width(), box.height()) / size_mm;
  for (int round = 0; round < kFitRounds; ++round) {
    const PixelBox seen = seen_box(camera, points_mm);
    const double x = (seen.left + seen.right) / 2 - camera.middle_px.x();
    const double y = (seen.top + seen.bottom) / 2 - camera.middle_px.y();
    camera.target_mm += (x * camera.right - y * camera.up) / camera.px_per_mm;
    const PixelBox centred = seen_box(camera, points_mm);
    camera.px_per_mm *= std::min(box.width() / std::max(1e-9, centred.width()),
                                 box.height() / std::max(1e-9, centred.height()));
  }
  // What the last rounds leave off-centre must not reach over the box.
  const PixelBox seen = seen_box(camera, points_mm);
  const double reach_x = std::max(seen.right - camera.middle_px.x(), camera.middle_px.x() - seen.left);
  const double reach_y = std::max(seen.bottom - camera.middle_px.y(), camera.middle_px.y() - seen.top);
  camera.px_per_mm *= std::min(box.width() / (2 * reach_x + 1e-9), box.height() / (2 * reach_y + 1e-9));
  return camera;
}

}  // namespace hosefit
