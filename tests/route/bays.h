// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cmath>
#include <memory>
#include <numbers>
#include <string>
#include <vector>

#include "solver/base/dice.h"
#include "solver/route/lines.h"

/// Small bays, stock and gap tables for the tests of routing. All values are made up for the test.
namespace hosefit::test {

inline GapTable even_gaps(double gap_mm) {
  std::vector<GapRow> rows;
  for (const Runner runner : {Runner::hose, Runner::clamp, Runner::rigid_part})
    for (const Hazard hazard : kHazards)
      for (const bool same : {false, true})
        rows.push_back({"row", runner, hazard, same, Length::mm(gap_mm), Length::mm(gap_mm), {}});
  return GapTable(rows);
}

inline Stock tube(double radius_mm = 60) {
  Stock s;
  s.id = "tube 38";
  s.make = Make::bent_tube;
  s.bore = s.outside_diameter = Length::mm(38);
  s.radii = {Length::mm(radius_mm), Length::mm(1.5 * radius_mm)};
  s.most_bend = Angle::deg(150);
  s.straight_between = Length::mm(20);
  s.cuff = Length::mm(28);
  s.coupler_outside = Length::mm(48);
  s.coupler_gap = Length::mm(10);
  return s;
}

/// Smooth hose of any length that bends to a given radius; the plainest rules there are.
inline Stock hose(double radius_mm = 60, double od_mm = 30) {
  Stock s;
  s.id = "hose";
  s.make = Make::straight_hose;
  s.bore = Length::mm(38);
  s.outside_diameter = Length::mm(od_mm);
  s.radii = {Length::mm(radius_mm)};
  s.most_bend = Angle::deg(150);
  return s;
}

inline Stock corrugated(std::vector<double> lengths_mm) {
  Stock s;
  s.id = "flex 38";
  s.make = Make::corrugated_hose;
  s.bore = Length::mm(38);
  s.outside_diameter = Length::mm(48);
  s.radii = {Length::mm(80)};
  s.most_bend = Angle::deg(120);
  s.cuff = Length::mm(50);
  s.cuff_trim = Length::mm(15);
  for (const double length : lengths_mm) s.lengths.push_back(Length::mm(length));
  return s;
}

inline Stock elbow_set() {
  Stock s;
  s.id = "elbows 38";
  s.make = Make::elbows_and_straights;
  s.bore = Length::mm(38);
  s.outside_diameter = Length::mm(48);
  s.radii = {Length::mm(48)};
  for (const double angle : {23.0, 30.0, 45.0, 60.0, 90.0, 135.0}) s.angles.push_back(Angle::deg(angle));
  s.most_bend = Angle::deg(135);
  s.straight_between = Length::mm(60);
  s.leg = Length::mm(152);
  return s;
}

inline PlacedNeck neck(std::string name, const Vec3& end, const Vec3& outward, double od_mm = 38) {
  PlacedNeck n;
  n.name = std::move(name);
  n.end_mm = end;
  n.outward = outward.normalized();
  n.outside_diameter = Length::mm(od_mm);
  n.bore = Length::mm(od_mm - 4);
  n.straight = Length::mm(35);
  return n;
}

inline Obstacle solid(std::string name, Shape shape) {
  Obstacle o;
  o.name = std::move(name);
  o.shape = std::move(shape);
  return o;
}

inline Obstacle box(std::string name, const Vec3& least, const Vec3& most) {
  return solid(std::move(name), BoxShape{Pose::translation((least + most) / 2), (most - least) / 2});
}

/// One body with these obstacles and one line between two necks.
inline Bay bay_of(std::vector<Obstacle> obstacles, const PlacedNeck& from, const PlacedNeck& to, Make make,
                  Grade grade = Grade::free) {
  Bay bay;
  Body body;
  body.name = "bay";
  body.obstacles = std::move(obstacles);
  bay.bodies.push_back({std::make_shared<const Body>(std::move(body)), Pose{}});
  bay.necks = {from, to};
  BayLine line;
  line.line.name = "line";
  line.line.makes = {make};
  line.line.grade = grade;
  line.from = 0;
  line.to = 1;
  bay.lines.push_back(line);
  return bay;
}

inline Bay moved(Bay bay, const Pose& pose) {
  for (PlacedBody& body : bay.bodies) body.pose = pose * body.pose;
  for (PlacedNeck& n : bay.necks) {
    n.end_mm = pose.point(n.end_mm);
    n.outward = pose.direction(n.outward);
  }
  for (BoxShape& known : bay.known_space) known.frame = pose * known.frame;
  return bay;
}

inline Bay turned_round(Bay bay) {
  for (BayLine& line : bay.lines) std::swap(line.from, line.to);
  return bay;
}

inline LineSearch route_one(const Bay& bay, const Stock& stock, double gap_mm = 10,
                            RouteOptions options = {}) {
  FieldStore store;
  const std::vector<Stock> on_sale{stock};
  return route_lines(bay, store, even_gaps(gap_mm), on_sale, options).front();
}

/// Least distance from surface to surface along a route, minus the gap: dense samples against closed forms.
/// No code of field/.
inline double brute_force_spare_mm(const Bay& bay, const Route& route, double gap_mm, double step_mm = 0.25) {
  double least = 1e300;
  const double length = length_mm(route.centreline);
  for (double s = 0; s <= length; s += step_mm) {
    const Vec3 p = point_at(route.centreline, s);
    double od = 0;
    for (const RouteSection& section : route.sections)
      if (s >= section.from_s_mm && s <= section.to_s_mm) od = std::max(od, section.outside_diameter_mm);
    for (const PlacedBody& placed : bay.bodies)
      for (const Obstacle& o : placed.body->obstacles)
        least = std::min(least, signed_distance_mm(o.shape, placed.pose.point_inverse(p)) - od / 2 - gap_mm);
  }
  return least;
}

inline Vec3 any_direction(Dice& dice) {
  const double z = dice.between(-1, 1), a = dice.between(0, 2 * std::numbers::pi);
  const double r = std::sqrt(1 - z * z);
  return {r * std::cos(a), r * std::sin(a), z};
}

inline Pose any_pose(Dice& dice, double reach_mm) {
  const Vec3 z = any_direction(dice);
  Vec3 x = any_direction(dice);
  while (x.cross(z).norm() < 0.1) x = any_direction(dice);
  const Vec3 origin(dice.between(-reach_mm, reach_mm), dice.between(-reach_mm, reach_mm),
                    dice.between(-reach_mm, reach_mm));
  return Pose::from_axes(origin, z, x);
}

inline Shape any_shape(Dice& dice, const Vec3& centre) {
  const double size = dice.between(20, 90);
  const Vec3 axis = any_direction(dice);
  const Vec3 a = centre - dice.between(0.3, 1.6) * size * axis,
             b = centre + dice.between(0.3, 1.6) * size * axis;
  switch (dice.below(5)) {
    case 0: {
      Pose frame = any_pose(dice, 1);
      frame.origin_mm = centre;
      return BoxShape{frame,
                      size * Vec3(dice.between(0.2, 1.2), dice.between(0.2, 1.2), dice.between(0.2, 1.2))};
    }
    case 1:
      return CylinderShape{a, b, size * dice.between(0.15, 0.7)};
    case 2:
      return CapsuleShape{a, b, size * dice.between(0.15, 0.7)};
    case 3:
      return SphereShape{centre, size * dice.between(0.4, 1.0)};
    default:
      return ConeShape{a, b, size * dice.between(0.3, 0.7), size * dice.between(0.05, 0.3)};
  }
}

/// A bay with a route known to exist: a random chain of bends is drawn first, and only obstacles that keep
/// its gap, with `spare_mm` to spare, are put in, many of them close to it or across the straight way between
/// the necks.
struct WitnessBay {
  Bay bay;
  double witness_length_mm = 0;
  std::size_t witness_bends = 0;
};

inline WitnessBay witness_bay(std::uint64_t task, const Stock& stock, double gap_mm, double spare_mm,
                              int obstacles) {
  Dice dice(RunSeed{2024}, task);
  const double radius = stock.radii.front().mm();
  for (;;) {
    FilletChain chain;
    const std::size_t bends = 2 + dice.below(3);
    chain.points_mm.push_back(Vec3::Zero());
    Vec3 along = any_direction(dice);
    for (std::size_t i = 0; i <= bends; ++i) {
      chain.points_mm.push_back(chain.points_mm.back() + dice.between(130, 300) * along);
      Vec3 next = any_direction(dice);
      while (next.dot(along) < -0.25 || next.dot(along) > 0.9) next = any_direction(dice);
      along = next;
    }
    chain.radii_mm.assign(bends, radius);
    const std::optional<Centreline> line = centreline_of(chain);
    if (!line) continue;
    const double length = length_mm(*line);
    const double radius_run = std::max(stock.outside_diameter.mm(), stock.coupler_outside.mm()) / 2;
    bool tangled = false;
    for (double s = 0; s < length; s += 10)
      for (double t = s + 3.2 * radius; t < length; t += 10)
        tangled = tangled || (point_at(*line, s) - point_at(*line, t)).norm() < 2 * radius_run + gap_mm + 10;
    if (tangled) continue;

    const auto keeps_clear = [&](const Shape& shape) {
      for (double s = -40; s <= length + 40; s += 4) {
        const Vec3 p = s < 0        ? Vec3(start_point(*line) + s * start_direction(*line))
                       : s > length ? Vec3(end_point(*line) + (s - length) * end_direction(*line))
                                    : point_at(*line, s);
        if (signed_distance_mm(shape, p) < radius_run + gap_mm + spare_mm + 0.05) return false;
      }
      return true;
    };
    std::vector<Obstacle> placed;
    for (int tries = 0; tries < 40 * obstacles && static_cast<int>(placed.size()) < obstacles; ++tries) {
      const Vec3 on_line =
          dice.unit() < 0.5
              ? point_at(*line, dice.between(0, length))
              : Vec3(start_point(*line) + dice.unit() * (end_point(*line) - start_point(*line)));
      const Shape shape = any_shape(dice, on_line + dice.between(0, 140) * any_direction(dice));
      if (keeps_clear(shape)) placed.push_back(solid("obstacle " + std::to_string(placed.size()), shape));
    }
    const PlacedNeck from = neck("a", start_point(*line), start_direction(*line));
    const PlacedNeck to = neck("b", end_point(*line), -end_direction(*line));
    return {bay_of(std::move(placed), from, to, stock.make), length, bends};
  }
}

}  // namespace hosefit::test
