// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/geometry/vertex_welding.h"

#include <bit>

namespace hosefit {
namespace {

std::size_t hash_of(const Vec3& p) {
  std::uint64_t h = 0;
  for (const double v : p) {
    h = (h ^ std::bit_cast<std::uint64_t>(v)) * 0x9e3779b97f4a7c15ULL;
    h ^= h >> 29;
  }
  return static_cast<std::size_t>(h ^ (h >> 32));
}

}  // namespace

std::uint32_t VertexWelder::index_of(const Vec3& p_mm) {
  if (2 * (vertices_mm_.size() + 1) > slots_.size()) grow();
  const Vec3 p = p_mm.array() + 0.0;
  const std::size_t mask = slots_.size() - 1;
  for (std::size_t at = hash_of(p) & mask;; at = (at + 1) & mask) {
    std::uint32_t& slot = slots_[at];
    if (slot == 0) {
      vertices_mm_.push_back(p);
      slot = static_cast<std::uint32_t>(vertices_mm_.size());
      return slot - 1;
    }
    if (vertices_mm_[slot - 1] == p) return slot - 1;
  }
}

void VertexWelder::grow() {
  std::vector<std::uint32_t> wider(slots_.empty() ? 64 : 2 * slots_.size(), 0);
  const std::size_t mask = wider.size() - 1;
  for (std::uint32_t i = 0; i < vertices_mm_.size(); ++i) {
    std::size_t at = hash_of(vertices_mm_[i]) & mask;
    while (wider[at] != 0) at = (at + 1) & mask;
    wider[at] = i + 1;
  }
  slots_ = std::move(wider);
}

std::vector<std::uint32_t> first_vertex_at_each_place(const TriangleMesh& mesh) {
  VertexWelder welder;
  std::vector<std::uint32_t> first;  // by welded index
  std::vector<std::uint32_t> same(mesh.vertices_mm.size());
  for (std::uint32_t i = 0; i < same.size(); ++i) {
    const std::uint32_t welded = welder.index_of(mesh.vertices_mm[i]);
    if (welded == first.size()) first.push_back(i);
    same[i] = first[welded];
  }
  return same;
}

}  // namespace hosefit
