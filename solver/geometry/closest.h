// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/geometry/centreline.h"

/// Closest points between simple figures, plain double arithmetic. Millimetres, any one frame. Results are
/// exact to rounding: about 1e-14 of the largest coordinate, up to 1e-8 of it for nearly parallel segments.
/// Figures may be degenerate (equal end points, triangles without area): they count as the segment or point
/// they collapse to.
namespace hosefit {

Vec3 closest_on_segment(const Vec3& p_mm, const Vec3& a_mm, const Vec3& b_mm);

/// Where on a triangle a closest point lies; tells which normal decides inside from outside.
enum class TrianglePart { corner_a, corner_b, corner_c, edge_ab, edge_bc, edge_ca, face };
struct TrianglePoint {
  Vec3 point_mm;
  TrianglePart part = TrianglePart::face;
};
/// After Ericson, Real-Time Collision Detection (2005), section 5.1.5: the region of the plane the point
/// projects to.
TrianglePoint closest_on_triangle(const Vec3& p_mm, const Vec3& a_mm, const Vec3& b_mm, const Vec3& c_mm);

/// Closest point of a circular arc, its ends included. A point on the arc's axis is equally far from all of
/// it: the start is taken.
Vec3 closest_on_arc(const Vec3& p_mm, const Arc& arc);

/// Closest point of a straight or an arc.
Vec3 closest_on_piece(const Vec3& p_mm, const Piece& piece);

struct ClosestPair {
  Vec3 on_first_mm, on_second_mm;
  double distance_mm() const { return (on_first_mm - on_second_mm).norm(); }
};
ClosestPair closest_segment_segment(const Vec3& a_mm, const Vec3& b_mm, const Vec3& c_mm, const Vec3& d_mm);
/// Segment a-b against triangle x-y-z; distance 0 where they cross.
ClosestPair closest_segment_triangle(const Vec3& a_mm, const Vec3& b_mm, const Vec3& x_mm, const Vec3& y_mm,
                                     const Vec3& z_mm);

}  // namespace hosefit
