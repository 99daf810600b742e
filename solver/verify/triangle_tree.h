// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <vector>

#include "solver/geometry/pose.h"
#include "solver/geometry/triangle_mesh.h"

namespace hosefit {

/// A triangle mesh under a tree of axis-parallel boxes, in the mesh's frame; halved at the median of the
/// longest side.
class TriangleTree {
 public:
  struct Node {
    AxisBox box;
    std::uint32_t from = 0, to = 0;     ///< triangles in order()
    std::uint32_t left = 0, right = 0;  ///< children; 0: a leaf
  };
  /// The solid measured is all within `around_mm` of the triangles: a capsule is one sliver with a radius.
  explicit TriangleTree(TriangleMesh mesh, double around_mm = 0);

  double around_mm() const { return around_mm_; }

  const TriangleMesh& mesh() const { return mesh_; }
  const std::vector<Node>& nodes() const { return nodes_; }  ///< the root first; empty for an empty mesh
  const std::vector<std::uint32_t>& order() const { return order_; }

 private:
  std::uint32_t build(std::uint32_t from, std::uint32_t to);
  TriangleMesh mesh_;
  double around_mm_;
  std::vector<Node> nodes_;
  std::vector<std::uint32_t> order_;
};

/// Least distance between two meshes, each placed by its pose in one parent frame; 0 when their triangles
/// cross or touch. `distance_mm` stays at `within_mm` when nothing is nearer.
struct MeshGap {
  double distance_mm = 0;
  Vec3 on_a_mm = Vec3::Zero();  ///< parent frame, as on_b_mm; both mean nothing when nothing was nearer
  Vec3 on_b_mm = Vec3::Zero();
};
MeshGap least_gap(const TriangleTree& a, const Pose& pose_a, const TriangleTree& b, const Pose& pose_b,
                  double within_mm);

}  // namespace hosefit
