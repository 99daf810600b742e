// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <cstdint>
#include <vector>

#include "solver/geometry/vec.h"

namespace hosefit {

/// Triangles over shared vertices; counter-clockwise seen from outside where the surface is closed.
struct TriangleMesh {
  std::vector<Vec3> vertices_mm;
  std::vector<std::array<std::uint32_t, 3>> triangles;  ///< each index below vertices_mm.size()
};

AxisBox bounds(const TriangleMesh& mesh);

/// True when every edge is used as often in one direction as in the other. Vertices at exactly the same place
/// count as one (STL files repeat them); triangles with a corner twice do not count.
bool is_closed(const TriangleMesh& mesh);

/// Generalised winding number of a point (Jacobson, Kavan, Sorkine-Hornung, ACM Trans. Graph. 32 (2013)): 1
/// inside a closed outward surface, 0 outside, in between where the surface has holes. Solid angles after Van
/// Oosterom and Strackee, IEEE Trans. Biomed. Eng. 30 (1983) 125. Linear in the number of triangles.
double winding_number(const TriangleMesh& mesh, const Vec3& p_mm);

}  // namespace hosefit
