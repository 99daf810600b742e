// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <span>
#include <vector>

#include "solver/model/bay.h"
#include "solver/model/route.h"

namespace hosefit {

/// What holds towards the obstacles that a neck grows out of; see PlacedNeck.
enum class OwnPart { does_not_count, must_not_touch, full_gap };

/// A part of one straight or arc along which outside diameter, runner and rules are the same.
struct TubeStretch {
  Piece piece;
  double from_s_mm = 0, to_s_mm = 0;  ///< along the route; negative or beyond its length over a neck
  double radius_mm = 0;
  Runner runner = Runner::hose;
  OwnPart own_from = OwnPart::full_gap, own_to = OwnPart::full_gap;
  bool over_neck = false;
  AxisBox box;  ///< of the piece, without its radius
};

/// The outside of a line from hose end to hose end, the parts over its necks included.
struct Tube {
  std::size_t line = 0;
  std::vector<TubeStretch> stretches;  ///< in order along the route
};

/// Preconditions: see check_curve; `stock` may be null (unknown), then there is no lead.
Tube tube_of(const Bay& bay, const Route& route, const Stock* stock);

/// Outside diameter of the hose over a neck: of the coupler for bent tube; never thinner than the section
/// that begins there.
double outside_over_neck_mm(const Route& route, const Stock* stock, bool at_start);

const PlacedNeck& from_neck(const Bay& bay, const Route& route);
const PlacedNeck& to_neck(const Bay& bay, const Route& route);
const Stock* stock_of(const Route& route,
                      std::span<const Stock> stock);  ///< null when there is none of that id

}  // namespace hosefit
