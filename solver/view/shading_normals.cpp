// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/view/shading_normals.h"

#include <cmath>

namespace hosefit {
namespace {

// Triangles round each vertex: those of vertex v are members[starts[v]] .. members[starts[v + 1] - 1].
struct Fans {
  std::vector<std::uint32_t> starts, members;
};
Fans fans_of(const TriangleMesh& mesh) {
  Fans fans;
  fans.starts.assign(mesh.vertices_mm.size() + 1, 0);
  for (const auto& t : mesh.triangles)
    for (const std::uint32_t corner : t) ++fans.starts[corner + 1];
  for (std::size_t v = 1; v < fans.starts.size(); ++v) fans.starts[v] += fans.starts[v - 1];
  fans.members.resize(3 * mesh.triangles.size());
  std::vector<std::uint32_t> next(fans.starts.begin(), fans.starts.end() - 1);
  for (std::size_t i = 0; i < mesh.triangles.size(); ++i)
    for (const std::uint32_t corner : mesh.triangles[i])
      fans.members[next[corner]++] = static_cast<std::uint32_t>(i);
  return fans;
}

}  // namespace

std::vector<std::array<Eigen::Vector3f, 3>> corner_normals(const TriangleMesh& mesh, double crease_rad) {
  std::vector<Vec3> areas, units;
  for (const auto& t : mesh.triangles) {
    const Vec3& a = mesh.vertices_mm[t[0]];
    areas.push_back((mesh.vertices_mm[t[1]] - a).cross(mesh.vertices_mm[t[2]] - a));
    const double norm = areas.back().norm();
    units.push_back(norm > 0 ? Vec3(areas.back() / norm) : Vec3(Vec3::Zero()));
  }
  const Fans fans = fans_of(mesh);
  const double least_cosine = std::cos(crease_rad);
  std::vector<std::array<Eigen::Vector3f, 3>> out(mesh.triangles.size());
  for (std::size_t i = 0; i < mesh.triangles.size(); ++i)
    for (std::size_t k = 0; k < 3; ++k) {
      const std::uint32_t vertex = mesh.triangles[i][k];
      Vec3 sum = Vec3::Zero();
      for (std::uint32_t m = fans.starts[vertex]; m < fans.starts[vertex + 1]; ++m) {
        const std::uint32_t other = fans.members[m];
        if (units[other].dot(units[i]) >= least_cosine) sum += areas[other];
      }
      const double norm = sum.norm();
      out[i][k] = (norm > 0 ? Vec3(sum / norm) : units[i]).cast<float>();
    }
  return out;
}

}  // namespace hosefit
