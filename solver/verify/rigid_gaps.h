// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <span>
#include <vector>

#include "solver/verify/proof.h"

namespace hosefit {

/// The least gap between an obstacle of one body and an obstacle of another, both rigid.
struct RigidGap {
  ObstacleRef a, b;
  double distance_mm = 0;   ///< exact to 0.05 mm where positive; negative or 0: they overlap (depth not measured beyond the sign)
  double required_mm = 0;   ///< for a rigid part against the stricter of the two hazards
  Vec3 where_mm = Vec3::Zero();
  Provenance provenance;
};

/// For each pair of bodies, the obstacle pairs with the least spare gap whose distance is below `within_mm`, tightest first.
std::vector<RigidGap> rigid_gaps(const Bay& bay, const GapTable& gaps, std::span<const std::pair<std::size_t, std::size_t>> body_pairs,
                                 double within_mm);

}  // namespace hosefit
