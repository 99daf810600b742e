// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <vector>

#include "solver/geometry/shape.h"

/// Solids seen from afar along one direction, as closed outlines.
namespace hosefit {

/// Unit vectors, right-handed; `near` points to who looks.
struct ViewAxes {
  Vec3 right, up, near;
  Vec2 flat(const Vec3& p_mm) const { return {p_mm.dot(right), p_mm.dot(up)}; }
};

using Outline = std::vector<Vec2>;  ///< counter-clockwise, convex

/// The convex hull; fewer than three corners when the points lie in one line.
Outline convex_hull(std::vector<Vec2> points);

/// The outline of a shape; of one that is not convex that of its hull. Round shapes have corners that lie on
/// the true outline, closer than 0.001 of the radius to it between them.
Outline outline_of(const Shape& shape, const ViewAxes& view);
bool is_convex(const Shape& shape);

/// A disc seen at its angle.
Outline disc_outline(const Vec3& centre_mm, const Vec3& normal, double radius_mm, const ViewAxes& view);

Eigen::AlignedBox2d box_of(const Outline& outline);

/// How near to who looks the shape comes.
double nearest(const Shape& shape, const ViewAxes& view);

}  // namespace hosefit
