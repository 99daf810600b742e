// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/recheck/triangles.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numbers>

namespace hosefit::recheck {
namespace {

constexpr int kMostCells = 128;  // along one axis

Box3 box_of(const Corners& t) {
  Box3 box;
  for (const V3& corner : t) box.extend(corner);
  return box;
}

}  // namespace

double distance_to_triangle(const V3& p, const V3& a, const V3& b, const V3& c) {
  const V3 normal = (b - a).cross(c - a);
  const double square = normal.squaredNorm();
  if (square > 0) {
    // Above the face when the foot of the plumb line is on the inner side of all three edges.
    const bool over = (b - a).cross(p - a).dot(normal) >= 0 && (c - b).cross(p - b).dot(normal) >= 0 &&
                      (a - c).cross(p - c).dot(normal) >= 0;
    if (over) return std::abs((p - a).dot(normal)) / std::sqrt(square);
  }
  return std::min({(p - nearest_on_segment(p, a, b)).norm(), (p - nearest_on_segment(p, b, c)).norm(),
                   (p - nearest_on_segment(p, c, a)).norm()});
}

bool is_watertight(const std::vector<Corners>& triangles) {
  if (triangles.empty()) return false;
  using Key = std::array<double, 3>;
  std::map<Key, std::uint32_t> number;
  std::map<std::pair<std::uint32_t, std::uint32_t>, int> uses;
  const auto id = [&](const V3& v) {
    return number
        .try_emplace(Key{v.x() + 0.0, v.y() + 0.0, v.z() + 0.0}, static_cast<std::uint32_t>(number.size()))
        .first->second;
  };
  for (const Corners& t : triangles) {
    const std::array<std::uint32_t, 3> ids{id(t[0]), id(t[1]), id(t[2])};
    for (std::size_t k = 0; k < 3; ++k) ++uses[{ids[k], ids[(k + 1) % 3]}];
  }
  return std::all_of(uses.begin(), uses.end(), [&](const auto& use) {
    const auto back = uses.find({use.first.second, use.first.first});
    return use.second == 1 && back != uses.end() && back->second == 1;
  });
}

TriangleGrid::TriangleGrid(std::vector<Corners> triangles) : triangles_(std::move(triangles)) {
  for (const Corners& t : triangles_) box_.extend(box_of(t));
  if (triangles_.empty()) return;
  const V3 sizes = box_.sizes();
  const double aim = 2 * std::cbrt(static_cast<double>(triangles_.size()));
  cell_mm_ = std::max({sizes.maxCoeff() / std::clamp(aim, 1.0, double{kMostCells}), 1e-3});
  for (std::size_t k = 0; k < 3; ++k)
    size_[k] =
        std::clamp(static_cast<int>(sizes[static_cast<Eigen::Index>(k)] / cell_mm_) + 1, 1, kMostCells + 1);
  fill();
  count_rings();
}

std::array<int, 3> TriangleGrid::cell_of(const V3& p_mm) const {
  std::array<int, 3> cell{};
  for (std::size_t k = 0; k < 3; ++k) {
    const auto axis = static_cast<Eigen::Index>(k);
    const double at = std::clamp((p_mm[axis] - box_.min()[axis]) / cell_mm_, 0.0, double(size_[k] - 1));
    cell[k] = static_cast<int>(at);
  }
  return cell;
}
std::size_t TriangleGrid::index(int x, int y, int z) const {
  return (static_cast<std::size_t>(z) * static_cast<std::size_t>(size_[1]) + static_cast<std::size_t>(y)) *
             static_cast<std::size_t>(size_[0]) +
         static_cast<std::size_t>(x);
}

// Each triangle is entered in all cells that its box touches: counted first, then filled in.
void TriangleGrid::fill() {
  const std::size_t cells = index(0, 0, size_[2] - 1) + index(size_[0] - 1, size_[1] - 1, 0) + 1;
  first_.assign(cells + 1, 0);
  const auto each_cell = [&](const Corners& t, const auto& use) {
    const Box3 box = box_of(t);
    const std::array<int, 3> low = cell_of(box.min()), high = cell_of(box.max());
    for (int z = low[2]; z <= high[2]; ++z)
      for (int y = low[1]; y <= high[1]; ++y)
        for (int x = low[0]; x <= high[0]; ++x) use(index(x, y, z));
  };
  for (const Corners& t : triangles_) each_cell(t, [&](std::size_t cell) { ++first_[cell + 1]; });
  for (std::size_t i = 1; i < first_.size(); ++i) first_[i] += first_[i - 1];
  entries_.resize(first_.back());
  std::vector<std::uint32_t> next(first_.begin(), first_.end() - 1);
  for (std::uint32_t t = 0; t < triangles_.size(); ++t)
    each_cell(triangles_[t], [&](std::size_t cell) { entries_[next[cell]++] = t; });
}

// Rings by sweeps: a cell is one ring farther from what is filled than the nearest of its neighbours.
void TriangleGrid::count_rings() {
  constexpr std::uint16_t kFar = 4 * kMostCells;
  empty_rings_.resize(first_.size() - 1);
  for (std::size_t i = 0; i < empty_rings_.size(); ++i)
    empty_rings_[i] = first_[i + 1] > first_[i] ? std::uint16_t{0} : kFar;
  const auto relax = [&](int x, int y, int z) {
    std::uint16_t& here = empty_rings_[index(x, y, z)];
    for (int dz = -1; dz <= 1; ++dz)
      for (int dy = -1; dy <= 1; ++dy)
        for (int dx = -1; dx <= 1; ++dx) {
          const int nx = x + dx, ny = y + dy, nz = z + dz;
          if (nx < 0 || ny < 0 || nz < 0 || nx >= size_[0] || ny >= size_[1] || nz >= size_[2]) continue;
          here =
              std::min<std::uint16_t>(here, static_cast<std::uint16_t>(empty_rings_[index(nx, ny, nz)] + 1));
        }
  };
  for (int z = 0; z < size_[2]; ++z)
    for (int y = 0; y < size_[1]; ++y)
      for (int x = 0; x < size_[0]; ++x)
        if (empty_rings_[index(x, y, z)] > 0) relax(x, y, z);
  for (int z = size_[2] - 1; z >= 0; --z)
    for (int y = size_[1] - 1; y >= 0; --y)
      for (int x = size_[0] - 1; x >= 0; --x)
        if (empty_rings_[index(x, y, z)] > 0) relax(x, y, z);
}

double TriangleGrid::distance_mm(const V3& p_mm, double within_mm) const {
  if (triangles_.empty()) return within_mm;
  double least = within_mm;
  if (box_.exteriorDistance(p_mm) >= within_mm) return within_mm;
  const std::array<int, 3> centre = cell_of(p_mm);
  // From outside the grid the nearest cell stands for the point: whatever lies r rings off that cell is at
  // least r - 1 cells from the cell's nearest point and from the point itself.
  const int most = std::max({size_[0], size_[1], size_[2]});
  for (int ring = empty_rings_[index(centre[0], centre[1], centre[2])]; ring <= most; ++ring) {
    if (ring > 0 && (ring - 1) * cell_mm_ > least) break;
    for (int z = std::max(0, centre[2] - ring); z <= std::min(size_[2] - 1, centre[2] + ring); ++z)
      for (int y = std::max(0, centre[1] - ring); y <= std::min(size_[1] - 1, centre[1] + ring); ++y) {
        const bool shell = std::abs(z - centre[2]) == ring || std::abs(y - centre[1]) == ring;
        const int step = shell || ring == 0 ? 1 : 2 * ring;
        for (int x = centre[0] - ring; x <= centre[0] + ring; x += step) {
          if (x < 0 || x >= size_[0]) continue;
          const std::size_t cell = index(x, y, z);
          for (std::uint32_t e = first_[cell]; e < first_[cell + 1]; ++e) {
            const Corners& t = triangles_[entries_[e]];
            least = std::min(least, distance_to_triangle(p_mm, t[0], t[1], t[2]));
          }
        }
      }
  }
  return least;
}

std::vector<std::uint32_t> TriangleGrid::touching(const Box3& box) const {
  std::vector<std::uint32_t> out;
  if (triangles_.empty() || !box_.intersects(box)) return out;
  const std::array<int, 3> low = cell_of(box.min()), high = cell_of(box.max());
  for (int z = low[2]; z <= high[2]; ++z)
    for (int y = low[1]; y <= high[1]; ++y)
      for (int x = low[0]; x <= high[0]; ++x) {
        const std::size_t cell = index(x, y, z);
        for (std::uint32_t e = first_[cell]; e < first_[cell + 1]; ++e)
          if (box_of(triangles_[entries_[e]]).intersects(box)) out.push_back(entries_[e]);
      }
  std::sort(out.begin(), out.end());
  out.erase(std::unique(out.begin(), out.end()), out.end());
  return out;
}

double TriangleGrid::turns_around(const V3& p_mm) const {
  double half = 0;
  for (const Corners& t : triangles_) {
    const V3 a = t[0] - p_mm, b = t[1] - p_mm, c = t[2] - p_mm;
    const double la = a.norm(), lb = b.norm(), lc = c.norm();
    half += std::atan2(a.dot(b.cross(c)), la * lb * lc + a.dot(b) * lc + b.dot(c) * la + c.dot(a) * lb);
  }
  return half / (2 * std::numbers::pi);
}

}  // namespace hosefit::recheck
