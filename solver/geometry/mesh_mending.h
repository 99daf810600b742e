// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstddef>

#include "solver/geometry/triangle_mesh.h"

namespace hosefit {

/// What is wrong with the triangles of a mesh file.
struct MeshFaults {
  std::size_t zero_area = 0;      ///< corners in one line to rounding; those with a corner twice are left out
  std::size_t duplicates = 0;     ///< same three corners as an earlier one, whichever way round; left out
  std::size_t turned = 0;         ///< ran round the other way than most of the surface they belong to; turned
  bool inside_out = false;        ///< a closed surface that enclosed less than nothing; turned as a whole
  std::size_t open_edges = 0;     ///< edges of one triangle only: the rims of holes and the outer rim
  std::size_t crowded_edges = 0;  ///< edges of more than two triangles; what hangs together over them is not
                                  ///< told, so a wrong way round may stay there
  friend bool operator==(const MeshFaults&, const MeshFaults&) = default;
};

struct MendedMesh {
  TriangleMesh mesh;
  MeshFaults faults;    ///< of the mesh as it came; edges as they are after mending
  bool closed = false;  ///< every edge is used as often in one direction as in the other
};

/// Leaves out duplicate triangles and those with a corner twice, and turns those that run round the other way
/// than most of the surface they hang together with over edges of exactly two triangles. Vertices at exactly
/// the same place must be one (first_vertex_at_each_place); nearly equal ones stay apart, and with them
/// triangles that nearly coincide. A surface without two sides stays as it is. Moves no vertex, closes no
/// hole. A pure function of the mesh; n log n.
MendedMesh mend(TriangleMesh mesh);

}  // namespace hosefit
