// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "solver/route/lines.h"
#include "tests/laws/slow_shapes.h"
#include "tests/support/moulded_shapes.h"
#include "tests/support/random_shapes.h"

/// Small bays thrown by dice, to hold every claim of search and proof against slow measuring. All values are
/// made up.
namespace hosefit::laws {

/// Of made-up tables where every row differs, so that a row looked up wrongly shows.
inline double table_gap_mm(Runner runner, Hazard hazard, bool same, double extra_mm) {
  const double by_runner = runner == Runner::clamp ? 1.25 : runner == Runner::rigid_part ? 0.75 : 0;
  return 4 + 0.5 * static_cast<double>(hazard) + by_runner + (same ? 0 : 2) + extra_mm;
}

inline GapTable small_gaps(double extra_mm = 0) {
  std::vector<GapRow> rows;
  for (const Hazard hazard : kHazards)
    for (const Runner runner : {Runner::hose, Runner::clamp, Runner::rigid_part})
      for (const bool same : {false, true}) {
        GapRow row;
        row.id = "row " + std::to_string(rows.size());
        row.runner = runner;
        row.hazard = hazard;
        row.same_carrier = same;
        row.at_rest = Length::mm(table_gap_mm(runner, hazard, same, extra_mm));
        row.after_motion = 0.5 * row.at_rest;
        rows.push_back(row);
      }
  return GapTable(rows);
}

inline Stock small_stock(Make make) {
  Stock s;
  s.make = make;
  s.id = std::string(word(make));
  s.bore = Length::mm(26);
  s.wall = Length::mm(4);
  s.outside_diameter = Length::mm(34);
  s.most_bend = Angle::deg(150);
  switch (make) {
    case Make::straight_hose:
      s.radii = {Length::mm(90)};
      s.straight_between = Length::mm(15);
      s.lengths = {Length::mm(900)};
      break;
    case Make::corrugated_hose:
      s.radii = {Length::mm(60)};
      s.cuff = Length::mm(45);
      s.cuff_trim = Length::mm(20);
      s.lengths = {Length::mm(280), Length::mm(360), Length::mm(450), Length::mm(560)};
      break;
    case Make::elbows_and_straights:
      s.radii = {Length::mm(40)};
      s.angles = {Angle::deg(45), Angle::deg(90), Angle::deg(135)};
      s.most_bend = Angle::deg(135);
      s.straight_between = Length::mm(60);
      s.leg = Length::mm(140);
      break;
    case Make::bent_tube:
      s.outside_diameter = Length::mm(26);
      s.radii = {Length::mm(50), Length::mm(75)};
      s.straight_between = Length::mm(12);
      s.cuff = Length::mm(22);
      s.coupler_outside = Length::mm(34);
      s.coupler_gap = Length::mm(8);
      break;
    case Make::moulded_shape: {
      s.most_bend = {};
      Dice dice(RunSeed{32}, 0);
      for (int i = 0; i < 3000; ++i)
        s.shapes.push_back(test::random_shape(dice, "shape " + std::to_string(i), 1, 4));
      break;
    }
  }
  return s;
}

struct SmallBay {
  Bay bay;
  std::vector<Stock> stock;
  double extra_gap_mm = 0;
};

inline void add(std::vector<Obstacle>& out, Dice& dice, std::string name, Shape shape) {
  Obstacle o;
  o.name = std::move(name);
  o.hazard = static_cast<Hazard>(dice.below(kHazards.size() - 1));
  o.shape = std::move(shape);
  if (dice.below(6) == 0) o.own_gap = OwnGap{Length::mm(dice.between(0, 15)), {}};
  out.push_back(std::move(o));
}

inline Shape box_between(const Vec3& least, const Vec3& most) {
  return BoxShape{Pose::translation((least + most) / 2), (most - least) / 2};
}

/// Near the origin, at most 60 mm out.
inline Shape small_shape(Dice& dice) {
  const Vec3 way = dice.between(5, 35) * test::random_direction(dice);
  const double r = dice.between(4, 30);
  switch (dice.below(8)) {
    case 0:
      return CylinderShape{-way, way, r};
    case 1:
      return CapsuleShape{-way, way, r};
    case 2:
      return SphereShape{Vec3::Zero(), r + 10};
    case 3:
      return ConeShape{-way, way, r, dice.below(3) == 0 ? 0.0 : dice.between(3, 30)};
    case 4: {
      auto shape = std::get<ExtrusionShape>(test::random_extrusion(dice, 1));
      for (Vec2& corner : shape.outline_mm) corner *= 0.7;
      return shape;
    }
    case 5:
      return MeshShape{"ball.stl", std::make_shared<const TriangleMesh>(
                                       test::bumpy_ball(dice, Vec3::Zero(), dice.between(15, 45), 5))};
    default: {
      auto box = std::get<BoxShape>(test::random_box(dice, 1));
      box.half_size_mm *= 0.5;
      return box;
    }
  }
}

/// A wall across the bay at x, from -reach to reach, with a window in it: four boxes.
inline void add_wall(std::vector<Obstacle>& out, Dice& dice, double x, double reach) {
  const double half = dice.between(5, 15);
  const double wide = dice.between(15, 40), high = dice.between(15, 40);
  const double y = dice.between(-60, 60), z = dice.between(-60, 60);
  const std::string name = "wall " + std::to_string(out.size());
  add(out, dice, name + " left", box_between({x - half, -reach, -reach}, {x + half, y - wide, reach}));
  add(out, dice, name + " right", box_between({x - half, y + wide, -reach}, {x + half, reach, reach}));
  add(out, dice, name + " low", box_between({x - half, y - wide, -reach}, {x + half, y + wide, z - high}));
  add(out, dice, name + " high", box_between({x - half, y - wide, z + high}, {x + half, y + wide, reach}));
}

inline PlacedNeck small_neck(std::string name, const Vec3& end, const Vec3& outward, std::size_t body) {
  PlacedNeck neck;
  neck.name = std::move(name);
  neck.end_mm = end;
  neck.outward = outward.normalized();
  neck.outside_diameter = Length::mm(26);
  neck.bore = Length::mm(22);
  neck.straight = Length::mm(30);
  neck.body = body;
  return neck;
}

/// Two bodies, chassis and engine, with up to nine obstacles of all kinds thrown about the way between the
/// necks, at times a wall with a window; one line, in a quarter of the bays two. A neck may stand on a box
/// that it grows out of.
inline SmallBay small_bay(std::uint64_t task) {
  Dice dice(RunSeed{31}, task);
  SmallBay out;
  Bay& bay = out.bay;
  std::array<std::vector<Obstacle>, 2> of_body;
  std::array<Pose, 2> poses{Pose{}, test::random_pose(dice, 30)};
  const std::size_t lines = dice.below(4) == 0 ? 2 : 1;
  const double span = dice.between(180, 420);
  for (std::size_t i = 0; i < lines; ++i) {
    const double off = i == 0 ? 0 : dice.between(60, 120);
    for (const double side : {-1.0, 1.0}) {
      const std::size_t body = dice.below(2);
      const Vec3 end = Vec3(side * span / 2, off, 0) + test::random_point(dice, 40);
      const Vec3 outward =
          (Vec3(-side, 0, 0) + dice.between(0, 1.3) * test::random_direction(dice)).normalized();
      PlacedNeck neck = small_neck("neck " + std::to_string(bay.necks.size()), end, outward, body);
      neck.carrier = body == 0 ? Carrier::chassis : Carrier::engine;
      if (dice.below(2) == 0) {
        // The box it grows out of: its face square to the neck, behind the hose.
        const Pose frame =
            Pose::from_axes(end - dice.between(28, 70) * outward, outward, any_perpendicular(outward));
        BoxShape box{inverse(poses[body]) * frame, {25, 25, 20}};
        neck.own_part = {{body, of_body[body].size()}};
        add(of_body[body], dice, neck.name + " box", box);
      }
      bay.necks.push_back(neck);
    }
    BayLine line;
    line.line.name = "line " + std::to_string(i);
    line.line.from = bay.necks[2 * i].name;
    line.line.to = bay.necks[2 * i + 1].name;
    line.line.duty = dice.below(2) == 0 ? Duty::hot : Duty::suction;
    line.line.grade =
        std::array{Grade::free, Grade::free, Grade::one_way, Grade::rise, Grade::fall}[dice.below(5)];
    constexpr std::array kSearched{Make::straight_hose, Make::elbows_and_straights, Make::corrugated_hose,
                                   Make::bent_tube};
    for (std::uint64_t k = 1 + dice.below(2); k > 0; --k)
      line.line.makes.push_back(kSearched[dice.below(kSearched.size())]);
    if (line.line.makes.size() == 2 && line.line.makes[0] == line.line.makes[1]) line.line.makes.pop_back();
    if (task % 4 == 3) line.line.makes.insert(line.line.makes.begin(), Make::moulded_shape);
    line.from = 2 * i;
    line.to = 2 * i + 1;
    const Carrier a = bay.necks[line.from].carrier, b = bay.necks[line.to].carrier;
    line.carrier = a != b                  ? LineCarrier::both
                   : a == Carrier::chassis ? LineCarrier::chassis
                                           : LineCarrier::engine;
    bay.lines.push_back(line);
  }
  const bool walled = dice.below(3) == 0;
  if (walled) add_wall(of_body[0], dice, dice.between(-30, 30), dice.between(150, 400));
  for (std::uint64_t k = dice.below(walled ? 4 : 8); k > 0; --k) {
    const std::size_t body = dice.below(2);
    // On the way between the necks, off it by up to 120 mm, in the body's frame.
    const Vec3 near = Vec3(dice.between(-0.45, 0.45) * span, 0, 0) + test::random_point(dice, 150);
    Shape shape = small_shape(dice);
    // Seldom in the way of the necks' own hose, or nothing would ever fit.
    const auto by_a_neck = [&](const PlacedNeck& neck) {
      const double off = distance_mm(shape, true, neck.end_mm + 10 * neck.outward - near);
      return off < 62;
    };
    if (dice.below(12) != 0 && std::any_of(bay.necks.begin(), bay.necks.end(), by_a_neck)) continue;
    add(of_body[body], dice, "obstacle " + std::to_string(k),
        transformed(shape, inverse(poses[body]) * Pose::translation(near)));
  }
  for (std::size_t b = 0; b < 2; ++b) {
    Body body;
    body.name = b == 0 ? "chassis" : "engine";
    body.carrier = b == 0 ? Carrier::chassis : Carrier::engine;
    body.obstacles = std::move(of_body[b]);
    bay.bodies.push_back({std::make_shared<const Body>(std::move(body)), poses[b]});
  }
  BoxShape known;
  known.half_size_mm = dice.below(4) == 0 ? Vec3(300, 130, 130) : Vec3(900, 900, 900);
  bay.known_space = {known};
  for (const Make make : kMakes) out.stock.push_back(small_stock(make));
  out.extra_gap_mm = dice.between(-3, 6);
  return out;
}

}  // namespace hosefit::laws
