// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "solver/base/parallel.h"
#include "solver/geometry/triangle_mesh.h"

namespace hosefit {

/// For each vertex the triangle corners that use it, as 3 * triangle + corner, ascending.
class CornersAtVertices {
 public:
  CornersAtVertices() = default;
  explicit CornersAtVertices(const TriangleMesh& mesh);

  std::span<const std::uint32_t> of(std::uint32_t vertex) const {
    return std::span(corners_).subspan(first_[vertex], first_[vertex + 1] - first_[vertex]);
  }

 private:
  std::vector<std::uint32_t> first_, corners_;
};

/// True when every edge is used as often in one direction as in the other. Unlike `is_closed` vertices are
/// one only where they have one index; triangles with a corner twice count as any other.
bool edges_pair(const TriangleMesh& mesh, const CornersAtVertices& corners, Threads threads);

}  // namespace hosefit
