// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <memory>
#include <string>
#include <variant>
#include <vector>

#include "solver/geometry/pose.h"
#include "solver/geometry/triangle_mesh.h"

/// The solids an obstacle may be made of, in the frame of their body. All but meshes are closed: inside is
/// solid.
namespace hosefit {

struct BoxShape {
  Pose frame;         ///< origin = centre of the box
  Vec3 half_size_mm;  ///< each > 0
};
struct CylinderShape {  ///< flat ends
  Vec3 a_mm, b_mm;      ///< centres of the end discs, not equal
  double radius_mm = 0;
};
struct CapsuleShape {  ///< all points within radius of the segment a-b
  Vec3 a_mm, b_mm;
  double radius_mm = 0;
};
struct SphereShape {
  Vec3 centre_mm;
  double radius_mm = 0;
};
struct ConeShape {  ///< truncated cone with flat ends; one radius may be 0
  Vec3 a_mm, b_mm;
  double radius_a_mm = 0, radius_b_mm = 0;
};
struct ExtrusionShape {  ///< simple polygon in the frame's XY plane, counter-clockwise, from z = 0 to z =
                         ///< height
  Pose frame;
  std::vector<Vec2> outline_mm;
  double height_mm = 0;
};
/// Rectangle swept along a polyline, mitred at its corners. `up` is the side of `height` on the first leg
/// (made square to it); from there the rectangle is carried round each corner by the shortest turn. Ends are
/// square. Legs must not turn back on themselves.
struct RailShape {
  std::vector<Vec3> path_mm;
  Vec3 up = Vec3::UnitZ();
  double width_mm = 0, height_mm = 0;
};
struct MeshShape {
  std::string file;                          ///< as written in the input
  std::shared_ptr<const TriangleMesh> mesh;  ///< never null
};

using Shape = std::variant<BoxShape, CylinderShape, CapsuleShape, SphereShape, ConeShape, ExtrusionShape,
                           RailShape, MeshShape>;

/// Bounding box in the body's frame; contains the shape.
AxisBox bounds(const Shape& shape);

/// Distance from a point to the shape's surface, negative inside; exact to rounding. Closed forms; for a
/// RailShape and a MeshShape there is none: asking for them is a programming error (see has_closed_form).
double signed_distance_mm(const Shape& shape, const Vec3& p_mm);
bool has_closed_form(const Shape& shape);

/// Triangles that contain the shape: they lie on or outside its surface, nowhere more than `overshoot_mm`
/// away from it. Planar-faced shapes and meshes are exact. Closed and outward for all but open meshes.
TriangleMesh tessellate(const Shape& shape, double overshoot_mm);

/// The shape moved by a pose, in the parent frame.
Shape transformed(const Shape& shape, const Pose& pose);

}  // namespace hosefit
