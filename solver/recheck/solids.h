// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <memory>
#include <variant>
#include <vector>

#include "solver/recheck/space.h"
#include "solver/recheck/triangles.h"

/// What an obstacle may be made of, and how far a point or another solid is from it. Plain double arithmetic,
/// exact to rounding (about 1e-10 mm at bay size) where nothing else is said.
namespace hosefit::recheck {

struct Block {
  Frame frame;  ///< its middle
  V3 half_mm;
};
struct Round {  ///< cylinder, or cone with its tip cut off; flat ends
  V3 a_mm, b_mm;
  double radius_a_mm, radius_b_mm;
};
struct Ball {  ///< all within the radius of a segment; a sphere when both ends are one
  V3 a_mm, b_mm;
  double radius_mm;
};
struct Prism {  ///< outline counter-clockwise in the frame's first two axes, drawn out along the third
  Frame frame;
  std::vector<V2> outline_mm;
  double height_mm;
};
/// A rail as six-sided pieces, one for each leg: corners 0-3 around its beginning, 4-7 the same around its
/// end.
struct Pieces {
  std::vector<std::array<V3, 8>> pieces;
};
struct Surface {
  std::shared_ptr<const TriangleGrid> grid;
  bool solid = false;
  Frame frame;
};
using Solid = std::variant<Block, Round, Ball, Prism, Pieces, Surface>;

/// Mitred pieces of a rectangle drawn along a path. Empty when its corners are too sharp for its legs, so
/// that mitres would cross.
std::vector<std::array<V3, 8>> rail_pieces(const std::vector<V3>& path_mm, const V3& up, double width_mm,
                                           double height_mm);

Solid moved(const Solid& solid, const Frame& frame);
Box3 box_of(const Solid& solid);

/// From a point to the surface, negative inside. Of a Surface: never negative, and `within_mm` when it is
/// farther than that; whether a point is inside is asked by is_inside, which a line needs to ask once only:
/// it cannot get in without touching.
double distance_mm(const Solid& solid, const V3& p_mm, double within_mm);
bool is_inside(const Solid& solid, const V3& p_mm);

/// Between two solids: the true distance lies from `at_least_mm` to `at_most_mm`. Both are `within_mm` or
/// more when they are farther apart than that; both are 0 when they cross or one lies in the other.
struct Apart {
  double at_least_mm = 0, at_most_mm = 0;
  V3 where_mm = V3::Zero();  ///< on the first
};
/// By the method of Gilbert, Johnson and Keerthi, IEEE J. Robotics Autom. 4 (1988) 193, on convex parts of
/// both; bounds from its separating plane.
Apart apart(const Solid& a, const Solid& b, double within_mm);

}  // namespace hosefit::recheck
