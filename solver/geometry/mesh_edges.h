// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "solver/geometry/triangle_mesh.h"

namespace hosefit {

/// Sides of triangles by the edge they lie along. Side 3 t + k of triangle t runs from its corner k to the
/// next one. Sides between equal vertices are left out. Vertices count as one where `same` says so.
class MeshEdges {
 public:
  MeshEdges(const TriangleMesh& mesh, std::span<const std::uint32_t> same);

  std::size_t count() const { return begins_.size() - 1; }
  /// The sides along one edge, ascending.
  std::span<const std::uint32_t> sides(std::size_t edge) const {
    return {sides_.data() + begins_[edge], begins_[edge + 1] - begins_[edge]};
  }
  /// From its lesser vertex to the greater.
  bool runs_up(std::uint32_t side) const { return up_[side]; }

 private:
  std::vector<std::uint32_t> sides_, begins_;
  std::vector<bool> up_;  ///< by side
};

}  // namespace hosefit
