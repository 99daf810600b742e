// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/paper/view_outline.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace hosefit {
namespace {

constexpr int kCorners = 96;            // of a circle: 1 - cos(pi / 96) is 0.0005
constexpr double kOvershoot_mm = 0.05;  // far below the width of a pen at any scale

double turn(const Vec2& a, const Vec2& b, const Vec2& c) {
  return (b - a).x() * (c - a).y() - (b - a).y() * (c - a).x();
}

void add_disc(const Vec3& centre, const Vec3& normal, double radius, std::vector<Vec3>& out) {
  const Vec3 u = any_perpendicular(normal);
  const Vec3 v = normal.normalized().cross(u);
  for (int i = 0; i < kCorners; ++i) {
    const double angle = 2 * std::numbers::pi * i / kCorners;
    out.push_back(centre + radius * (std::cos(angle) * u + std::sin(angle) * v));
  }
}

// In the plane of the view, whatever its direction.
void add_ball(const Vec3& centre, double radius, const ViewAxes& view, std::vector<Vec3>& out) {
  add_disc(centre, view.near, radius, out);
}

struct Points {
  const ViewAxes& view;

  std::vector<Vec3> operator()(const BoxShape& box) const {
    std::vector<Vec3> out;
    for (int i = 0; i < 8; ++i) {
      const Vec3 sign((i & 1) != 0 ? 1 : -1, (i & 2) != 0 ? 1 : -1, (i & 4) != 0 ? 1 : -1);
      out.push_back(box.frame.point(sign.cwiseProduct(box.half_size_mm)));
    }
    return out;
  }
  std::vector<Vec3> operator()(const CylinderShape& c) const {
    std::vector<Vec3> out;
    for (const Vec3& end : {c.a_mm, c.b_mm}) add_disc(end, c.b_mm - c.a_mm, c.radius_mm, out);
    return out;
  }
  std::vector<Vec3> operator()(const ConeShape& c) const {
    std::vector<Vec3> out;
    add_disc(c.a_mm, c.b_mm - c.a_mm, c.radius_a_mm, out);
    add_disc(c.b_mm, c.b_mm - c.a_mm, c.radius_b_mm, out);
    return out;
  }
  std::vector<Vec3> operator()(const CapsuleShape& c) const {
    std::vector<Vec3> out;
    for (const Vec3& end : {c.a_mm, c.b_mm}) add_ball(end, c.radius_mm, view, out);
    return out;
  }
  std::vector<Vec3> operator()(const SphereShape& s) const {
    std::vector<Vec3> out;
    add_ball(s.centre_mm, s.radius_mm, view, out);
    return out;
  }
  template <class Other>
  std::vector<Vec3> operator()(const Other& other) const {
    return tessellate(Shape(other), kOvershoot_mm).vertices_mm;
  }
};

Outline flat_hull(const std::vector<Vec3>& points, const ViewAxes& view) {
  std::vector<Vec2> flat;
  flat.reserve(points.size());
  for (const Vec3& p : points) flat.push_back(view.flat(p));
  return convex_hull(std::move(flat));
}

}  // namespace

Outline convex_hull(std::vector<Vec2> points) {
  const auto before = [](const Vec2& a, const Vec2& b) {
    return a.x() < b.x() || (a.x() == b.x() && a.y() < b.y());
  };
  std::sort(points.begin(), points.end(), before);
  points.erase(std::unique(points.begin(), points.end()), points.end());
  if (points.size() < 3) return points;
  Outline hull;
  const auto walk = [&](const auto& first, const auto& last) {
    const std::size_t base = hull.size();
    for (auto p = first; p != last; ++p) {
      while (hull.size() >= base + 2 && turn(hull[hull.size() - 2], hull.back(), *p) <= 0) hull.pop_back();
      hull.push_back(*p);
    }
    hull.pop_back();  // the next walk begins with it
  };
  walk(points.begin(), points.end());
  walk(points.rbegin(), points.rend());
  return hull;
}

Outline outline_of(const Shape& shape, const ViewAxes& view) {
  return flat_hull(std::visit(Points{view}, shape), view);
}

bool is_convex(const Shape& shape) {
  return !std::holds_alternative<ExtrusionShape>(shape) && !std::holds_alternative<RailShape>(shape) &&
         !std::holds_alternative<MeshShape>(shape);
}

Outline disc_outline(const Vec3& centre_mm, const Vec3& normal, double radius_mm, const ViewAxes& view) {
  std::vector<Vec3> points;
  add_disc(centre_mm, normal, radius_mm, points);
  return flat_hull(points, view);
}

Eigen::AlignedBox2d box_of(const Outline& outline) {
  Eigen::AlignedBox2d box;
  for (const Vec2& p : outline) box.extend(p);
  return box;
}

double nearest(const Shape& shape, const ViewAxes& view) {
  const ViewAxes from_side{view.near, view.up, view.right};
  return box_of(outline_of(shape, from_side)).max().x();
}

}  // namespace hosefit
