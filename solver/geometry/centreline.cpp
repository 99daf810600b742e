// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/geometry/centreline.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

namespace hosefit {
namespace {

constexpr double kNoBend_rad = 1e-9;  // ten times larger would drop a 1e-8 rad bend: 3e-6 mm over 300 mm
constexpr double kNoLength_mm = 1e-9;

Vec3 rotated(const Vec3& v, const Vec3& axis, double angle_rad) {
  return v * std::cos(angle_rad) + axis.cross(v) * std::sin(angle_rad) +
         axis * axis.dot(v) * (1 - std::cos(angle_rad));
}

// The piece holding arc length s, and s within it.
std::pair<const Piece*, double> locate(const Centreline& centreline, double s_mm) {
  assert(!centreline.pieces.empty());
  for (const Piece& piece : centreline.pieces) {
    const double l = length_mm(piece);
    if (s_mm <= l || &piece == &centreline.pieces.back()) return {&piece, std::clamp(s_mm, 0.0, l)};
    s_mm -= l;
  }
  return {&centreline.pieces.back(), 0.0};
}

}  // namespace

double length_mm(const Piece& piece) {
  if (const auto* straight = std::get_if<Straight>(&piece))
    return (straight->to_mm - straight->from_mm).norm();
  const Arc& arc = std::get<Arc>(piece);
  return arc.radius_mm() * arc.angle_rad;
}

Vec3 point_at(const Piece& piece, double s_mm) {
  if (const auto* straight = std::get_if<Straight>(&piece)) {
    const Vec3 run = straight->to_mm - straight->from_mm;
    const double l = run.norm();
    return l > 0 ? Vec3(straight->from_mm + run * (s_mm / l)) : straight->from_mm;
  }
  const Arc& arc = std::get<Arc>(piece);
  return arc.centre_mm + rotated(arc.start_mm - arc.centre_mm, arc.normal, s_mm / arc.radius_mm());
}

Vec3 direction_at(const Piece& piece, double s_mm) {
  if (const auto* straight = std::get_if<Straight>(&piece))
    return (straight->to_mm - straight->from_mm).normalized();
  const Arc& arc = std::get<Arc>(piece);
  return arc.normal.cross(point_at(piece, s_mm) - arc.centre_mm).normalized();
}

Piece transformed(const Piece& piece, const Pose& pose) {
  if (const auto* s = std::get_if<Straight>(&piece))
    return Straight{pose.point(s->from_mm), pose.point(s->to_mm)};
  const Arc& arc = std::get<Arc>(piece);
  return Arc{pose.point(arc.start_mm), pose.point(arc.centre_mm), pose.direction(arc.normal), arc.angle_rad};
}

Piece reversed(const Piece& piece) {
  if (const auto* s = std::get_if<Straight>(&piece)) return Straight{s->to_mm, s->from_mm};
  const Arc& arc = std::get<Arc>(piece);
  return Arc{point_at(piece, length_mm(piece)), arc.centre_mm, -arc.normal, arc.angle_rad};
}

double length_mm(const Centreline& centreline) {
  double sum = 0;
  for (const Piece& piece : centreline.pieces) sum += length_mm(piece);
  return sum;
}

Vec3 point_at(const Centreline& centreline, double s_mm) {
  const auto [piece, s] = locate(centreline, s_mm);
  return point_at(*piece, s);
}
Vec3 direction_at(const Centreline& centreline, double s_mm) {
  const auto [piece, s] = locate(centreline, s_mm);
  return direction_at(*piece, s);
}
Vec3 start_point(const Centreline& centreline) {
  return point_at(centreline.pieces.front(), 0);
}
Vec3 end_point(const Centreline& centreline) {
  return point_at(centreline.pieces.back(), length_mm(centreline.pieces.back()));
}
Vec3 start_direction(const Centreline& centreline) {
  return direction_at(centreline.pieces.front(), 0);
}
Vec3 end_direction(const Centreline& centreline) {
  return direction_at(centreline.pieces.back(), length_mm(centreline.pieces.back()));
}

Centreline transformed(const Centreline& centreline, const Pose& pose) {
  Centreline out;
  for (const Piece& piece : centreline.pieces) out.pieces.push_back(transformed(piece, pose));
  return out;
}

Centreline reversed(const Centreline& centreline) {
  Centreline out;
  for (const Piece& piece : centreline.pieces) out.pieces.push_back(reversed(piece));
  std::reverse(out.pieces.begin(), out.pieces.end());
  return out;
}

std::optional<double> tightest_bend_mm(const Centreline& centreline) {
  std::optional<double> least;
  for (const Piece& piece : centreline.pieces)
    if (const auto* arc = std::get_if<Arc>(&piece))
      least = std::min(least.value_or(arc->radius_mm()), arc->radius_mm());
  return least;
}

Centreline part_of(const Centreline& centreline, double from_s_mm, double to_s_mm) {
  Centreline out;
  double s = 0;
  for (const Piece& piece : centreline.pieces) {
    const double l = length_mm(piece);
    const double a = std::clamp(from_s_mm - s, 0.0, l);
    const double b = std::clamp(to_s_mm - s, 0.0, l);
    s += l;
    if (b - a <= kNoLength_mm) continue;
    if (std::holds_alternative<Straight>(piece)) {
      out.pieces.push_back(Straight{point_at(piece, a), point_at(piece, b)});
    } else {
      const Arc& arc = std::get<Arc>(piece);
      out.pieces.push_back(Arc{point_at(piece, a), arc.centre_mm, arc.normal, (b - a) / arc.radius_mm()});
    }
  }
  return out;
}

std::optional<Centreline> centreline_of(const FilletChain& chain) {
  const auto& p = chain.points_mm;
  assert(p.size() >= 2 && chain.radii_mm.size() + 2 == p.size());
  Centreline out;
  Vec3 from = p.front();
  for (std::size_t i = 1; i + 1 < p.size(); ++i) {
    const Vec3 leg_in = p[i] - p[i - 1];
    const Vec3 leg_out = p[i + 1] - p[i];
    if (leg_in.norm() < kNoLength_mm || leg_out.norm() < kNoLength_mm) return std::nullopt;
    const Vec3 u = leg_in.normalized();
    const Vec3 v = leg_out.normalized();
    const double bend_rad = angle_between(u, v);
    if (bend_rad < kNoBend_rad) continue;
    if (std::numbers::pi - bend_rad < 1e-6) return std::nullopt;
    const double tangent_mm = chain.radii_mm[i - 1] * std::tan(bend_rad / 2);
    const Vec3 start = p[i] - tangent_mm * u;
    const double straight_mm = (start - from).dot(u);
    if (straight_mm < -kNoLength_mm * 1e3) return std::nullopt;
    if (straight_mm > kNoLength_mm) out.pieces.push_back(Straight{from, start});
    const Vec3 inward = (v - v.dot(u) * u).normalized();
    out.pieces.push_back(Arc{start, start + chain.radii_mm[i - 1] * inward, u.cross(inward), bend_rad});
    from = p[i] + tangent_mm * v;
    if ((p[i + 1] - from).dot(v) < -kNoLength_mm * 1e3) return std::nullopt;
  }
  if ((p.back() - from).norm() > kNoLength_mm) out.pieces.push_back(Straight{from, p.back()});
  if (out.pieces.empty()) return std::nullopt;
  return out;
}

BendTable bend_table(const Centreline& centreline) {
  BendTable table;
  double feed = 0;
  std::optional<Vec3> normal_before;
  for (const Piece& piece : centreline.pieces) {
    if (std::holds_alternative<Straight>(piece)) {
      feed += length_mm(piece);
      continue;
    }
    const Arc& arc = std::get<Arc>(piece);
    const Vec3 travel = direction_at(piece, 0);
    double rotate = 0;
    if (normal_before) {
      rotate = std::atan2(travel.dot(normal_before->cross(arc.normal)), normal_before->dot(arc.normal));
      if (rotate <= -std::numbers::pi) rotate = std::numbers::pi;
    }
    table.rows.push_back({feed, rotate, arc.angle_rad, arc.radius_mm()});
    normal_before = arc.normal;
    feed = 0;
  }
  table.last_straight_mm = feed;
  return table;
}

}  // namespace hosefit
