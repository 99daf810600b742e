// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/geometry/triangle_mesh.h"

#include <numbers>

#include "solver/geometry/mesh_edges.h"
#include "solver/geometry/vertex_welding.h"

namespace hosefit {

AxisBox bounds(const TriangleMesh& mesh) {
  AxisBox box;
  for (const Vec3& v : mesh.vertices_mm) box.extend(v);
  return box;
}

bool is_closed(const TriangleMesh& mesh) {
  const MeshEdges edges(mesh, first_vertex_at_each_place(mesh));
  for (std::size_t e = 0; e < edges.count(); ++e) {
    int up = 0;
    for (const std::uint32_t side : edges.sides(e)) up += edges.runs_up(side) ? 1 : -1;
    if (up != 0) return false;
  }
  return !mesh.triangles.empty();
}

double winding_number(const TriangleMesh& mesh, const Vec3& p_mm) {
  double solid_angle = 0;
  for (const auto& t : mesh.triangles) {
    const Vec3 a = mesh.vertices_mm[t[0]] - p_mm;
    const Vec3 b = mesh.vertices_mm[t[1]] - p_mm;
    const Vec3 c = mesh.vertices_mm[t[2]] - p_mm;
    const double la = a.norm();
    const double lb = b.norm();
    const double lc = c.norm();
    const double bottom = la * lb * lc + a.dot(b) * lc + b.dot(c) * la + c.dot(a) * lb;
    solid_angle += 2.0 * std::atan2(a.dot(b.cross(c)), bottom);
  }
  return solid_angle / (4.0 * std::numbers::pi);
}

}  // namespace hosefit
