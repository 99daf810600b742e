// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/geometry/triangle_mesh.h"

#include <map>
#include <numbers>
#include <tuple>

namespace hosefit {

AxisBox bounds(const TriangleMesh& mesh) {
  AxisBox box;
  for (const Vec3& v : mesh.vertices_mm) box.extend(v);
  return box;
}

bool is_closed(const TriangleMesh& mesh) {
  if (mesh.triangles.empty()) return false;
  std::map<std::tuple<double, double, double>, std::uint32_t> first_at;
  std::vector<std::uint32_t> same(mesh.vertices_mm.size());
  for (std::uint32_t i = 0; i < mesh.vertices_mm.size(); ++i) {
    const Vec3& v = mesh.vertices_mm[i];
    same[i] = first_at.try_emplace({v.x(), v.y(), v.z()}, i).first->second;
  }
  std::map<std::pair<std::uint32_t, std::uint32_t>, int> uses;
  for (const auto& t : mesh.triangles) {
    for (int k = 0; k < 3; ++k) {
      const std::uint32_t a = same[t[static_cast<std::size_t>(k)]];
      const std::uint32_t b = same[t[static_cast<std::size_t>((k + 1) % 3)]];
      if (a == b) continue;  // a triangle without area adds no open edge
      ++uses[{a, b}];
    }
  }
  for (const auto& [edge, count] : uses) {
    const auto back = uses.find({edge.second, edge.first});
    if (back == uses.end() || back->second != count) return false;
  }
  return true;
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
