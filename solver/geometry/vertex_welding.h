// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <vector>

#include "solver/geometry/triangle_mesh.h"

namespace hosefit {

/// Vertices by place: each exact place once, numbered in the order of first use. -0 is 0. Finite points only.
class VertexWelder {
 public:
  std::uint32_t index_of(const Vec3& p_mm);
  const std::vector<Vec3>& vertices_mm() const { return vertices_mm_; }
  std::vector<Vec3> take() { return std::move(vertices_mm_); }

 private:
  void grow();
  std::vector<Vec3> vertices_mm_;
  std::vector<std::uint32_t> slots_;  ///< index + 1, 0: free; a power of two of them, at most half in use
};

/// For each vertex the lowest index of a vertex at exactly the same place (STL files repeat their corners).
std::vector<std::uint32_t> first_vertex_at_each_place(const TriangleMesh& mesh);

}  // namespace hosefit
