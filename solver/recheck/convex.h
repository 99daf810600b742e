// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <vector>

#include "solver/recheck/solids.h"

namespace hosefit::recheck {

struct Disc {
  V3 middle_mm, axis, one, other;  ///< unit, square to each other
  double radius_mm;
};
/// A convex body: all within `around_mm` of the hull of points and of discs.
struct Convex {
  std::vector<V3> points_mm;
  std::vector<Disc> discs;
  double around_mm = 0;
  Box3 box;

  /// The point of the hull that lies farthest along a direction.
  V3 farthest(const V3& direction) const;
  /// The least of direction . p over the body.
  double least_along(const V3& direction) const;
  void close();  ///< once all points and discs are there
};
Convex moved(Convex body, const Frame& frame);

/// The convex parts of a solid whose boxes touch this one.
std::vector<Convex> convex_parts(const Solid& solid, const Box3& near);

/// Between two convex bodies, as Apart; `towards_a`: unit, every point of the first lies at least
/// `at_least_mm` further along it than any of the second; nothing where they touch.
struct ConvexApart {
  double at_least_mm = 0, at_most_mm = 0;
  V3 where_mm = V3::Zero(), towards_a = V3::Zero();
};
ConvexApart apart(const Convex& a, const Convex& b);

}  // namespace hosefit::recheck
