// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <optional>
#include <vector>

#include "solver/verify/line_shapes.h"

namespace hosefit {

/// A part of all places of the engine.
struct PlaceBox {
  EnginePlace centre, half;
};
std::array<EnginePlace, 16> corners(const PlaceBox& box);
std::array<PlaceBox, 2> halves(const PlaceBox& box, std::size_t way);

/// How the nodes of a line move over a box, seen from one carrier: node i at place centre + t half, |t| <= 1
/// each, is at[i] + sum of t_k by[k][i], to within off[i].
struct NodeMotion {
  std::vector<Vec3> at;
  std::array<std::vector<Vec3>, 4> by;
  std::vector<double> off;
};

/// Around the nodes wherever they go over the box, as far as `motion` tells.
AxisBox swept(const NodeMotion& motion);

/// A line over a box of engine places: worked out at its centre and at both ends of each way.
struct LineOverBox {
  LineShape centre;
  NodeMotion on_chassis, on_engine;  ///< seen from the chassis; from the engine, in the vehicle frame at rest
  std::array<double, 4> strongest_off{};  ///< of each way, over all nodes: what halving that way saves
  double most_bent = 0;       ///< of its limit (LineShape::bent); no place bends more anywhere in the box
  LineShape most_bent_shape;  ///< of the nine that which bends most
  int shapes = 0;
};

/// Empty: no stable shape was found at one of the nine places, told in `lost`.
std::optional<LineOverBox> line_over_box(const LineInMotion& line, const EnginePlaces& places,
                                         const PlaceBox& box, const LineShape& near, EnginePlace& lost);

/// Works the line out at the sixteen corners of the box as well, where all ways come together: what departs
/// there by more than `off` raises it. False: no stable shape was found at one of them, told in `lost`.
bool include_corners(const LineInMotion& line, const EnginePlaces& places, const PlaceBox& box,
                     LineOverBox& over, EnginePlace& lost);

}  // namespace hosefit
