// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/scene/picking.h"

#include <cmath>

namespace hosefit {
namespace {

Vec3 at(const Point3f& p) {
  return {p[0], p[1], p[2]};
}

// Slabs; a ray along a face counts as meeting it.
bool meets_box(const Ray& ray, const AxisBox& box) {
  double from = 0, to = std::numeric_limits<double>::infinity();
  for (Eigen::Index i = 0; i < 3; ++i) {
    if (std::abs(ray.direction[i]) < 1e-12) {
      if (ray.origin_mm[i] < box.min()[i] || ray.origin_mm[i] > box.max()[i]) return false;
      continue;
    }
    double a = (box.min()[i] - ray.origin_mm[i]) / ray.direction[i],
           b = (box.max()[i] - ray.origin_mm[i]) / ray.direction[i];
    if (a > b) std::swap(a, b);
    from = std::max(from, a);
    to = std::min(to, b);
  }
  return from <= to;
}

// Keeps the nearest of what is met and shown.
struct Nearest {
  const Section& section;
  Ray ray;  // vehicle frame
  std::optional<Hit> hit;

  void offer(double distance_mm, const Selected& what) {
    if (hit && distance_mm >= hit->distance_mm) return;
    const Vec3 p_mm = ray.origin_mm + distance_mm * ray.direction;
    if (!is_shown(section, p_mm)) return;
    hit = Hit{distance_mm, p_mm, what};
  }
};

void pick_body(const DrawnBody& body, Nearest& nearest) {
  const Ray own{body.pose.point_inverse(nearest.ray.origin_mm),
                body.pose.direction_inverse(nearest.ray.direction)};
  const SolidMesh& mesh = *body.mesh;
  for (std::size_t o = 0; o < mesh.obstacles.size(); ++o) {
    if (!meets_box(own, mesh.boxes[o])) continue;
    const MeshRange& range = mesh.obstacles[o];
    for (std::uint32_t i = range.first_index; i < range.first_index + range.index_count; i += 3) {
      const auto corner = [&](std::uint32_t k) { return at(mesh.vertices[mesh.indices[i + k]].at_mm); };
      if (const auto t = meet_triangle(own, corner(0), corner(1), corner(2)))
        nearest.offer(*t, ObstacleRef{body.body, o});
    }
  }
}

}  // namespace

std::optional<double> meet_triangle(const Ray& ray, const Vec3& a_mm, const Vec3& b_mm, const Vec3& c_mm) {
  const Vec3 u = b_mm - a_mm, v = c_mm - a_mm, p = ray.direction.cross(v);
  const double det = u.dot(p);
  if (det == 0) return std::nullopt;
  const Vec3 s = ray.origin_mm - a_mm, q = s.cross(u);
  const double x = s.dot(p) / det, y = ray.direction.dot(q) / det, t = v.dot(q) / det;
  if (x < 0 || y < 0 || x + y > 1 || t < 0) return std::nullopt;
  return t;
}

std::optional<Hit> pick(const PaneScene& scene, const Ray& ray) {
  Nearest nearest{scene.section, ray, std::nullopt};
  for (const DrawnBody& body : scene.bodies)
    if (body.look == BodyLook::solid) pick_body(body, nearest);
  for (const auto& tube : scene.tubes) {
    if (!meets_box(ray, tube->box)) continue;
    for (std::size_t i = 0; i + 2 < tube->indices.size(); i += 3) {
      const auto corner = [&](std::size_t k) { return at(tube->vertices[tube->indices[i + k]].at_mm); };
      if (const auto t = meet_triangle(ray, corner(0), corner(1), corner(2)))
        nearest.offer(*t, SelectedLine{tube->line});
    }
  }
  return nearest.hit;
}

}  // namespace hosefit
