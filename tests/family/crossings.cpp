// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/family/crossings.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "tests/support/random_shapes.h"

namespace hosefit::family {
namespace {

constexpr double kRoomBehindNecks_mm = 75.0;  // hose on a neck, its clamp, and some

std::optional<Centreline> curve_through(const std::vector<Vec3>& points, double radius) {
  FilletChain chain;
  chain.points_mm = points;
  chain.radii_mm.assign(points.size() - 2, radius);
  return centreline_of(chain);
}

bool has_leads(const Centreline& line, const Hose& hose) {
  const auto straight = [&](const Piece& piece) {
    return std::holds_alternative<Straight>(piece) && length_mm(piece) > hose.lead_mm() + 0.5;
  };
  return straight(line.pieces.front()) && straight(line.pieces.back());
}

// A direction that makes an angle between two with another.
Vec3 turned_from(Dice& dice, const Vec3& along, double least_deg, double most_deg) {
  const double angle = dice.between(least_deg, most_deg) * std::numbers::pi / 180;
  const double roll = dice.between(0, 2 * std::numbers::pi);
  const Vec3 a = any_perpendicular(along), b = along.cross(a);
  return std::cos(angle) * along + std::sin(angle) * (std::cos(roll) * a + std::sin(roll) * b);
}

double tangent_mm(const Hose& hose, const Vec3& in, const Vec3& out) {
  return hose.radius_mm * std::tan(std::acos(std::clamp(in.dot(out), -1.0, 1.0)) / 2);
}

// Two more points behind a place left along `out`: a bend there, a bend further on, and the neck's end.
void add_tail(std::vector<Vec3>& points, Dice& dice, const Hose& hose, const Vec3& at, const Vec3& out) {
  const Vec3 second = turned_from(dice, out, 30, 80);
  const Vec3 third = turned_from(dice, second, 30, 90);
  const double t1 = tangent_mm(hose, out, second), t2 = tangent_mm(hose, second, third);
  const Vec3 p1 = at + (t1 + dice.between(2, 60)) * out;
  const Vec3 p2 = p1 + (t1 + t2 + dice.between(2, 80)) * second;
  points.push_back(p1);
  points.push_back(p2);
  points.push_back(p2 + (t2 + hose.lead_mm() + dice.between(2, 50)) * third);
}

AxisBox room_round(const Centreline& line, double margin) {
  AxisBox box;
  for (double s = 0; s < length_mm(line); s += 5) box.extend(point_at(line, s));
  box.extend(end_point(line));
  box.min().array() -= margin;
  box.max().array() += margin;
  return box;
}

bool all_clear(const std::vector<Obstacle>& obstacles, const Centreline& line, Hose hose, double missing) {
  hose.gap_mm -= missing > 0 ? missing + 0.03 : 0;
  for (const Obstacle& o : obstacles)
    if (!keeps_clear(o.shape, line, hose, 0)) return false;
  return true;
}

}  // namespace

FamilyBay any_clutter(Dice& dice, int obstacles, double spare_mm) {
  for (;;) {
    const Hose hose = any_hose(dice);
    const std::size_t bends = 3 + dice.below(2);
    std::vector<Vec3> points{Vec3::Zero()};
    Vec3 along = test::random_direction(dice);
    for (std::size_t i = 0; i <= bends; ++i) {
      points.push_back(points.back() + dice.between(1.6, 4) * hose.radius_mm * along);
      along = turned_from(dice, along, 30, 100);
    }
    const std::optional<Centreline> line = curve_through(points, hose.radius_mm);
    if (!line || !has_leads(*line, hose) || !untangled(*line, hose)) continue;
    std::vector<Obstacle> placed;
    add_clutter(placed, dice, *line, hose, spare_mm, obstacles);
    return finished(dice, std::move(placed), *line, hose);
  }
}

FamilyBay any_slot(Dice& dice, Opening opening, double spare_mm) {
  for (;;) {
    const Hose hose = any_hose(dice);
    Window window;
    window.half_thickness = dice.between(3, 25);
    window.half_y = hose.keep_off_mm() + spare_mm;
    window.half_z = hose.keep_off_mm() + dice.between(5, 40);
    if (dice.below(2) == 0) std::swap(window.half_y, window.half_z);
    const Vec3 edge(window.half_thickness, 0, 0);
    std::vector<Vec3> before, points;
    add_tail(before, dice, hose, -edge, -Vec3::UnitX());
    points.assign(before.rbegin(), before.rend());
    add_tail(points, dice, hose, edge, Vec3::UnitX());
    const std::optional<Centreline> line = curve_through(points, hose.radius_mm);
    if (!line || !has_leads(*line, hose) || !untangled(*line, hose)) continue;
    const AxisBox room = room_round(*line, hose.keep_off_mm() + kRoomBehindNecks_mm);
    std::vector<Obstacle> obstacles;
    add_room(obstacles, room);
    if (opening == Opening::slot)
      add_wall(obstacles, room, window);
    else
      add_wall_with_hole(obstacles, room, window, hose.keep_off_mm() + spare_mm);
    const double missing = std::max(0.0, -spare_mm);
    if (!all_clear(obstacles, *line, hose, missing)) continue;
    add_clutter(obstacles, dice, *line, hose, 1.5, 12);
    FamilyBay out = finished(dice, std::move(obstacles), *line, hose);
    out.missing_mm = missing;
    return out;
  }
}

FamilyBay any_zigzag(Dice& dice, int walls) {
  for (;;) {
    const Hose hose = any_hose(dice);
    const double slant = dice.between(20, 40) * std::numbers::pi / 180;
    const double roll = dice.between(0, 2 * std::numbers::pi);
    const Vec3 across(0, std::cos(roll), std::sin(roll));
    const auto leg = [&](int i) -> Vec3 {
      // The plane of the zigzag turns a little from leg to leg.
      const Vec3 twist = 0.25 * test::random_direction(dice);
      return (std::cos(slant) * Vec3::UnitX() + (i % 2 == 0 ? 1 : -1) * std::sin(slant) * across +
              Vec3(0, twist.y(), twist.z()))
          .normalized();
    };
    std::vector<Vec3> ways;
    for (int i = 0; i < walls + 2; ++i) ways.push_back(leg(i));
    std::vector<Vec3> points{Vec3::Zero()};
    std::vector<Window> windows;
    for (int i = 0; i < walls + 2; ++i) {
      const auto k = static_cast<std::size_t>(i);
      const double before = i > 0 ? tangent_mm(hose, ways[k - 1], ways[k]) : hose.lead_mm();
      const double after = i < walls + 1 ? tangent_mm(hose, ways[k], ways[k + 1]) : hose.lead_mm();
      const bool walled = i > 0 && i < walls + 1;
      Window w;
      w.half_thickness = dice.between(3, 10);
      const double thick = walled ? 2 * w.half_thickness / ways[k].x() : 0;
      const Vec3 at = points.back() + (before + dice.between(3, 40) + thick / 2) * ways[k];
      points.push_back(at + (after + dice.between(3, 40) + thick / 2) * ways[k]);
      if (!walled) continue;
      const double spare = dice.between(0.3, 3);
      w.x = at.x();
      w.y = at.y();
      w.z = at.z();
      for (const int axis : {1, 2}) {
        const double lean = std::abs(ways[k][axis]) / ways[k].x();
        const double half = (hose.keep_off_mm() + spare) * std::hypot(1, lean) + lean * w.half_thickness;
        (axis == 1 ? w.half_y : w.half_z) = half;
      }
      windows.push_back(w);
    }
    const std::optional<Centreline> line = curve_through(points, hose.radius_mm);
    if (!line || !has_leads(*line, hose) || !untangled(*line, hose)) continue;
    const AxisBox room = room_round(*line, hose.keep_off_mm() + kRoomBehindNecks_mm);
    std::vector<Obstacle> obstacles;
    add_room(obstacles, room);
    for (const Window& w : windows) add_wall(obstacles, room, w);
    if (!all_clear(obstacles, *line, hose, 0)) continue;
    return finished(dice, std::move(obstacles), *line, hose);
  }
}

FamilyBay any_facing_wall(Dice& dice, double spare_mm) {
  for (;;) {
    const Hose hose = any_hose(dice);
    const double ahead = hose.lead_mm() + hose.radius_mm;  // with a bend of 90 deg or more
    std::vector<Vec3> points{Vec3::Zero(), Vec3(ahead, 0, 0)};
    const double roll = dice.between(0, 2 * std::numbers::pi);
    const Vec3 second(0, std::cos(roll), std::sin(roll));
    Vec3 third = turned_from(dice, second, 30, 80);
    third.x() = -std::abs(third.x());
    Vec3 fourth = turned_from(dice, third, 30, 90);
    if (fourth.x() > 0) continue;
    const double t2 = tangent_mm(hose, second, third), t3 = tangent_mm(hose, third, fourth);
    points.push_back(points.back() + (hose.radius_mm + t2 + dice.between(5, 150)) * second);
    points.push_back(points.back() + (t2 + t3 + dice.between(5, 150)) * third);
    points.push_back(points.back() + (t3 + hose.lead_mm() + dice.between(5, 80)) * fourth);
    const std::optional<Centreline> line = curve_through(points, hose.radius_mm);
    if (!line || !untangled(*line, hose) || points.back().norm() < 2 * hose.radius_mm) continue;
    AxisBox room = room_round(*line, hose.keep_off_mm() + kRoomBehindNecks_mm);
    room.max().x() = ahead + hose.keep_off_mm() + spare_mm;
    std::vector<Obstacle> obstacles;
    add_room(obstacles, room);
    const double missing = std::max(0.0, -spare_mm);
    if (!all_clear(obstacles, *line, hose, missing)) continue;
    add_clutter(obstacles, dice, *line, hose, 1.0, 30);
    FamilyBay out = finished(dice, std::move(obstacles), *line, hose);
    out.missing_mm = missing;
    return out;
  }
}

}  // namespace hosefit::family
