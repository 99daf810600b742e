// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>

#include "solver/geometry/alignment.h"
#include "solver/geometry/mesh_mending.h"

namespace hosefit {

/// What was found out about a mesh file while it was read, for `check` to tell.
struct MeshNotes {
  std::size_t triangles = 0;  ///< after mending
  MeshFaults faults;
  std::optional<Alignment> alignment;
};

}  // namespace hosefit
