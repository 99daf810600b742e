// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <vector>

#include "solver/base/dice.h"
#include "tests/family/family.h"

/// What bays of the family are made of. Millimetres.
namespace hosefit::family {

/// The hose of a bay and what it needs.
struct Hose {
  double outside_diameter_mm = 0, radius_mm = 0, gap_mm = 0;
  double lead_mm() const { return outside_diameter_mm / 2; }
  /// Least distance from the centreline to an obstacle.
  double keep_off_mm() const { return outside_diameter_mm / 2 + gap_mm; }
};
Hose any_hose(Dice& dice);

void add(std::vector<Obstacle>& out, std::string name, Shape shape);
void add_box(std::vector<Obstacle>& out, std::string name, const Vec3& least, const Vec3& most);
/// Six walls 20 mm thick round a box, from inside.
void add_room(std::vector<Obstacle>& out, const AxisBox& inside);
/// A wall square to X across the room, with a window: four boxes.
struct Window {
  double x = 0, y = 0, z = 0, half_y = 0, half_z = 0, half_thickness = 0;
};
void add_wall(std::vector<Obstacle>& out, const AxisBox& room, const Window& window);
/// The same with a hole of 24 sides that touch the circle of this radius from outside.
void add_wall_with_hole(std::vector<Obstacle>& out, const AxisBox& room, const Window& centre, double radius);

/// Any shape near a point.
Shape any_shape(Dice& dice, const Vec3& centre);
/// Least distance of the witness, less what it needs, with the necks' clamps given room; dense samples.
bool keeps_clear(const Shape& shape, const Centreline& witness, const Hose& hose, double spare_mm);
void add_clutter(std::vector<Obstacle>& out, Dice& dice, const Centreline& witness, const Hose& hose,
                 double spare_mm, int obstacles);
/// No two stretches of it too near each other.
bool untangled(const Centreline& witness, const Hose& hose);

/// The whole thrown into space at any pose, with its necks at the ends of the witness.
FamilyBay finished(Dice& dice, std::vector<Obstacle> obstacles, const Centreline& witness, const Hose& hose);

}  // namespace hosefit::family
