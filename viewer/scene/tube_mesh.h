// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <vector>

#include "solver/model/bay.h"
#include "viewer/scene/solid_mesh.h"
#include "viewer/scene/spare_gap.h"

namespace hosefit {

struct PaintedVertex {
  Point3f at_mm{};
  Point3f normal{};
  Point3f colour{};
};

/// One line as a tube, with the hose pushed over its necks and a clamp band on each. Vehicle frame.
struct TubeMesh {
  std::size_t line = 0;
  std::vector<PaintedVertex> vertices;
  std::vector<std::uint32_t> indices;  ///< three per triangle, outward
  AxisBox box;
};

/// How a tube is painted: by spare gap, or as not proved (grey with darker rings).
struct TubePaint {
  std::vector<SpareStation> stations;  ///< empty = not proved
};

TubeMesh tube_mesh(const Route& route, const BayLine& line, const Bay& bay, const TubePaint& paint);

}  // namespace hosefit
