// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <optional>
#include <vector>

#include "solver/recheck/moving_line.h"

namespace hosefit::recheck {

/// How nodes move over a box of engine places, seen from one carrier: at centre + t half, |t| <= 1 each way,
/// node i is at[i] + sum of t_k by[k][i], to within off[i].
struct Sway {
  std::vector<V3> at;
  std::array<std::vector<V3>, 4> by;
  std::vector<double> off;

  double most_mm(std::size_t node) const;
};

/// A moving line over a box of places: worked out at its centre and both ends of each way. That it departs
/// from straight motion by no more than twice the second differences found there is assumed; over the whole
/// of the engine's places the sixteen corners are worked out as well and raise what departs there by more.
struct LineOver {
  PlaceBox box;
  LineAt centre;
  Sway on_chassis, on_engine;             ///< as seen from either; the engine's in the frame at rest
  std::array<double, 4> strongest_off{};  ///< over all nodes
  double most_bent = 0;                   ///< nowhere in the box is more of what is allowed
  EngineAt most_bent_at = EngineAt::Zero();
  double most_bent_found = 0;  ///< there, of the places worked out
};

struct Overs {
  std::optional<LineOver> over;
  EngineAt lost = EngineAt::Zero();  ///< when empty: where no shape was found
};
Overs line_over(const MovingLine& line, const EngineWays& ways, const PlaceBox& box, const LineAt& near,
                bool with_corners);

/// Around all nodes of a link over the box.
Box3 box_over(const Sway& sway, const MovingLink& link);

}  // namespace hosefit::recheck
