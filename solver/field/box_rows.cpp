// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/field/box_rows.h"

#include <cmath>

namespace hosefit {

BoxRows::BoxRows(const std::vector<AxisBox>& boxes) {
  constexpr float kInfinity = std::numeric_limits<float>::infinity();
  AxisBox all;
  for (const AxisBox& box : boxes)
    if (!box.isEmpty()) all.extend(box);
  if (!all.isEmpty()) centre_mm_ = all.center();
  rows_.resize((boxes.size() + eight::kWide - 1) / eight::kWide);
  for (std::size_t i = 0; i < rows_.size() * eight::kWide; ++i) {
    eight::Boxes& row = rows_[i / eight::kWide];
    const std::size_t lane = i % eight::kWide;
    const bool used = i < boxes.size() && !boxes[i].isEmpty();
    for (int axis = 0; axis < 3; ++axis) {
      row.low[axis][lane] = row.high[axis][lane] = kInfinity;
      if (!used) continue;
      row.low[axis][lane] =
          std::nextafter(static_cast<float>(boxes[i].min()[axis] - centre_mm_[axis]), -kInfinity);
      row.high[axis][lane] =
          std::nextafter(static_cast<float>(boxes[i].max()[axis] - centre_mm_[axis]), kInfinity);
    }
  }
}

}  // namespace hosefit
