// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <memory>
#include <optional>

#include "solver/geometry/triangle_mesh.h"

namespace hosefit {

/// Distance to a triangle mesh by CGAL's AABB tree, in the mesh's frame; good to about 1e-9 mm at bay size.
/// The whole tree is built in the constructor, so that queries may run in parallel. Triangles without area
/// are left out.
class MeshDistance {
 public:
  enum class Inside { empty, solid };  ///< a sheet has no inside: its distance is never negative

  /// A solid whose surface is not closed is mended first (mesh_mending.h), so that faces the wrong way round
  /// and duplicates do not decide about inside.
  MeshDistance(std::shared_ptr<const TriangleMesh> mesh, Inside inside);
  ~MeshDistance();
  MeshDistance(MeshDistance&&) noexcept;
  MeshDistance& operator=(MeshDistance&&) noexcept;

  /// Negative where the surface winds around the point: by signed crossings of two rays for closed surfaces
  /// (they must agree, else the winding number decides), by a winding number above 1/2 either way for solids
  /// whose surface has holes.
  double signed_distance_mm(const Vec3& p_mm) const;

  /// A solid without holes, after mending.
  bool watertight() const;
  /// The mesh that is measured.
  const std::shared_ptr<const TriangleMesh>& mesh() const;

  struct Nearest {
    Vec3 point_mm = Vec3::Zero();
    std::uint32_t triangle = 0;  ///< of mesh()
  };
  std::optional<Nearest> nearest(const Vec3& p_mm) const;  ///< empty when nothing has an area
  /// What a line of sight meets first, and from which side: true from the one where corners run
  /// counter-clockwise. Empty when it meets nothing.
  std::optional<bool> meets_front(const Vec3& p_mm, const Vec3& direction) const;

 private:
  struct Index;
  std::unique_ptr<const Index> index_;
};

}  // namespace hosefit
