// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <cstdint>
#include <vector>

#include "solver/model/body.h"

/// What is drawn, as plain arrays in single precision; nothing here knows of a screen. Millimetres.
namespace hosefit {

using Point3f = std::array<float, 3>;

struct SurfaceVertex {
  Point3f at_mm{};
  Point3f normal{};
};

/// Triangles and feature edges of one obstacle within the arrays of its body.
struct MeshRange {
  std::uint32_t first_index = 0, index_count = 0;    ///< into SolidMesh::indices
  std::uint32_t first_edge = 0, edge_count = 0;      ///< into SolidMesh::edges, two points each
  std::uint32_t first_coarse = 0, coarse_count = 0;  ///< into SolidMesh::coarse
  bool solid = false;  ///< closed and turned outward: from outside nobody sees the back of a triangle
};

/// A body to be drawn, in the body's own frame. Curved shapes stand outward of the true surface by at most
/// 0.3 mm or a hundredth of their radius: for the eye and for picking, never for measuring.
struct SolidMesh {
  std::vector<SurfaceVertex> vertices;
  std::vector<std::uint32_t> indices;  ///< three per triangle
  std::vector<std::uint32_t>
      coarse;  ///< a rougher surface on the same vertices, for moving views; empty = none
  std::vector<Point3f>
      edges;  ///< two per edge: open rims, and where faces meet at over 25 deg (not in scans)
  std::vector<MeshRange> obstacles;  ///< in the order of the body's obstacles
  std::vector<AxisBox> boxes;        ///< of each obstacle's drawn triangles
};

SolidMesh solid_mesh(const Body& body);

/// Meshes of more triangles are scans: they get a rough copy, and only their rims are drawn as edges.
inline constexpr std::size_t kScan = 20000;

/// Appends one mesh; vertices are shared where faces meet at under 30 deg, so that curves look smooth.
/// `closed` as the obstacle says; a closed mesh that is turned inside out does not count as solid.
void append_mesh(const TriangleMesh& mesh, bool closed, SolidMesh& out);

}  // namespace hosefit
