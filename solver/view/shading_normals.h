// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <vector>

#include "solver/geometry/triangle_mesh.h"

namespace hosefit {

/// Three unit normals per triangle, one per corner: the mean (by area) over the triangles round the corner
/// that lean less than the crease angle from this one, so that round parts look round and edges stay sharp.
/// Only triangles that share the vertex index count. Zero for triangles without area.
std::vector<std::array<Eigen::Vector3f, 3>> corner_normals(const TriangleMesh& mesh, double crease_rad);

}  // namespace hosefit
