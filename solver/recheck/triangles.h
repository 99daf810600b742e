// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "solver/recheck/space.h"

namespace hosefit::recheck {

using Corners = std::array<V3, 3>;

/// Triangles of an STL file (text or binary) or an OBJ file, in millimetres; or one sentence why not. Counts
/// are held against the size of the file before anything is made; what is not finite or farther than 20 m off
/// is refused.
std::variant<std::vector<Corners>, std::string> read_triangles(std::string_view bytes, double mm_per_unit);

/// The same of a PLY file (G. Turk, The PLY Polygon File Format, Stanford 1994), text or binary; corners
/// beyond three as a fan. Elements other than vertex and face are refused.
std::variant<std::vector<Corners>, std::string> read_ply_triangles(std::string_view bytes,
                                                                   double mm_per_unit);

/// Every edge is used by exactly two triangles, once each way; corners at the very same place are one.
bool is_watertight(const std::vector<Corners>& triangles);

/// Triangles in a plain grid of cells. Immutable.
class TriangleGrid {
 public:
  explicit TriangleGrid(std::vector<Corners> triangles);

  const Box3& box() const { return box_; }
  const std::vector<Corners>& triangles() const { return triangles_; }
  /// Distance to the nearest triangle; `within_mm` when none is nearer than that. Exact to rounding.
  double distance_mm(const V3& p_mm, double within_mm) const;
  /// Triangles whose boxes touch this box, ascending, each once.
  std::vector<std::uint32_t> touching(const Box3& box) const;
  /// How often the surface goes around a point: +-1 inside a watertight surface, 0 outside. Solid angles
  /// after Van Oosterom and Strackee, IEEE Trans. Biomed. Eng. 30 (1983) 125; linear in the number of
  /// triangles.
  double turns_around(const V3& p_mm) const;

 private:
  std::array<int, 3> cell_of(const V3& p_mm) const;
  std::size_t index(int x, int y, int z) const;
  void fill();
  void count_rings();

  std::vector<Corners> triangles_;
  Box3 box_;
  double cell_mm_ = 1;
  std::array<int, 3> size_{1, 1, 1};
  std::vector<std::uint32_t> first_;  // of each cell, into entries_; one more at the end
  std::vector<std::uint32_t> entries_;
  std::vector<std::uint16_t> empty_rings_;  // of each cell: so many rings of cells around it hold nothing
};

double distance_to_triangle(const V3& p, const V3& a, const V3& b, const V3& c);

}  // namespace hosefit::recheck
