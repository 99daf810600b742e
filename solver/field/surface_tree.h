// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <algorithm>
#include <cstdint>
#include <vector>

#include "solver/base/parallel.h"
#include "solver/geometry/triangle_mesh.h"

namespace hosefit {

/// A binary tree of boxes over triangles, cut by the surface-area rule in 16 bins per axis (Wald, IEEE Symp.
/// Interactive Ray Tracing 2007), small ranges between full leaves. Boxes are floats relative to
/// `centre_mm`, rounded outward. ranges[0] is the root; a range with left == 0 is a leaf. A pure function of
/// the mesh: the same on every run and any number of threads.
struct SurfaceTree {
  struct Range {
    float low[3], high[3];
    std::uint32_t first = 0, last = 0;  ///< into `order`, last exclusive
    std::uint32_t left = 0, right = 0;  ///< into `ranges`
    double area() const {
      const double x = high[0] - low[0], y = high[1] - low[1], z = high[2] - low[2];
      return x * y + y * z + z * x;
    }
  };
  static constexpr std::uint32_t kMostInALeaf = 8;
  std::vector<std::uint32_t> order;  ///< triangle indexes
  std::vector<Range> ranges;
};
/// Precondition: the mesh has a triangle. Most leaves are full; no branch has more than 64 levels.
SurfaceTree surface_tree(const TriangleMesh& mesh, const Vec3& centre_mm, Threads threads = {});

/// The mesh taken apart into pieces that share no vertex, in the order of their first triangle. Vertices are
/// shared by place.
std::vector<TriangleMesh> connected_pieces(const TriangleMesh& mesh);

}  // namespace hosefit
