// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/connection.h"

#include <cmath>
#include <numbers>

namespace hosefit {
namespace {

constexpr int kRounds = 60;
constexpr int kFixedPointRounds = 12;
constexpr double kSettled = 1e-11;  // ten times larger still leaves ends within 1e-8 mm
constexpr double kNoBend_rad = 1e-9;
constexpr double kOneArc = 1e-9;  // of the radius

// From the start of an arc of radius 1 that turns travel d into travel u to its end.
Vec3 arc_chord(const Vec3& d, const Vec3& u) {
  const double c = d.dot(u);
  const Vec3 across = u - c * d;
  const double s = across.norm();
  if (s < 1e-14) return c > 0 ? Vec3(Vec3::Zero()) : Vec3(2.0 * any_perpendicular(d));
  return s * d + (1 - c) / s * across;
}

class Settler {
 public:
  Settler(const Heading& from, const Heading& to, double radius_mm)
      : from_(from), to_(to), radius_mm_(radius_mm) {}

  // The straight, were its direction `along`: a solution has them parallel.
  Vec3 straight(const Vec3& along) const {
    return to_.at_mm - from_.at_mm -
           radius_mm_ * (arc_chord(from_.along, along) + arc_chord(along, to_.along));
  }

  // Fixed-point rounds settle in a few steps where the ends are far apart; Newton's take over where they are
  // near.
  std::optional<Connection> settle(Vec3 along) const {
    for (int round = 0; round < kRounds; ++round) {
      const Vec3 s = straight(along);
      const double length = s.norm();
      if (length < 1e-9 * radius_mm_) return std::nullopt;
      const Vec3 next = s / length;
      if ((next - along).norm() < kSettled) return connection(next);
      along = round < kFixedPointRounds ? next : careful(along, next);
    }
    return std::nullopt;
  }

 private:
  // Newton's step where it gets nearer, else half the fixed-point step: that one swings, but seldom runs
  // away.
  Vec3 careful(const Vec3& along, const Vec3& next) const {
    const Vec3 tried = newton(along);
    const bool nearer = (straight(tried).normalized() - tried).norm() < 0.9 * (next - along).norm();
    return nearer ? tried : Vec3((next + along).normalized());
  }

  Vec3 newton(const Vec3& along) const {
    constexpr double h = 1e-6;
    const Vec3 a = any_perpendicular(along), b = along.cross(a);
    const auto miss = [&](const Vec3& u) -> Vec2 {
      const Vec3 off = straight(u).normalized() - u;
      return {off.dot(a), off.dot(b)};
    };
    const Vec2 now = miss(along);
    const Vec2 by_a = (miss((along + h * a).normalized()) - now) / h,
               by_b = (miss((along + h * b).normalized()) - now) / h;
    const double determinant = by_a.x() * by_b.y() - by_a.y() * by_b.x();
    if (std::abs(determinant) < 1e-12) return (along + 0.1 * a).normalized();
    Vec2 step(-(now.x() * by_b.y() - now.y() * by_b.x()) / determinant,
              -(by_a.x() * now.y() - by_a.y() * now.x()) / determinant);
    if (step.norm() > 0.5) step *= 0.5 / step.norm();
    return (along + step.x() * a + step.y() * b).normalized();
  }

  std::optional<Connection> connection(const Vec3& along) const {
    Connection c;
    c.along = along;
    c.straight_mm = straight(along).dot(along);
    if (c.straight_mm < 0) return std::nullopt;
    c.first_bend_rad = angle_between(from_.along, along);
    c.second_bend_rad = angle_between(along, to_.along);
    c.length_mm = c.straight_mm + radius_mm_ * (c.first_bend_rad + c.second_bend_rad);
    return c;
  }

  const Heading& from_;
  const Heading& to_;
  double radius_mm_;
};

}  // namespace

std::optional<Connection> connect(const Heading& from, const Heading& to, double radius_mm) {
  const Vec3 chord = to.at_mm - from.at_mm;
  const double distance = chord.norm();
  if (distance < 1e-6) return std::nullopt;
  // One arc alone: any direction between the headings would do for a straight of no length, so nothing
  // settles.
  if ((chord - radius_mm * arc_chord(from.along, to.along)).norm() < kOneArc * radius_mm) {
    const double bend = angle_between(from.along, to.along);
    return Connection{bend, 0, 0, radius_mm * bend, to.along};
  }
  return Settler(from, to, radius_mm).settle(chord / distance);
}

std::optional<Connection> shortest_connection(const Heading& from, const Heading& to, double radius_mm) {
  std::optional<Connection> best = connect(from, to, radius_mm);
  const Vec3 chord = (to.at_mm - from.at_mm).normalized();
  const Vec3 side = any_perpendicular(chord);
  const Vec3 other_side = chord.cross(side);
  for (const double tilt : {0.3, 1.0})
    for (int k = 0; k < 6; ++k) {
      const double roll = 2 * std::numbers::pi * k / 6;
      const Vec3 start = (chord + tilt * (std::cos(roll) * side + std::sin(roll) * other_side)).normalized();
      const std::optional<Connection> found = Settler(from, to, radius_mm).settle(start);
      if (found && (!best || found->length_mm < best->length_mm - 1e-9)) best = found;
    }
  return best;
}

Arc arc_from(const Heading& from, const Vec3& inward, double radius_mm, double angle_rad) {
  return Arc{from.at_mm, from.at_mm + radius_mm * inward, from.along.cross(inward), angle_rad};
}

Centreline pieces_of(const Connection& connection, const Heading& from, const Heading& to, double radius_mm) {
  Centreline line;
  const auto inward = [](const Vec3& d, const Vec3& towards) -> Vec3 {
    const Vec3 across = towards - towards.dot(d) * d;
    return across.norm() < 1e-14 ? any_perpendicular(d) : Vec3(across.normalized());
  };
  Vec3 at = from.at_mm;
  if (connection.first_bend_rad > kNoBend_rad) {
    const Piece arc =
        arc_from(from, inward(from.along, connection.along), radius_mm, connection.first_bend_rad);
    at = point_at(arc, length_mm(arc));
    line.pieces.push_back(arc);
  }
  const Vec3 straight_end = at + connection.straight_mm * connection.along;
  if (connection.straight_mm > 1e-9) line.pieces.push_back(Straight{at, straight_end});
  if (connection.second_bend_rad > kNoBend_rad)
    line.pieces.push_back(arc_from({straight_end, connection.along}, inward(connection.along, to.along),
                                   radius_mm, connection.second_bend_rad));
  return line;
}

std::optional<Aim> aim_at(const Heading& from, const Vec3& point_mm, double radius_mm) {
  const Vec3 to = point_mm - from.at_mm;
  const double ahead = to.dot(from.along);
  const Vec3 across = to - ahead * from.along;
  const double offset = across.norm();
  Aim aim;
  aim.inward = offset > 1e-9 ? Vec3(across / offset) : any_perpendicular(from.along);
  const double from_centre = std::hypot(ahead, offset - radius_mm);
  if (from_centre <= radius_mm) return std::nullopt;
  // Closed form of arc then straight in the plane of the heading and the point.
  double bend = std::atan2(offset - radius_mm, ahead) + std::asin(radius_mm / from_centre);
  bend = std::fmod(bend + 4 * std::numbers::pi, 2 * std::numbers::pi);
  if (bend > 2 * std::numbers::pi - 1e-9) bend = 0;
  aim.bend_rad = bend;
  aim.straight_mm = std::sqrt(from_centre * from_centre - radius_mm * radius_mm);
  return aim;
}

}  // namespace hosefit
