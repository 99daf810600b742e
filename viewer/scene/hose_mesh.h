// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <span>
#include <vector>

#include "solver/model/bay.h"
#include "solver/model/route.h"
#include "solver/view/line_bands.h"
#include "viewer/scene/solid_mesh.h"

namespace hosefit {

struct PaintedVertex {
  Point3f at_mm{};
  Point3f normal{};
  Point3f colour{};
};

/// One line as a tube, with the hose pushed over its necks and a clamp band on each. Vehicle frame.
struct HoseMesh {
  std::size_t line = 0;
  std::vector<PaintedVertex> vertices;
  std::vector<std::uint32_t> indices;  ///< three per triangle, outward
  AxisBox box;
};

/// Painted and ringed by the same classes and bands as pictures are (line_bands.h).
HoseMesh hose_mesh(const Route& route, const BayLine& line, const Bay& bay,
                   std::span<const ClassStretch> classes);

/// The whole of a line as not proved.
std::vector<ClassStretch> not_proved_along(const Route& route);

}  // namespace hosefit
