// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <string_view>
#include <variant>

#include "solver/geometry/triangle_mesh.h"

namespace hosefit {

inline constexpr std::size_t kMostMeshBytes = std::size_t{200} << 20;
inline constexpr std::size_t kMostTriangles = 2000000;

std::string too_many_triangles();  ///< why such a file is refused

/// Reads the triangles of an STL file (binary or text), an OBJ file or a PLY file (ply_file.h), told apart by
/// the file's content.
///   `mm_per_unit` turns its numbers into millimetres. Vertices at exactly the same place become one.
///   OBJ: lines `v` and `f` count (faces of more than three corners are cut into a fan, negative indices
///   count back), all other lines are passed over.
/// Gives why the file is refused instead: cut short or too long, no triangles, more than 2 million, numbers
/// that are not finite or farther than 20 m off (with the triangle's number or the line), an index out of
/// range.
std::variant<TriangleMesh, std::string> read_mesh(std::string_view bytes, double mm_per_unit);

}  // namespace hosefit
