// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <vector>

#include "solver/recheck/space.h"

namespace hosefit::recheck {

/// A spot found in a scan and measured in the vehicle.
struct Spot {
  V3 in_scan = V3::Zero(), at_mm = V3::Zero();
};

/// Turn, scale and shift of least squares over the spots: at = scale * turn * in_scan + shift.
struct Placing {
  double scale = 1;
  M3 turn = M3::Identity();
  V3 shift_mm = V3::Zero();
  V3 point(const V3& p) const { return scale * (turn * p) + shift_mm; }
};

/// By the quaternion of the largest eigenvalue (B. K. P. Horn, J. Opt. Soc. Am. A 4 (1987) 629), unit
/// weights; with `scale` given it stays. Empty: fewer than three spots, or all in one line.
std::optional<Placing> placing_of(const std::vector<Spot>& spots, std::optional<double> scale);

}  // namespace hosefit::recheck
