// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/geometry/mesh_edges.h"

#include <algorithm>
#include <utility>

namespace hosefit {

MeshEdges::MeshEdges(const TriangleMesh& mesh, std::span<const std::uint32_t> same) {
  const std::size_t side_count = 3 * mesh.triangles.size();
  const auto ends = [&](std::size_t side) {
    const auto& t = mesh.triangles[side / 3];
    return std::pair(same[t[side % 3]], same[t[(side + 1) % 3]]);
  };
  // Counted into buckets by the lesser vertex, which hold half a dozen sides each, then sorted there.
  std::vector<std::uint32_t> bucket(mesh.vertices_mm.size() + 1, 0);
  up_.resize(side_count);
  for (std::size_t side = 0; side < side_count; ++side) {
    const auto [a, b] = ends(side);
    up_[side] = a < b;
    if (a != b) ++bucket[std::min(a, b) + 1];
  }
  for (std::size_t i = 1; i < bucket.size(); ++i) bucket[i] += bucket[i - 1];
  struct Entry {
    std::uint32_t far_end, side;
    bool operator<(const Entry& o) const {
      return far_end != o.far_end ? far_end < o.far_end : side < o.side;
    }
  };
  std::vector<Entry> entries(bucket.back());
  std::vector<std::uint32_t> next(bucket.begin(), bucket.end() - 1);
  for (std::uint32_t side = 0; side < side_count; ++side) {
    const auto [a, b] = ends(side);
    if (a != b) entries[next[std::min(a, b)]++] = {std::max(a, b), side};
  }
  sides_.reserve(entries.size());
  for (std::size_t v = 0; v + 1 < bucket.size(); ++v) {
    const auto begin = entries.begin() + bucket[v];
    const auto end = entries.begin() + bucket[v + 1];
    std::sort(begin, end);
    for (auto it = begin; it != end; ++it) {
      if (it == begin || it->far_end != (it - 1)->far_end)
        begins_.push_back(static_cast<std::uint32_t>(sides_.size()));
      sides_.push_back(it->side);
    }
  }
  begins_.push_back(static_cast<std::uint32_t>(sides_.size()));
}

}  // namespace hosefit
