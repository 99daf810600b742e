// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <vector>

#include "solver/model/bay.h"
#include "solver/model/finding.h"
#include "solver/model/route.h"

namespace hosefit {

/// One bend as it is made: neighbouring arcs about the same centre and normal count as one.
struct Bend {
  double radius_mm = 0, angle_rad = 0;
  double straight_before_mm = 0;
  double s_mm = 0;  ///< where it begins
  Vec3 where_mm = Vec3::Zero();
};
struct Bends {
  std::vector<Bend> bends;
  double last_straight_mm = 0;
};
Bends bends_of(const Centreline& centreline);

/// What the stock's make allows: radius (bent tube: one of the dies to 1e-6 mm; others: at least the least,
/// 1e-6 mm slack), bend angles on sale (1e-6 rad), largest bend, straight between bends, leads at both necks,
/// elbow legs (each must reach past its tangent point by a least engagement, to take a clamp), lengths on
/// sale; and that the route's list of pieces agrees. Moulded shapes: leads, and see shape_rules.h.
std::vector<Finding> check_stock_rules(const Bay& bay, const Route& route, const Stock& stock);

}  // namespace hosefit
