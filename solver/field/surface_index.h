// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <limits>
#include <memory>
#include <optional>
#include <vector>

#include "solver/base/parallel.h"
#include "solver/field/eight_wide.h"
#include "solver/geometry/mesh_corners.h"
#include "solver/geometry/triangle_mesh.h"

namespace hosefit {

/// What lies nearest to a point on a surface. `distance_mm` is signed: negative inside a solid surface.
struct SurfaceHit {
  double distance_mm = std::numeric_limits<double>::infinity();
  Vec3 point_mm = Vec3::Zero();
  std::uint32_t triangle = 0;
};

/// Exact nearest-triangle index of one triangle mesh, in the mesh's own frame: a tree of 8-wide boxes over
/// packs of 8 triangles. Boxes and packs are 32-bit floats relative to the mesh's centre; the winner is
/// measured again in double. The distance is exact to 0.001 mm for points and surfaces within 4 m of each
/// other, however thin the triangles. Immutable; queries are thread-safe.
/// Equal distances go to the triangle of lowest index.
class SurfaceIndex {
 public:
  /// `solid`: the mesh is closed and outward, so points inside get a negative distance; a mesh with an open
  /// edge is taken as a sheet all the same. The sign is that of the angle-weighted normal at the nearest
  /// point (Baerentzen and Aanaes, IEEE Trans. Vis. Comput. Graph. 11 (2005) 243); it needs a surface that
  /// does not cut through itself.
  SurfaceIndex(TriangleMesh mesh, bool solid, Threads threads = {});

  /// Nearest triangle with |distance| <= within_mm; empty when there is none.
  std::optional<SurfaceHit> nearest(const Vec3& p_mm,
                                    double within_mm = std::numeric_limits<double>::infinity()) const;
  /// The same with loops of the caller's choice (eight_wide.h): the same answer to the last bit.
  std::optional<SurfaceHit> nearest_with(const eight::Kernels& kernels, const Vec3& p_mm,
                                         double within_mm) const;

  const AxisBox& box() const { return box_; }
  bool solid() const { return solid_; }
  std::size_t triangle_count() const { return mesh_.triangles.size(); }

 private:
  static constexpr int kWide = eight::kWide;
  struct Pack {  ///< unused lanes repeat the last triangle
    eight::Triangles lanes;
    std::uint32_t triangle[kWide];
  };
  struct Node {  ///< child < 0: pack -child - 1
    eight::Boxes boxes;
    std::int32_t child[kWide];
  };
  class Builder;
  struct Best;

  static void measure(const eight::Kernels& kernels, const Pack& pack, const float (&p)[3], Best& best);
  void weld(Threads threads);
  Vec3 normal_of(std::uint32_t triangle) const;
  double sign_at(std::uint32_t triangle, const Vec3& p_mm) const;
  double sign_at_corner(std::uint32_t vertex, const Vec3& off_mm) const;
  double sign_at_edge(std::uint32_t from, std::uint32_t to, const Vec3& off_mm) const;

  TriangleMesh mesh_;  ///< of a solid surface vertices at one place have one index
  bool solid_;
  AxisBox box_;
  Vec3 centre_mm_ = Vec3::Zero();
  std::vector<Node> nodes_;
  std::shared_ptr<Pack[]> packs_;  ///< written by the constructor alone
  CornersAtVertices corners_;      ///< solid surfaces only
};

}  // namespace hosefit
