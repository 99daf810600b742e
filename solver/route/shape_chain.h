// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <cstddef>

#include "solver/geometry/centreline.h"
#include "solver/model/moulded_shape.h"
#include "solver/route/connection.h"

namespace hosefit {

/// More bends than a reader lets a shape have; fits on the stack.
inline constexpr std::size_t kMostShapeBends = 8;

/// Some bends of a moulded shape in turn and the straights between them, told in the order in which a line
/// runs through them. Its two end straights are no part of it: they are what is cut. Millimetres, radians.
struct ShapeChain {
  std::size_t bends = 0;
  std::array<double, kMostShapeBends> radius_mm{}, angle_rad{};
  std::array<double, kMostShapeBends> straight_mm{};   ///< behind each bend but the last
  std::array<double, kMostShapeBends> turn_rad{};      ///< of the next bend's plane, behind each but the last
  double first_straight_mm = 0, last_straight_mm = 0;  ///< of the shape, before and behind these bends
};

/// Bends first .. first + bends - 1 of a shape, counted from A; from the other end with `backwards`.
/// Precondition: the shape has them, and no more than kMostShapeBends.
ShapeChain chain_of(const MouldedShape& shape, std::size_t first, std::size_t bends, bool backwards);

/// How a chain lies: from a heading, its first bend's plane turned to `clock_rad` from any_perpendicular
/// (right-handed about the heading), and how far each bend and each turn is sprung.
struct ChainPose {
  double clock_rad = 0, first_mm = 0, last_mm = 0;  ///< straight before the first bend, behind the last
  std::array<double, kMostShapeBends> bend_rad{}, turn_rad{};  ///< added to the shape's own

  double most_sprung_rad(std::size_t bends) const;  ///< the largest of them, either way
};

/// Straights and arcs, from the heading on. A straight of no length is left out.
Centreline centreline_of(const ShapeChain& chain, const ChainPose& pose, const Heading& from);

}  // namespace hosefit
