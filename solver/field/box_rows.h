// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <bit>
#include <limits>
#include <optional>
#include <vector>

#include "solver/field/eight_wide.h"
#include "solver/geometry/vec.h"

namespace hosefit {

/// Boxes looked at eight side by side, as a filter before dearer questions. They are kept as floats about
/// their common centre, rounded outward: distances are never too large, and too small by 0.002 mm at most
/// within 4 m. Empty boxes are near nothing.
class BoxRows {
 public:
  BoxRows() = default;
  explicit BoxRows(const std::vector<AxisBox>& boxes);

  /// The box nearest to a point, of those at most `within_mm` off; of equally near ones the first.
  std::optional<std::size_t> nearest(const Vec3& p_mm, double within_mm) const {
    return nearest_of(p_mm, within_mm, [](std::size_t) { return true; });
  }
  /// The same of those that count.
  template <class Counts>
  std::optional<std::size_t> nearest_of(const Vec3& p_mm, double within_mm, Counts counts) const {
    std::optional<std::size_t> first;
    const Place p = place(p_mm);
    float least = squared_reach(within_mm);
    for (std::size_t row = 0; row < rows_.size(); ++row) {
      eight::Row d2;
      for (unsigned near = distances_(rows_[row], p.at, least, d2); near != 0; near &= near - 1) {
        const int lane = std::countr_zero(near);
        const std::size_t i = row * eight::kWide + static_cast<std::size_t>(lane);
        if ((first && d2[lane] >= least) || !counts(i)) continue;
        least = d2[lane];
        first = i;
      }
    }
    return first;
  }

  /// visit(i) for every box that is at most within() off, in order; within() may shrink with every visit.
  template <class Within, class Visit>
  void for_each_within(const Vec3& p_mm, Within within, Visit visit) const {
    const Place p = place(p_mm);
    for (std::size_t row = 0; row < rows_.size(); ++row) {
      eight::Row d2;
      for (unsigned near = distances_(rows_[row], p.at, squared_reach(within()), d2); near != 0;
           near &= near - 1) {
        const int lane = std::countr_zero(near);
        if (d2[lane] > squared_reach(within())) continue;
        visit(row * eight::kWide + static_cast<std::size_t>(lane));
      }
    }
  }

 private:
  struct Place {
    float at[3];
  };
  Place place(const Vec3& p_mm) const {
    const Vec3 local = p_mm - centre_mm_;
    return {{static_cast<float>(local.x()), static_cast<float>(local.y()), static_cast<float>(local.z())}};
  }
  // Boxes beyond it are farther off than `within_mm`, whatever the rounding of floats. Where less than
  // nothing is asked for, deep inside a solid, boxes around the point count.
  static float squared_reach(double within_mm) {
    const double reach = (within_mm > 0 ? within_mm : 0.0) + 1e-3;
    return reach < 1e15 ? static_cast<float>(1.000002 * reach * reach) : std::numeric_limits<float>::max();
  }

  Vec3 centre_mm_ = Vec3::Zero();
  std::vector<eight::Boxes> rows_;
  eight::BoxDistances distances_ = eight::best().box_distances;
};

}  // namespace hosefit
