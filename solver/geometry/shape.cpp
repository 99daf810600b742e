// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/geometry/shape.h"

#include <cmath>

namespace hosefit {
namespace {

// Box of a disc square to `axis` (unit).
AxisBox disc_box(const Vec3& centre, const Vec3& axis, double radius) {
  const Vec3 half = radius * (Vec3::Ones() - axis.cwiseProduct(axis)).cwiseMax(0.0).cwiseSqrt();
  return {Vec3(centre - half), Vec3(centre + half)};
}
AxisBox ball_box(const Vec3& centre, double radius) {
  return {Vec3(centre - Vec3::Constant(radius)), Vec3(centre + Vec3::Constant(radius))};
}

AxisBox box_of(const BoxShape& box) {
  const Vec3 half = box.frame.rotation.cwiseAbs() * box.half_size_mm;
  return {Vec3(box.frame.origin_mm - half), Vec3(box.frame.origin_mm + half)};
}
AxisBox box_of(const ConeShape& cone) {
  const Vec3 axis = (cone.b_mm - cone.a_mm).normalized();
  return disc_box(cone.a_mm, axis, cone.radius_a_mm).merged(disc_box(cone.b_mm, axis, cone.radius_b_mm));
}
AxisBox box_of(const CylinderShape& c) {
  return box_of(ConeShape{c.a_mm, c.b_mm, c.radius_mm, c.radius_mm});
}
AxisBox box_of(const CapsuleShape& c) {
  return ball_box(c.a_mm, c.radius_mm).merged(ball_box(c.b_mm, c.radius_mm));
}
AxisBox box_of(const SphereShape& s) {
  return ball_box(s.centre_mm, s.radius_mm);
}
AxisBox box_of(const ExtrusionShape& extrusion) {
  AxisBox box;
  for (const Vec2& v : extrusion.outline_mm)
    for (const double z : {0.0, extrusion.height_mm}) box.extend(extrusion.frame.point({v.x(), v.y(), z}));
  return box;
}
AxisBox box_of(const RailShape& rail) {
  return bounds(tessellate(rail, 1.0));
}
AxisBox box_of(const MeshShape& mesh) {
  return bounds(*mesh.mesh);
}

Shape moved(const BoxShape& s, const Pose& pose) {
  return BoxShape{pose * s.frame, s.half_size_mm};
}
Shape moved(const CylinderShape& s, const Pose& pose) {
  return CylinderShape{pose.point(s.a_mm), pose.point(s.b_mm), s.radius_mm};
}
Shape moved(const CapsuleShape& s, const Pose& pose) {
  return CapsuleShape{pose.point(s.a_mm), pose.point(s.b_mm), s.radius_mm};
}
Shape moved(const SphereShape& s, const Pose& pose) {
  return SphereShape{pose.point(s.centre_mm), s.radius_mm};
}
Shape moved(const ConeShape& s, const Pose& pose) {
  return ConeShape{pose.point(s.a_mm), pose.point(s.b_mm), s.radius_a_mm, s.radius_b_mm};
}
Shape moved(const ExtrusionShape& s, const Pose& pose) {
  return ExtrusionShape{pose * s.frame, s.outline_mm, s.height_mm};
}
Shape moved(const RailShape& s, const Pose& pose) {
  RailShape out = s;
  for (Vec3& p : out.path_mm) p = pose.point(p);
  out.up = pose.direction(s.up);
  return out;
}
Shape moved(const MeshShape& s, const Pose& pose) {
  TriangleMesh mesh = *s.mesh;
  for (Vec3& v : mesh.vertices_mm) v = pose.point(v);
  return MeshShape{s.file, std::make_shared<const TriangleMesh>(std::move(mesh))};
}

}  // namespace

AxisBox bounds(const Shape& shape) {
  return std::visit([](const auto& s) { return box_of(s); }, shape);
}

Shape transformed(const Shape& shape, const Pose& pose) {
  return std::visit([&](const auto& s) { return moved(s, pose); }, shape);
}

}  // namespace hosefit
