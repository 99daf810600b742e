// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <span>
#include <utility>
#include <vector>

#include "solver/verify/proof.h"

namespace hosefit {

/// The least gap between an obstacle of one body and an obstacle of another, both rigid.
struct RigidGap {
  ObstacleRef a, b;
  double distance_mm = 0;        ///< within 0.05 mm of the true value; 0: the surfaces cross; negative: one
                                 ///< lies inside the other
  double required_mm = 0;        ///< for a rigid part against the stricter of the two hazards
  Vec3 where_mm = Vec3::Zero();  ///< on a, where the gap is least
  Provenance provenance;
};

/// For each pair of bodies every obstacle pair whose distance is below `within_mm`, by ascending distance -
/// required. Surfaces as triangles that contain them (ProofStore::kOvershoot_mm); two trees descended
/// together, exact triangle to triangle.
std::vector<RigidGap> rigid_gaps(const Bay& bay, const GapTable& gaps,
                                 std::span<const std::pair<std::size_t, std::size_t>> body_pairs,
                                 double within_mm);
/// The same, with triangles kept between calls.
std::vector<RigidGap> rigid_gaps(const Bay& bay, ProofStore& store, const GapTable& gaps,
                                 std::span<const std::pair<std::size_t, std::size_t>> body_pairs,
                                 double within_mm);

}  // namespace hosefit
