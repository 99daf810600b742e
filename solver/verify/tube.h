// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <span>
#include <vector>

#include "solver/model/bay.h"
#include "solver/model/route.h"

namespace hosefit {

/// What holds towards the obstacles that a neck grows out of; see PlacedNeck.
enum class OwnPart { does_not_count, must_not_touch, full_gap };

/// Hose over a tube end of the tee, or the least lead beyond it.
enum class OnTee { no, lead, over };

/// A part of one straight or arc along which outside diameter, runner and rules are the same.
struct TubeStretch {
  Piece piece;
  double from_s_mm = 0, to_s_mm = 0;  ///< along the route; negative or beyond its length over a neck
  double radius_mm = 0;
  Runner runner = Runner::hose;
  OwnPart own_from = OwnPart::full_gap, own_to = OwnPart::full_gap;
  bool over_neck = false;
  OnTee on_tee = OnTee::no;
  AxisBox box;  ///< of the piece, without its radius
};

/// The outside of a line from hose end to hose end, the parts over its necks included.
struct Tube {
  std::size_t line = 0;
  std::vector<TubeStretch> stretches;  ///< in order along the route
};

/// Hoses pushed over the tube ends of one tee are held apart by it, whatever their lines are asked to keep:
/// there they do not count against each other and must only not meet, which the tee's own sizes decide
/// (tee_findings); against the least lead of another of them they must not touch. A bay has one tee at most.
inline OwnPart between_on_tee(OnTee a, OnTee b) {
  if (a == OnTee::over && b == OnTee::over) return OwnPart::does_not_count;
  const bool held = (a == OnTee::over && b == OnTee::lead) || (a == OnTee::lead && b == OnTee::over);
  return held ? OwnPart::must_not_touch : OwnPart::full_gap;
}

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
