// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <memory>
#include <vector>

#include "solver/geometry/triangle_mesh.h"

namespace hosefit {

/// The generalised winding number by a tree of boxes: as exact as `winding_number`, at a cost of about the
/// root of the number of triangles where vertices at one place are one. A part of the surface whose box does
/// not hold the point is replaced by a fan over the edges where it ends, which sees the same share of all
/// directions (Jacobson, Kavan, Sorkine-Hornung, ACM Trans. Graph. 32 (2013), hierarchical evaluation).
/// Holes, duplicates and faces the wrong way round cost time, never exactness. Immutable; queries are
/// thread-safe.
class WindingTree {
 public:
  explicit WindingTree(std::shared_ptr<const TriangleMesh> mesh);

  double at(const Vec3& p_mm) const;

 private:
  struct Edge {
    std::uint32_t from, to;
  };
  struct Node {
    AxisBox box;
    std::uint32_t first = 0, last = 0;          ///< into order_
    std::uint32_t left = 0, right = 0;          ///< 0: a leaf
    std::uint32_t rim_first = 0, rim_last = 0;  ///< into rims_
    bool rim_known = false;                     ///< false where it is longer than it would save
  };
  struct Rim;
  struct Builder;
  double fan(const Node& node, const Vec3& p_mm) const;
  double faces(const Node& node, const Vec3& p_mm) const;

  std::shared_ptr<const TriangleMesh> mesh_;
  std::vector<std::uint32_t> order_;
  std::vector<Node> nodes_;
  std::vector<Edge> rims_;
};

}  // namespace hosefit
