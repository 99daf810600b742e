// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <memory>

#include "solver/geometry/triangle_mesh.h"

namespace hosefit {

/// Distance to a triangle mesh by CGAL's AABB tree, in the mesh's frame; good to about 1e-9 mm at bay size.
/// The whole tree is built in the constructor, so that queries may run in parallel. Triangles without area
/// are left out.
class MeshDistance {
 public:
  enum class Inside { empty, solid };  ///< a sheet has no inside: its distance is never negative

  MeshDistance(std::shared_ptr<const TriangleMesh> mesh, Inside inside);
  ~MeshDistance();
  MeshDistance(MeshDistance&&) noexcept;
  MeshDistance& operator=(MeshDistance&&) noexcept;

  /// Negative where the surface winds around the point: by signed crossings of two rays for closed surfaces
  /// (they must agree, else the winding number decides), by a winding number above 1/2 for solids whose
  /// surface has holes.
  double signed_distance_mm(const Vec3& p_mm) const;

 private:
  struct Index;
  std::unique_ptr<const Index> index_;
};

}  // namespace hosefit
