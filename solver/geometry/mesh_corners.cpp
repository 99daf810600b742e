// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/geometry/mesh_corners.h"

#include <algorithm>
#include <atomic>
#include <numeric>

namespace hosefit {

CornersAtVertices::CornersAtVertices(const TriangleMesh& mesh) : first_(mesh.vertices_mm.size() + 1) {
  for (const auto& triangle : mesh.triangles)
    for (const std::uint32_t v : triangle) ++first_[v + 1];
  std::partial_sum(first_.begin(), first_.end(), first_.begin());
  corners_.resize(3 * mesh.triangles.size());
  std::vector<std::uint32_t> next(first_.begin(), first_.end() - 1);
  std::uint32_t corner = 0;
  for (const auto& triangle : mesh.triangles)
    for (const std::uint32_t v : triangle) corners_[next[v]++] = corner++;
}

bool edges_pair(const TriangleMesh& mesh, const CornersAtVertices& corners, Threads threads) {
  constexpr std::size_t kVerticesATask = 8192;
  const std::size_t vertices = mesh.vertices_mm.size();
  std::atomic<bool> pair = true;
  parallel_for((vertices + kVerticesATask - 1) / kVerticesATask, threads, [&](std::size_t task) {
    std::vector<std::uint32_t> left_for, come_from;
    const std::size_t last = std::min(vertices, (task + 1) * kVerticesATask);
    for (std::size_t v = task * kVerticesATask; v < last && pair; ++v) {
      left_for.clear();
      come_from.clear();
      for (const std::uint32_t corner : corners.of(static_cast<std::uint32_t>(v))) {
        const auto& triangle = mesh.triangles[corner / 3];
        left_for.push_back(triangle[(corner % 3 + 1) % 3]);
        come_from.push_back(triangle[(corner % 3 + 2) % 3]);
      }
      std::sort(left_for.begin(), left_for.end());
      std::sort(come_from.begin(), come_from.end());
      if (left_for != come_from) pair = false;
    }
  });
  return pair;
}

}  // namespace hosefit
