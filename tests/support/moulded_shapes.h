// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "solver/base/dice.h"
#include "solver/geometry/centreline.h"
#include "solver/model/make.h"

/// Moulded shapes for tests, and a hose laid from one by arithmetic that shares nothing with the search.
namespace hosefit::test {

inline MouldedShape shape_of(std::string name, const std::vector<double>& straights_mm,
                             const std::vector<double>& radii_mm, const std::vector<double>& angles_deg,
                             const std::vector<double>& turns_deg = {}) {
  MouldedShape shape;
  shape.name = std::move(name);
  for (const double v : straights_mm) shape.straights.push_back(Length::mm(v));
  for (const double v : radii_mm) shape.radii.push_back(Length::mm(v));
  for (const double v : angles_deg) shape.angles.push_back(Angle::deg(v));
  for (const double v : turns_deg) shape.turns.push_back(Angle::deg(v));
  return shape;
}

inline MouldedShape random_shape(Dice& dice, std::string name, std::size_t least_bends = 1,
                                 std::size_t most_bends = 4) {
  MouldedShape shape;
  shape.name = std::move(name);
  const std::size_t bends = least_bends + dice.below(most_bends - least_bends + 1);
  shape.straights.push_back(Length::mm(dice.between(70, 220)));
  for (std::size_t i = 0; i < bends; ++i) {
    shape.radii.push_back(Length::mm(dice.between(40, 80)));
    shape.angles.push_back(Angle::deg(dice.between(20, 110)));
    shape.straights.push_back(Length::mm(i + 1 < bends ? dice.between(20, 200) : dice.between(70, 220)));
    if (i + 1 < bends) shape.turns.push_back(Angle::deg(dice.between(-180, 180)));
  }
  return shape;
}

/// What was done to bends first .. first + bends - 1 of a shape.
struct Sprung {
  std::size_t first = 0, bends = 1;
  bool backwards = false;
  double first_mm = 0, last_mm = 0;        ///< straight left before the first bend and behind the last
  std::vector<double> bend_rad, turn_rad;  ///< added, in the order in which the hose is run through
};

inline Sprung random_spring(Dice& dice, const MouldedShape& shape, double most_deg,
                            double least_straight_mm) {
  Sprung s;
  s.bends = 1 + dice.below(shape.radii.size());
  s.first = dice.below(shape.radii.size() - s.bends + 1);
  s.backwards = dice.below(2) == 1;
  double before = shape.straights[s.first].mm(), behind = shape.straights[s.first + s.bends].mm();
  if (s.backwards) std::swap(before, behind);
  s.first_mm = dice.between(least_straight_mm, before);
  s.last_mm = dice.between(least_straight_mm, behind);
  for (std::size_t i = 0; i < s.bends; ++i) {
    s.bend_rad.push_back(Angle::deg(dice.between(-most_deg, most_deg)).rad());
    if (i + 1 < s.bends) s.turn_rad.push_back(Angle::deg(dice.between(-most_deg, most_deg)).rad());
  }
  return s;
}

/// As a row of feeds, turns and bends, laid out from the origin along X; the first bend turns towards Y.
/// Intersection points are placed by tangents, so that centreline_of() makes the arcs.
inline Centreline laid(const MouldedShape& shape, const Sprung& s) {
  Vec3 at = Vec3::Zero(), along = Vec3::UnitX(), inward = Vec3::UnitY();
  FilletChain chain;
  chain.points_mm.push_back(at);
  double carried = s.first_mm;
  for (std::size_t k = 0; k < s.bends; ++k) {
    const std::size_t bend = s.backwards ? s.first + s.bends - 1 - k : s.first + k;
    const double radius = shape.radii[bend].mm(), angle = shape.angles[bend].rad() + s.bend_rad[k];
    const double tangent = radius * std::tan(angle / 2);
    at += (carried + tangent) * along;
    chain.points_mm.push_back(at);
    chain.radii_mm.push_back(radius);
    const Vec3 next = std::cos(angle) * along + std::sin(angle) * inward;
    inward = std::cos(angle) * inward - std::sin(angle) * along;
    along = next;
    carried = tangent;
    if (k + 1 == s.bends) break;
    carried += shape.straights[s.backwards ? bend : bend + 1].mm();
    const double turn = shape.turns[s.backwards ? bend - 1 : bend].rad() + s.turn_rad[k];
    inward = std::cos(turn) * inward + std::sin(turn) * along.cross(inward);
  }
  chain.points_mm.push_back(at + (carried + s.last_mm) * along);
  return *centreline_of(chain);
}

inline Stock moulded_stock(std::vector<MouldedShape> shapes) {
  Stock stock;
  stock.id = "moulded 38";
  stock.make = Make::moulded_shape;
  stock.description = "38 mm moulded hose, EPDM";
  stock.bore = Length::mm(38);
  stock.outside_diameter = Length::mm(48);
  stock.wall = Length::mm(5);
  stock.shapes = std::move(shapes);
  return stock;
}

}  // namespace hosefit::test
