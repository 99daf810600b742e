// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <string_view>
#include <variant>

#include "solver/geometry/triangle_mesh.h"

namespace hosefit {

/// Reads a PLY file (G. Turk, The PLY Polygon File Format, Stanford 1994): text, or binary of either byte
/// order, version 1.0. Of the element `vertex` x, y and z count, of `face` the list vertex_indices or
/// vertex_index (more than three corners are cut into a fan); other properties and elements are passed over
/// by the size they declare. The vertices must come before the faces, triangle strips are refused. Vertices
/// at exactly the same place become one, unused ones are left out. What the header promises is held against
/// the file's size before anything is made, and nothing may follow. Gives why the file is refused, with the
/// number of the vertex or face, from 1.
std::variant<TriangleMesh, std::string> read_ply(std::string_view bytes, double mm_per_unit);

}  // namespace hosefit
