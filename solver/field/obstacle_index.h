// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "solver/field/surface_index.h"

namespace hosefit {

/// Signed distance to one obstacle's triangles, in their own frame. Immutable; queries are thread-safe.
///
/// A closed mesh is taken apart into its connected pieces, each a solid of its own, so that solids pushed
/// into each other (castings exported as several bodies) count as their union. A mesh turned inside out as a
/// whole is turned back. Where a piece is a cavity, or there are more than kMostPieces, inside is decided by
/// the winding number instead, which is slow (linear in the triangles).
class ObstacleIndex {
 public:
  ObstacleIndex(TriangleMesh mesh, bool closed, Threads threads = {});

  /// Empty when the signed distance is above within_mm. `triangle` counts within a piece.
  std::optional<SurfaceHit> nearest(const Vec3& p_mm, double within_mm) const;

  const AxisBox& box() const { return box_; }  ///< empty without triangles
  std::size_t triangle_count() const { return triangle_count_; }

  static constexpr std::size_t kMostPieces = 1000;

 private:
  std::vector<SurfaceIndex> pieces_;
  std::optional<TriangleMesh> winding_;  ///< set when the winding number decides
  AxisBox box_;
  std::size_t triangle_count_ = 0;
};

/// 0 inside the box; infinity to an empty one, whose corners lie at the ends of the number line.
inline double box_distance_mm(const AxisBox& box, const Vec3& p_mm) {
  const double x = std::max({box.min().x() - p_mm.x(), p_mm.x() - box.max().x(), 0.0});
  const double y = std::max({box.min().y() - p_mm.y(), p_mm.y() - box.max().y(), 0.0});
  const double z = std::max({box.min().z() - p_mm.z(), p_mm.z() - box.max().z(), 0.0});
  return std::sqrt(x * x + y * y + z * z);
}

}  // namespace hosefit
