// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/rigid_gaps.h"

#include <algorithm>

#include "solver/verify/triangle_tree.h"

namespace hosefit {
namespace {

RequiredGap stricter(const Bay& bay, const GapTable& gaps, ObstacleRef a, ObstacleRef b) {
  const Carrier carrier_a = bay.bodies[a.body].body->carrier;
  const Carrier carrier_b = bay.bodies[b.body].body->carrier;
  RequiredGap past_b = required_gap(gaps, Runner::rigid_part, carrier_a, obstacle(bay, b), carrier_b);
  RequiredGap past_a = required_gap(gaps, Runner::rigid_part, carrier_b, obstacle(bay, a), carrier_a);
  return past_a.gap > past_b.gap ? past_a : past_b;
}

// Is the surface of `inner` inside the solid of `outer`? Asked only when the surfaces do not cross, so one
// point decides.
bool lies_inside(const Bay& bay, ObstacleRef inner, const TriangleTree& inner_tree, ObstacleRef outer,
                 const TriangleTree& outer_tree) {
  if (!obstacle(bay, outer).closed || inner_tree.nodes().empty() || outer_tree.nodes().empty()) return false;
  const auto& first = inner_tree.mesh().triangles.front();
  const Vec3 p = bay.bodies[outer.body].pose.point_inverse(
      bay.bodies[inner.body].pose.point(inner_tree.mesh().vertices_mm[first[0]]));
  return outer_tree.nodes().front().box.contains(p) && winding_number(outer_tree.mesh(), p) > 0.5;
}

}  // namespace

std::vector<RigidGap> rigid_gaps(const Bay& bay, ProofStore& store, const GapTable& gaps,
                                 std::span<const std::pair<std::size_t, std::size_t>> body_pairs,
                                 double within_mm) {
  std::vector<RigidGap> out;
  for (const auto& [body_a, body_b] : body_pairs) {
    for (std::size_t i = 0; i < bay.bodies[body_a].body->obstacles.size(); ++i) {
      for (std::size_t j = 0; j < bay.bodies[body_b].body->obstacles.size(); ++j) {
        const ObstacleRef a{body_a, i};
        const ObstacleRef b{body_b, j};
        const auto tree_a = store.triangles(bay.bodies[body_a].body, i);
        const auto tree_b = store.triangles(bay.bodies[body_b].body, j);
        const MeshGap gap =
            least_gap(*tree_a, bay.bodies[body_a].pose, *tree_b, bay.bodies[body_b].pose, within_mm);
        const bool inside = gap.distance_mm > 0 && (lies_inside(bay, a, *tree_a, b, *tree_b) ||
                                                    lies_inside(bay, b, *tree_b, a, *tree_a));
        if (!inside && gap.distance_mm >= within_mm) continue;
        const RequiredGap required = stricter(bay, gaps, a, b);
        out.push_back({a, b, inside ? -gap.distance_mm : gap.distance_mm, required.gap.mm(), gap.on_a_mm,
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
