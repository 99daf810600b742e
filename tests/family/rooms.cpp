// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/family/rooms.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <numbers>

#include "tests/laws/slow_shapes.h"
#include "tests/support/random_shapes.h"

namespace hosefit::family {
namespace {

constexpr double kClampRoom_mm = 24.0;  // a clamp's housing on the hose, 20 mm, and some
constexpr double kBehindNeck_mm = 45.0;

}  // namespace

Hose any_hose(Dice& dice) {
  Hose hose;
  hose.outside_diameter_mm = dice.between(18, 42);
  hose.radius_mm = hose.outside_diameter_mm * dice.between(1.6, 3.0);
  hose.gap_mm = dice.between(3, 10);
  return hose;
}

void add(std::vector<Obstacle>& out, std::string name, Shape shape) {
  Obstacle o;
  o.name = std::move(name);
  o.shape = std::move(shape);
  out.push_back(std::move(o));
}

void add_box(std::vector<Obstacle>& out, std::string name, const Vec3& least, const Vec3& most) {
  add(out, std::move(name), BoxShape{Pose::translation((least + most) / 2), (most - least) / 2});
}

void add_room(std::vector<Obstacle>& out, const AxisBox& inside) {
  const Vec3 thick = Vec3::Constant(20);
  const Vec3 least = inside.min() - thick, most = inside.max() + thick;
  for (int axis = 0; axis < 3; ++axis) {
    Vec3 low_most = most, high_least = least;
    low_most[axis] = inside.min()[axis];
    high_least[axis] = inside.max()[axis];
    add_box(out, "room side " + std::to_string(2 * axis), least, low_most);
    add_box(out, "room side " + std::to_string(2 * axis + 1), high_least, most);
  }
}

void add_wall(std::vector<Obstacle>& out, const AxisBox& room, const Window& w) {
  const Vec3 least = room.min(), most = room.max();
  const double x0 = w.x - w.half_thickness, x1 = w.x + w.half_thickness;
  const std::string name = "wall " + std::to_string(out.size());
  add_box(out, name + " left", {x0, least.y() - 10, least.z() - 10}, {x1, w.y - w.half_y, most.z() + 10});
  add_box(out, name + " right", {x0, w.y + w.half_y, least.z() - 10}, {x1, most.y() + 10, most.z() + 10});
  add_box(out, name + " low", {x0, w.y - w.half_y, least.z() - 10}, {x1, w.y + w.half_y, w.z - w.half_z});
  add_box(out, name + " high", {x0, w.y - w.half_y, w.z + w.half_z}, {x1, w.y + w.half_y, most.z() + 10});
}

void add_wall_with_hole(std::vector<Obstacle>& out, const AxisBox& room, const Window& centre,
                        double radius) {
  constexpr int kSides = 24;
  const double corner = radius / std::cos(std::numbers::pi / kSides);
  Window square = centre;
  square.half_y = square.half_z = corner + 5;
  add_wall(out, room, square);
  // Two halves fill the square round the hole; each outline runs down the cut and back along the half circle.
  for (const int side : {-1, 1}) {
    ExtrusionShape half;
    // Outline x is the room's y, outline y its z, extruded along the room's x.
    half.frame =
        Pose::from_axes({centre.x - centre.half_thickness, centre.y, centre.z}, Vec3::UnitX(), Vec3::UnitY());
    half.height_mm = 2 * centre.half_thickness;
    const double reach = corner + 5;
    half.outline_mm.push_back({0, -side * corner});
    half.outline_mm.push_back({0, -side * reach});
    half.outline_mm.push_back({side * reach, -side * reach});
    half.outline_mm.push_back({side * reach, side * reach});
    half.outline_mm.push_back({0, side * reach});
    half.outline_mm.push_back({0, side * corner});
    for (int k = 1; k < kSides / 2; ++k) {
      const double turn = 2 * std::numbers::pi * k / kSides;
      half.outline_mm.push_back({side * corner * std::sin(turn), side * corner * std::cos(turn)});
    }
    add(out, side < 0 ? "hole left" : "hole right", half);
  }
}

Shape any_shape(Dice& dice, const Vec3& centre) {
  const double size = dice.between(20, 90);
  const Vec3 axis = test::random_direction(dice);
  const Vec3 a = centre - dice.between(0.3, 1.6) * size * axis;
  const Vec3 b = centre + dice.between(0.3, 1.6) * size * axis;
  switch (dice.below(5)) {
    case 0: {
      Pose frame = test::random_pose(dice, 1);
      frame.origin_mm = centre;
      const double x = dice.between(0.2, 1.2), y = dice.between(0.2, 1.2);
      return BoxShape{frame, size * Vec3(x, y, dice.between(0.2, 1.2))};
    }
    case 1:
      return CylinderShape{a, b, size * dice.between(0.15, 0.7)};
    case 2:
      return CapsuleShape{a, b, size * dice.between(0.15, 0.7)};
    case 3:
      return SphereShape{centre, size * dice.between(0.4, 1.0)};
    default: {
      const double wide = size * dice.between(0.3, 0.7);
      return ConeShape{a, b, wide, size * dice.between(0.05, 0.3)};
    }
  }
}

bool keeps_clear(const Shape& shape, const Centreline& witness, const Hose& hose, double spare_mm) {
  const auto off = [&](const Vec3& p) { return laws::distance_mm(shape, true, p) - hose.keep_off_mm(); };
  const double length = length_mm(witness);
  for (double s = 0; s < length;) {
    const double here = off(point_at(witness, s)) - spare_mm;
    if (here < 0.01) return false;
    s += std::max(0.02, here);
  }
  for (double s = 0; s < kBehindNeck_mm; s += 3)
    if (off(start_point(witness) - s * start_direction(witness)) < kClampRoom_mm + 2 ||
        off(end_point(witness) + s * end_direction(witness)) < kClampRoom_mm + 2)
      return false;
  return true;
}

void add_clutter(std::vector<Obstacle>& out, Dice& dice, const Centreline& witness, const Hose& hose,
                 double spare_mm, int obstacles) {
  const Vec3 from = start_point(witness), to = end_point(witness);
  int placed = 0;
  for (int tries = 0; tries < 40 * obstacles && placed < obstacles; ++tries) {
    const bool along = dice.below(2) == 0;
    const double share = dice.unit();
    const Vec3 by = along ? point_at(witness, share * length_mm(witness)) : Vec3(from + share * (to - from));
    const Vec3 off = test::random_direction(dice);
    const Shape shape = any_shape(dice, by + dice.between(0, 140) * off);
    if (!keeps_clear(shape, witness, hose, spare_mm)) continue;
    add(out, "obstacle " + std::to_string(placed), shape);
    ++placed;
  }
}

bool untangled(const Centreline& witness, const Hose& hose) {
  const double length = length_mm(witness);
  for (double s = -kBehindNeck_mm; s < length; s += 10)
    for (double t = s + std::numbers::pi * hose.radius_mm + 10; t < length + kBehindNeck_mm; t += 10) {
      const auto at = [&](double u) -> Vec3 {
        if (u < 0) return start_point(witness) + u * start_direction(witness);
        if (u > length) return end_point(witness) + (u - length) * end_direction(witness);
        return point_at(witness, u);
      };
      if ((at(s) - at(t)).norm() < hose.outside_diameter_mm + hose.gap_mm + 50) return false;
    }
  return true;
}

GapTable even_gaps(double gap_mm) {
  std::vector<GapRow> rows;
  for (const Hazard hazard : kHazards)
    for (const Runner runner : {Runner::hose, Runner::clamp, Runner::rigid_part})
      for (const bool same : {false, true})
        rows.push_back({"row", runner, hazard, same, Length::mm(gap_mm), Length::mm(gap_mm), {}});
  return GapTable(std::move(rows));
}

FamilyBay finished(Dice& dice, std::vector<Obstacle> obstacles, const Centreline& witness, const Hose& hose) {
  const Pose pose = test::random_pose(dice, 500);
  const Centreline line = transformed(witness, pose);
  FamilyBay out;
  out.gap_mm = hose.gap_mm;
  out.stock.id = "hose";
  out.stock.make = Make::straight_hose;
  out.stock.bore = Length::mm(hose.outside_diameter_mm - 8);
  out.stock.wall = Length::mm(4);
  out.stock.outside_diameter = Length::mm(hose.outside_diameter_mm);
  out.stock.radii = {Length::mm(hose.radius_mm)};
  out.stock.most_bend = Angle::deg(154);
  Body body;
  body.name = "bay";
  body.obstacles = std::move(obstacles);
  out.bay.bodies.push_back({std::make_shared<const Body>(std::move(body)), pose});
  const auto neck = [&](const char* name, const Vec3& end, const Vec3& outward) {
    PlacedNeck n;
    n.name = name;
    n.end_mm = end;
    n.outward = outward.normalized();
    n.outside_diameter = out.stock.bore;
    n.bore = out.stock.bore - Length::mm(3);
    n.straight = Length::mm(30);
    out.bay.necks.push_back(n);
  };
  neck("a", start_point(line), start_direction(line));
  neck("b", end_point(line), -end_direction(line));
  BayLine wanted;
  wanted.line.name = "line";
  wanted.line.from = "a";
  wanted.line.to = "b";
  wanted.line.makes = {Make::straight_hose};
  wanted.from = 0;
  wanted.to = 1;
  wanted.carrier = LineCarrier::chassis;
  out.bay.lines.push_back(wanted);
  BoxShape known;
  known.half_size_mm = Vec3::Constant(6000);
  out.bay.known_space = {known};
  Route& route = out.witness;
  route.stock = out.stock.id;
  route.centreline = line;
  const double length = length_mm(line);
  route.sections = {{0, length, hose.outside_diameter_mm, Runner::hose}};
  route.engagement_from_mm = route.engagement_to_mm = least_engagement_mm(out.stock.bore);
  route.pieces = {{out.stock.id, "straight hose", length + 2 * route.engagement_from_mm, 0, std::nullopt}};
  return out;
}

}  // namespace hosefit::family
