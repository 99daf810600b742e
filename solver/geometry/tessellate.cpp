// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

#include "solver/geometry/shape.h"
#include "solver/geometry/triangulate_polygon.h"

namespace hosefit {
namespace {

using Index = std::uint32_t;

class MeshBuilder {
 public:
  Index vertex(const Vec3& v) {
    mesh_.vertices_mm.push_back(v);
    return static_cast<Index>(mesh_.vertices_mm.size() - 1);
  }
  void triangle(Index a, Index b, Index c) { mesh_.triangles.push_back({a, b, c}); }
  void quad(Index a, Index b, Index c, Index d) {
    triangle(a, b, c);
    triangle(a, c, d);
  }
  TriangleMesh take() { return std::move(mesh_); }

 private:
  TriangleMesh mesh_;
};

// A ring of n vertices about `centre`, or a single vertex when the radius is 0. Seen against `frame`'s Z it
// runs counter-clockwise.
std::vector<Index> ring(MeshBuilder& out, const Pose& frame, double z, double radius, int n) {
  if (radius <= 0) return {out.vertex(frame.point({0, 0, z}))};
  std::vector<Index> ids;
  for (int i = 0; i < n; ++i) {
    const double t = 2 * std::numbers::pi * i / n;
    ids.push_back(out.vertex(frame.point({radius * std::cos(t), radius * std::sin(t), z})));
  }
  return ids;
}

// The band between a lower and an upper ring, outward; either may be a single vertex.
void band(MeshBuilder& out, const std::vector<Index>& low, const std::vector<Index>& high) {
  const std::size_t n = std::max(low.size(), high.size());
  if (n == 1) return;
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t j = (i + 1) % n;
    if (low.size() == 1) {
      out.triangle(low[0], high[j], high[i]);
    } else if (high.size() == 1) {
      out.triangle(low[i], low[j], high[0]);
    } else {
      out.quad(low[i], low[j], high[j], high[i]);
    }
  }
}

Pose axis_frame(const Vec3& a, const Vec3& b) {
  return Pose::from_axes(a, b - a, any_perpendicular(b - a));
}

// Sides of the regular polygon around a circle whose corners stand off by at most the overshoot.
int sides(double radius, double overshoot) {
  const double half_angle = std::acos(radius / (radius + overshoot));
  return std::max(8, static_cast<int>(std::ceil(std::numbers::pi / half_angle)));
}

TriangleMesh triangles_of(const BoxShape& box, double) {
  MeshBuilder out;
  for (int i = 0; i < 8; ++i) {
    const Vec3 corner((i & 1) ? 1 : -1, (i & 2) ? 1 : -1, (i & 4) ? 1 : -1);
    out.vertex(box.frame.point(corner.cwiseProduct(box.half_size_mm)));
  }
  out.quad(0, 2, 3, 1);
  out.quad(4, 5, 7, 6);
  out.quad(0, 1, 5, 4);
  out.quad(2, 6, 7, 3);
  out.quad(0, 4, 6, 2);
  out.quad(1, 3, 7, 5);
  return out.take();
}

TriangleMesh triangles_of(const ConeShape& cone, double overshoot) {
  const double h = (cone.b_mm - cone.a_mm).norm();
  const int n = sides(std::max(cone.radius_a_mm, cone.radius_b_mm), overshoot);
  const double out_by = 1 / std::cos(std::numbers::pi / n);
  const Pose frame = axis_frame(cone.a_mm, cone.b_mm);
  MeshBuilder out;
  const auto low = ring(out, frame, 0, cone.radius_a_mm * out_by, n);
  const auto high = ring(out, frame, h, cone.radius_b_mm * out_by, n);
  band(out, low, high);
  if (low.size() > 1) band(out, {out.vertex(frame.point({0, 0, 0}))}, low);
  if (high.size() > 1) band(out, high, {out.vertex(frame.point({0, 0, h}))});
  return out.take();
}
TriangleMesh triangles_of(const CylinderShape& c, double overshoot) {
  return triangles_of(ConeShape{c.a_mm, c.b_mm, c.radius_mm, c.radius_mm}, overshoot);
}

// A globe of `meridians` x 2 `parallels` flat facets with corners on the unit sphere: the least distance of a
// facet from the centre. Blown up by its inverse the globe contains the sphere.
double facet_distance(int meridians, int parallels) {
  const double c = std::cos(std::numbers::pi / meridians);
  double least = 1;
  for (int k = 0; k < parallels; ++k) {
    const double low = std::numbers::pi / 2 * k / parallels;
    const double high = std::numbers::pi / 2 * (k + 1) / parallels;
    const Vec2 a(c * std::cos(low), std::sin(low));
    const Vec2 b(c * std::cos(high), std::sin(high));
    least = std::min(least, std::abs(a.x() * b.y() - a.y() * b.x()) / (b - a).norm());
  }
  return least;
}

// Two half globes with their equators joined: a capsule, or a sphere when a and b coincide.
TriangleMesh globe(const Pose& frame, double length, double radius, double overshoot) {
  int meridians = std::max(8, sides(radius, overshoot) / 4 * 4);
  while (radius * (1 / facet_distance(meridians, meridians / 4) - 1) > overshoot) meridians += 4;
  const int parallels = meridians / 4;
  const double r = radius / facet_distance(meridians, parallels);
  MeshBuilder out;
  std::vector<Index> below;
  for (int k = -parallels; k <= parallels; ++k) {
    const double latitude = std::numbers::pi / 2 * k / parallels;
    const bool pole = std::abs(k) == parallels;
    const double z = r * std::sin(latitude) + (k > 0 ? length : 0);
    const auto here = ring(out, frame, z, pole ? 0 : r * std::cos(latitude), meridians);
    if (!below.empty()) band(out, below, here);
    below = here;
    if (k == 0 && length > 0) {
      below = ring(out, frame, length, r, meridians);
      band(out, here, below);
    }
  }
  return out.take();
}
TriangleMesh triangles_of(const CapsuleShape& capsule, double overshoot) {
  const double length = (capsule.b_mm - capsule.a_mm).norm();
  const Pose frame = length > 0 ? axis_frame(capsule.a_mm, capsule.b_mm) : Pose::translation(capsule.a_mm);
  return globe(frame, length, capsule.radius_mm, overshoot);
}
TriangleMesh triangles_of(const SphereShape& sphere, double overshoot) {
  return globe(Pose::translation(sphere.centre_mm), 0, sphere.radius_mm, overshoot);
}

TriangleMesh triangles_of(const ExtrusionShape& extrusion, double) {
  MeshBuilder out;
  std::vector<Index> low, high;
  for (const Vec2& v : extrusion.outline_mm)
    low.push_back(out.vertex(extrusion.frame.point({v.x(), v.y(), 0})));
  for (const Vec2& v : extrusion.outline_mm)
    high.push_back(out.vertex(extrusion.frame.point({v.x(), v.y(), extrusion.height_mm})));
  band(out, low, high);
  for (const auto& t : triangulate_polygon(extrusion.outline_mm)) {
    out.triangle(low[t[0]], low[t[2]], low[t[1]]);
    out.triangle(high[t[0]], high[t[1]], high[t[2]]);
  }
  return out.take();
}

// Directions of the legs; legs without length take over the direction before them.
std::vector<Vec3> leg_directions(const std::vector<Vec3>& path) {
  std::vector<Vec3> legs;
  for (std::size_t i = 0; i + 1 < path.size(); ++i) {
    const Vec3 leg = path[i + 1] - path[i];
    if (leg.norm() > 0) {
      legs.push_back(leg.normalized());
    } else {
      legs.push_back(legs.empty() ? Vec3::UnitX() : legs.back());
    }
  }
  return legs;
}

// The rectangle is carried round each corner by the shortest turn, so that its edges before and after meet in
// the mitre plane.
TriangleMesh triangles_of(const RailShape& rail, double) {
  MeshBuilder out;
  if (rail.path_mm.size() < 2) return out.take();
  const std::vector<Vec3> legs = leg_directions(rail.path_mm);
  const Vec3 up =
      rail.up.cross(legs[0]).norm() > 1e-9 * rail.up.norm() ? rail.up : any_perpendicular(legs[0]);
  Vec3 side = legs[0].cross(up).normalized() * (rail.width_mm / 2);
  Vec3 rise = side.normalized().cross(legs[0]).normalized() * (rail.height_mm / 2);
  std::vector<Index> before;
  for (std::size_t i = 0; i < rail.path_mm.size(); ++i) {
    const Vec3& along = legs[i == 0 ? 0 : i - 1];
    Vec3 plane = along;
    if (i > 0 && i < legs.size() && (along + legs[i]).norm() > 1e-3) plane = (along + legs[i]).normalized();
    std::vector<Index> here;
    for (const Vec3& corner : {Vec3(-side - rise), Vec3(-side + rise), Vec3(side + rise), Vec3(side - rise)})
      here.push_back(out.vertex(rail.path_mm[i] + corner - plane.dot(corner) / plane.dot(along) * along));
    if (before.empty()) {
      out.quad(here[3], here[2], here[1], here[0]);
    } else {
      band(out, before, here);
    }
    before = here;
    if (i > 0 && i < legs.size()) {
      const auto turn = Eigen::Quaterniond::FromTwoVectors(along, legs[i]);
      side = turn * side;
      rise = turn * rise;
    }
  }
  out.quad(before[0], before[1], before[2], before[3]);
  return out.take();
}

TriangleMesh triangles_of(const MeshShape& mesh, double) {
  return *mesh.mesh;
}

}  // namespace

TriangleMesh tessellate(const Shape& shape, double overshoot_mm) {
  assert(overshoot_mm > 0);
  return std::visit([&](const auto& s) { return triangles_of(s, overshoot_mm); }, shape);
}

}  // namespace hosefit
