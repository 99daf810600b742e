// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/piece_measure.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace hosefit {
namespace {

constexpr double kTurn_rad = 2 * std::numbers::pi;

// The arc's plane: unit vectors to its start and a quarter turn on.
struct ArcAxes {
  double radius_mm;
  Vec3 to_start, quarter;
  explicit ArcAxes(const Arc& arc)
      : radius_mm(arc.radius_mm()),
        to_start((arc.start_mm - arc.centre_mm) / radius_mm),
        quarter(arc.normal.cross(to_start)) {}
  Vec3 at(const Arc& arc, double angle_rad) const {
    return arc.centre_mm + radius_mm * (std::cos(angle_rad) * to_start + std::sin(angle_rad) * quarter);
  }
};

double positive_angle(double angle_rad) {
  return angle_rad < 0 ? angle_rad + kTurn_rad : angle_rad;
}

Vec3 nearest_on(const Straight& straight, const Vec3& p_mm) {
  const Vec3 run = straight.to_mm - straight.from_mm;
  const double square = run.squaredNorm();
  const double t = square > 0 ? std::clamp((p_mm - straight.from_mm).dot(run) / square, 0.0, 1.0) : 0.0;
  return straight.from_mm + t * run;
}

Vec3 nearest_on(const Arc& arc, const Vec3& p_mm) {
  const ArcAxes axes(arc);
  const Vec3 q = p_mm - arc.centre_mm;
  const double angle = positive_angle(std::atan2(q.dot(axes.quarter), q.dot(axes.to_start)));
  if (angle <= arc.angle_rad) return axes.at(arc, angle);
  const Vec3 end = axes.at(arc, arc.angle_rad);
  return (p_mm - arc.start_mm).squaredNorm() <= (p_mm - end).squaredNorm() ? arc.start_mm : end;
}

}  // namespace

Vec3 nearest_point(const Piece& piece, const Vec3& p_mm) {
  return std::visit([&](const auto& p) { return nearest_on(p, p_mm); }, piece);
}

double distance_mm(const Piece& piece, const Vec3& p_mm) {
  return (p_mm - nearest_point(piece, p_mm)).norm();
}

double nearest_s_mm(const Piece& piece, const Vec3& p_mm) {
  const Vec3 nearest = nearest_point(piece, p_mm);
  if (const auto* straight = std::get_if<Straight>(&piece)) return (nearest - straight->from_mm).norm();
  const Arc& arc = std::get<Arc>(piece);
  const ArcAxes axes(arc);
  const Vec3 q = nearest - arc.centre_mm;
  const double angle = std::atan2(q.dot(axes.quarter), q.dot(axes.to_start));
  return axes.radius_mm * std::clamp(angle > -1e-12 ? angle : angle + kTurn_rad, 0.0, arc.angle_rad);
}

AxisBox bounds(const Piece& piece) {
  AxisBox box;
  if (const auto* straight = std::get_if<Straight>(&piece)) {
    box.extend(straight->from_mm);
    box.extend(straight->to_mm);
    return box;
  }
  const Arc& arc = std::get<Arc>(piece);
  const ArcAxes axes(arc);
  box.extend(arc.start_mm);
  box.extend(axes.at(arc, arc.angle_rad));
  for (int k = 0; k < 3; ++k) {
    const double top = std::atan2(axes.quarter[k], axes.to_start[k]);
    for (const double angle : {positive_angle(top), positive_angle(top - std::numbers::pi)})
      if (angle < arc.angle_rad) box.extend(axes.at(arc, angle));
  }
  return box;
}

Piece cut(const Piece& piece, double from_s_mm, double to_s_mm) {
  if (std::holds_alternative<Straight>(piece))
    return Straight{point_at(piece, from_s_mm), point_at(piece, to_s_mm)};
  const Arc& arc = std::get<Arc>(piece);
  return Arc{point_at(piece, from_s_mm), arc.centre_mm, arc.normal, (to_s_mm - from_s_mm) / arc.radius_mm()};
}

}  // namespace hosefit
