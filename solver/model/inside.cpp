// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/model/inside.h"

#include <cmath>

namespace hosefit {
namespace {

// Moeller and Trumbore, J. Graphics Tools 2 (1997) 21.
std::optional<double> ray_triangle(const Vec3& from, const Vec3& direction, const Vec3& a, const Vec3& b,
                                   const Vec3& c) {
  const Vec3 e1 = b - a;
  const Vec3 e2 = c - a;
  const Vec3 p = direction.cross(e2);
  const double det = e1.dot(p);
  if (det == 0) return std::nullopt;
  const Vec3 s = from - a;
  const double u = s.dot(p) / det;
  const Vec3 q = s.cross(e1);
  const double v = direction.dot(q) / det;
  const double t = e2.dot(q) / det;
  if (u < 0 || v < 0 || u + v > 1 || t < 0) return std::nullopt;
  return t;
}

std::optional<double> first_triangle(const TriangleMesh& mesh, const Vec3& from, const Vec3& direction,
                                     double reach) {
  std::optional<double> nearest_hit;
  for (const auto& t : mesh.triangles) {
    const auto hit =
        ray_triangle(from, direction, mesh.vertices_mm[t[0]], mesh.vertices_mm[t[1]], mesh.vertices_mm[t[2]]);
    if (hit && *hit <= reach && (!nearest_hit || *hit < *nearest_hit)) nearest_hit = hit;
  }
  return nearest_hit;
}

std::shared_ptr<const TriangleMesh> triangles_of(const Obstacle& obstacle) {
  if (const auto* mesh = std::get_if<MeshShape>(&obstacle.shape)) return mesh->mesh;
  return std::make_shared<const TriangleMesh>(tessellate(obstacle.shape, 0.1));
}

}  // namespace

bool is_inside(const Obstacle& obstacle, const Vec3& p_mm, double skin_mm) {
  if (!obstacle.closed) return false;
  if (has_closed_form(obstacle.shape)) return signed_distance_mm(obstacle.shape, p_mm) < -skin_mm;
  const AxisBox box = bounds(obstacle.shape);
  if (((p_mm - box.min()).array() < skin_mm).any() || ((box.max() - p_mm).array() < skin_mm).any())
    return false;
  return std::abs(winding_number(*triangles_of(obstacle), p_mm)) > 0.5;
}

std::optional<double> first_hit_mm(const Obstacle& obstacle, const Vec3& from_mm, const Vec3& direction,
                                   double reach_mm) {
  if (!has_closed_form(obstacle.shape)) {
    if (is_inside(obstacle, from_mm, 0)) return 0.0;
    return first_triangle(*triangles_of(obstacle), from_mm, direction, reach_mm);
  }
  // The distance never changes faster than the place, so a step of that length passes nothing by.
  for (double s = 0; s <= reach_mm;) {
    const double d = signed_distance_mm(obstacle.shape, from_mm + s * direction);
    if (d < 0.01) return s;
    s += d;
  }
  return std::nullopt;
}

}  // namespace hosefit
