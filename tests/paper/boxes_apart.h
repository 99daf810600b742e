// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/geometry/vec.h"

namespace hosefit {

/// Written anew for the tests: no point of both, edges may touch.
inline bool apart(const Eigen::AlignedBox2d& a, const Eigen::AlignedBox2d& b) {
  constexpr double kTouch_mm = 1e-9;
  return a.max().x() <= b.min().x() + kTouch_mm || b.max().x() <= a.min().x() + kTouch_mm ||
         a.max().y() <= b.min().y() + kTouch_mm || b.max().y() <= a.min().y() + kTouch_mm;
}

}  // namespace hosefit
