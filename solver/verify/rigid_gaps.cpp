// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/rigid_gaps.h"

#include <algorithm>

#include "solver/verify/proof_bodies.h"

namespace hosefit {
namespace {

RequiredGap stricter(const Bay& bay, const GapTable& gaps, ObstacleRef a, ObstacleRef b) {
  const Carrier carrier_a = bay.bodies[a.body].body->carrier;
  const Carrier carrier_b = bay.bodies[b.body].body->carrier;
  RequiredGap past_b = required_gap(gaps, Runner::rigid_part, carrier_a, obstacle(bay, b), carrier_b);
  RequiredGap past_a = required_gap(gaps, Runner::rigid_part, carrier_b, obstacle(bay, a), carrier_a);
  return past_a.gap > past_b.gap ? past_a : past_b;
}

}  // namespace

std::vector<RigidGap> rigid_gaps(const Bay& bay, ProofStore& store, const GapTable& gaps,
                                 std::span<const std::pair<std::size_t, std::size_t>> body_pairs,
                                 double within_mm) {
  std::vector<RigidGap> out;
  for (const auto& [body_a, body_b] : body_pairs) {
    const Pose b_in_a = inverse(bay.bodies[body_a].pose) * bay.bodies[body_b].pose;
    for (std::size_t i = 0; i < bay.bodies[body_a].body->obstacles.size(); ++i) {
      for (std::size_t j = 0; j < bay.bodies[body_b].body->obstacles.size(); ++j) {
        const ObstacleRef a{body_a, i};
        const ObstacleRef b{body_b, j};
        const SolidGap gap =
            store.gap(bay.bodies[body_a].body, i, bay.bodies[body_b].body, j, b_in_a, within_mm);
        if (gap.distance_mm >= within_mm) continue;
        const RequiredGap required = stricter(bay, gaps, a, b);
        out.push_back({a, b, gap.distance_mm, required.gap.mm(), bay.bodies[body_a].pose.point(gap.on_a_mm),
                       required.provenance});
      }
    }
  }
  std::stable_sort(out.begin(), out.end(), [](const RigidGap& x, const RigidGap& y) {
    return x.distance_mm - x.required_mm < y.distance_mm - y.required_mm;
  });
  return out;
}

std::vector<RigidGap> rigid_gaps(const Bay& bay, const GapTable& gaps,
                                 std::span<const std::pair<std::size_t, std::size_t>> body_pairs,
                                 double within_mm) {
  ProofStore store;
  return rigid_gaps(bay, store, gaps, body_pairs, within_mm);
}

}  // namespace hosefit
