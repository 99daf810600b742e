// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>

#include "solver/geometry/closest.h"
#include "solver/geometry/shape.h"

namespace hosefit {
namespace {

// Signed distance to a product of two sets from the signed distances to each: exact, since the closest point
// of a product is the pair of closest points.
double of_product(double first, double second) {
  if (first <= 0 && second <= 0) return std::max(first, second);
  return std::hypot(std::max(first, 0.0), std::max(second, 0.0));
}

double distance_to_segment(const Vec2& p, const Vec2& a, const Vec2& b) {
  const Vec2 run = b - a;
  const double l2 = run.squaredNorm();
  const double t = l2 > 0 ? std::clamp((p - a).dot(run) / l2, 0.0, 1.0) : 0.0;
  return (a + t * run - p).norm();
}

// Even-odd rule; the half-open test counts an edge that ends at the ray's height once.
double signed_distance_to_polygon(const Vec2& p, const std::vector<Vec2>& outline) {
  double d = std::numeric_limits<double>::infinity();
  bool inside = false;
  for (std::size_t i = 0, j = outline.size() - 1; i < outline.size(); j = i++) {
    const Vec2& a = outline[i];
    const Vec2& b = outline[j];
    d = std::min(d, distance_to_segment(p, a, b));
    if ((a.y() > p.y()) != (b.y() > p.y()) &&
        p.x() < (b.x() - a.x()) * (p.y() - a.y()) / (b.y() - a.y()) + a.x())
      inside = !inside;
  }
  return inside ? -d : d;
}

// A solid of revolution seen in its half-plane: distance from the axis, height above end a.
struct AxisPoint {
  double out_mm = 0, along_mm = 0;
};
AxisPoint about_axis(const Vec3& p, const Vec3& a, const Vec3& b) {
  const Vec3 axis = (b - a).normalized();
  const Vec3 v = p - a;
  return {axis.cross(v).norm(), axis.dot(v)};
}

double signed_distance(const BoxShape& box, const Vec3& p) {
  const Vec3 q = box.frame.point_inverse(p).cwiseAbs() - box.half_size_mm;
  return q.cwiseMax(0.0).norm() + std::min(q.maxCoeff(), 0.0);
}

double signed_distance(const CylinderShape& cylinder, const Vec3& p) {
  const AxisPoint q = about_axis(p, cylinder.a_mm, cylinder.b_mm);
  const double half = (cylinder.b_mm - cylinder.a_mm).norm() / 2;
  return of_product(q.out_mm - cylinder.radius_mm, std::abs(q.along_mm - half) - half);
}

double signed_distance(const CapsuleShape& capsule, const Vec3& p) {
  return (p - closest_on_segment(p, capsule.a_mm, capsule.b_mm)).norm() - capsule.radius_mm;
}

double signed_distance(const SphereShape& sphere, const Vec3& p) {
  return (p - sphere.centre_mm).norm() - sphere.radius_mm;
}

double signed_distance(const ConeShape& cone, const Vec3& p) {
  const AxisPoint q = about_axis(p, cone.a_mm, cone.b_mm);
  const double h = (cone.b_mm - cone.a_mm).norm();
  const Vec2 at(q.out_mm, q.along_mm);
  const Vec2 rim_a(cone.radius_a_mm, 0);
  const Vec2 rim_b(cone.radius_b_mm, h);
  const double d = std::min({distance_to_segment(at, {0, 0}, rim_a), distance_to_segment(at, rim_a, rim_b),
                             distance_to_segment(at, {0, h}, rim_b)});
  const double radius_here = cone.radius_a_mm + (cone.radius_b_mm - cone.radius_a_mm) * q.along_mm / h;
  return q.along_mm > 0 && q.along_mm < h && q.out_mm < radius_here ? -d : d;
}

double signed_distance(const ExtrusionShape& extrusion, const Vec3& p) {
  const Vec3 q = extrusion.frame.point_inverse(p);
  const double half = extrusion.height_mm / 2;
  return of_product(signed_distance_to_polygon({q.x(), q.y()}, extrusion.outline_mm),
                    std::abs(q.z() - half) - half);
}

[[noreturn]] double no_closed_form() {
  assert(false && "a rail or mesh has no closed form");
  std::abort();
}
double signed_distance(const RailShape&, const Vec3&) {
  no_closed_form();
}
double signed_distance(const MeshShape&, const Vec3&) {
  no_closed_form();
}

}  // namespace

bool has_closed_form(const Shape& shape) {
  return !std::holds_alternative<RailShape>(shape) && !std::holds_alternative<MeshShape>(shape);
}

double signed_distance_mm(const Shape& shape, const Vec3& p_mm) {
  return std::visit([&](const auto& s) { return signed_distance(s, p_mm); }, shape);
}

}  // namespace hosefit
