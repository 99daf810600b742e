// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>

#include "solver/base/result.h"
#include "solver/decide/decide.h"
#include "solver/paper/tiling.h"

/// The radiator of one set of parts as a dimensioned drawing for the shop that builds it.
namespace hosefit {

struct DrawingOptions {
  Paper paper = Paper::a4;
  LengthUnit unit = LengthUnit::mm;  ///< mm alone, or mm with inches in brackets
  std::string version;
};

struct RadiatorDrawing {
  std::string pdf;
  int scale = 1;  ///< 1 : scale
  int pages = 1;
};

/// On the paper laid on its side. Dimensions stand at the places of necks that were chosen with the lines; a
/// place whose lines are not proved is not drawn, and a set that is not proved says so over all. Same input,
/// same bytes. A Problem when the vehicle names no radiator core, or it is too large for the paper.
Result<RadiatorDrawing> radiator_drawing(const Job& job, const CandidateResult& result,
                                         const DrawingOptions& options);

}  // namespace hosefit
