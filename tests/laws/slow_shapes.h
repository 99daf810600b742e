// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <algorithm>
#include <cmath>
#include <limits>
#include <type_traits>
#include <variant>
#include <vector>

#include "solver/geometry/shape.h"

/// Distances to obstacles, slow and plain, that share no code with the product but the tessellation of rails.
/// Millimetres, in the body's frame; negative inside.
namespace hosefit::laws {

inline double to_segment(const Vec2& p, const Vec2& a, const Vec2& b) {
  const Vec2 along = b - a;
  const double share = std::clamp((p - a).dot(along) / along.squaredNorm(), 0.0, 1.0);
  return (p - a - share * along).norm();
}

inline double to_segment(const Vec3& p, const Vec3& a, const Vec3& b) {
  const Vec3 along = b - a;
  const double share = std::clamp((p - a).dot(along) / along.squaredNorm(), 0.0, 1.0);
  return (p - a - share * along).norm();
}

/// A solid of revolution about a-b: radius `ra` at a, `rb` at b, flat ends.
inline double to_turned(const Vec3& p, const Vec3& a, const Vec3& b, double ra, double rb) {
  const double h = (b - a).norm();
  const Vec3 axis = (b - a) / h;
  const double t = (p - a).dot(axis);
  const Vec2 q(t, (p - a - t * axis).norm());
  const double off =
      std::min({to_segment(q, {0, 0}, {0, std::max(ra, 1e-12)}), to_segment(q, {0, ra}, {h, rb}),
                to_segment(q, {h, 0}, {h, std::max(rb, 1e-12)})});
  const bool inside = t > 0 && t < h && q.y() < ra + (rb - ra) * t / h;
  return inside ? -off : off;
}

inline double to_extrusion(const ExtrusionShape& shape, const Vec3& p_mm) {
  const Vec3 p = shape.frame.rotation.transpose() * (p_mm - shape.frame.origin_mm);
  const auto& outline = shape.outline_mm;
  double off = std::numeric_limits<double>::infinity();
  bool inside = false;
  for (std::size_t i = 0, j = outline.size() - 1; i < outline.size(); j = i++) {
    const Vec2 &a = outline[j], &b = outline[i];
    off = std::min(off, to_segment(Vec2(p.x(), p.y()), a, b));
    if ((a.y() > p.y()) != (b.y() > p.y()) &&
        p.x() < a.x() + (b.x() - a.x()) * (p.y() - a.y()) / (b.y() - a.y()))
      inside = !inside;
  }
  const double flat = inside ? -off : off;
  const double deep = std::max(-p.z(), p.z() - shape.height_mm);
  if (flat < 0 && deep < 0) return std::max(flat, deep);
  return std::hypot(std::max(flat, 0.0), std::max(deep, 0.0));
}

inline double to_triangle(const Vec3& p, const Vec3& a, const Vec3& b, const Vec3& c) {
  const Vec3 n = (b - a).cross(c - a);
  double least = std::min({to_segment(p, a, b), to_segment(p, b, c), to_segment(p, c, a)});
  if (n.norm() < 1e-12) return least;
  const Vec3 u = n.normalized();
  const double high = (p - a).dot(u);
  const Vec3 q = p - high * u;
  const bool over = (b - a).cross(q - a).dot(n) >= 0 && (c - b).cross(q - b).dot(n) >= 0 &&
                    (a - c).cross(q - c).dot(n) >= 0;
  return over ? std::abs(high) : least;
}

inline bool ray_crosses(const Vec3& p, const Vec3& way, const Vec3& a, const Vec3& b, const Vec3& c) {
  const Vec3 n = (b - a).cross(c - a);
  const double steep = way.dot(n);
  if (steep == 0) return false;
  const double t = (a - p).dot(n) / steep;
  if (t < 0) return false;
  const Vec3 q = p + t * way;
  return (b - a).cross(q - a).dot(n) >= 0 && (c - b).cross(q - b).dot(n) >= 0 &&
         (a - c).cross(q - c).dot(n) >= 0;
}

/// Inside by the majority of three rays.
inline bool inside(const TriangleMesh& mesh, const Vec3& p) {
  int votes = 0;
  for (const Vec3& way : {Vec3(0.7, 0.31, 0.64), Vec3(-0.41, 0.83, -0.37), Vec3(0.13, -0.57, 0.81)}) {
    bool odd = false;
    for (const auto& t : mesh.triangles)
      if (ray_crosses(p, way, mesh.vertices_mm[t[0]], mesh.vertices_mm[t[1]], mesh.vertices_mm[t[2]]))
        odd = !odd;
    votes += odd;
  }
  return votes >= 2;
}

inline double to_mesh(const TriangleMesh& mesh, bool closed, const Vec3& p) {
  double least = std::numeric_limits<double>::infinity();
  for (const auto& t : mesh.triangles)
    least = std::min(least,
                     to_triangle(p, mesh.vertices_mm[t[0]], mesh.vertices_mm[t[1]], mesh.vertices_mm[t[2]]));
  return closed && inside(mesh, p) ? -least : least;
}

inline double distance_mm(const Shape& shape, bool closed, const Vec3& p) {
  return std::visit(
      [&](const auto& s) -> double {
        using Kind = std::decay_t<decltype(s)>;
        if constexpr (std::is_same_v<Kind, BoxShape>) {
          const Vec3 over =
              (s.frame.rotation.transpose() * (p - s.frame.origin_mm)).cwiseAbs() - s.half_size_mm;
          const double out = over.cwiseMax(0.0).norm();
          return out > 0 ? out : over.maxCoeff();
        } else if constexpr (std::is_same_v<Kind, SphereShape>) {
          return (p - s.centre_mm).norm() - s.radius_mm;
        } else if constexpr (std::is_same_v<Kind, CapsuleShape>) {
          return to_segment(p, s.a_mm, s.b_mm) - s.radius_mm;
        } else if constexpr (std::is_same_v<Kind, CylinderShape>) {
          return to_turned(p, s.a_mm, s.b_mm, s.radius_mm, s.radius_mm);
        } else if constexpr (std::is_same_v<Kind, ConeShape>) {
          return to_turned(p, s.a_mm, s.b_mm, s.radius_a_mm, s.radius_b_mm);
        } else if constexpr (std::is_same_v<Kind, ExtrusionShape>) {
          return to_extrusion(s, p);
        } else if constexpr (std::is_same_v<Kind, RailShape>) {
          return to_mesh(tessellate(shape, 0.05), true, p);
        } else {
          return to_mesh(*s.mesh, closed, p);
        }
      },
      shape);
}

}  // namespace hosefit::laws
