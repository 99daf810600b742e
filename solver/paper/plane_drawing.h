// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>

#include "solver/base/quantity.h"
#include "solver/paper/bend_planes.h"
#include "solver/paper/pdf_pages.h"

namespace hosefit {

/// What is written beside the drawing of a plane; safe to print.
struct PlaneWords {
  LengthUnit unit = LengthUnit::mm;
  std::string begins, ends;  ///< what is at its two ends
  int bends_before = 0;      ///< of the line, in planes before this one
};

/// Centreline (pen of kCentrelinePen_mm), the tube's outside, where bends begin and end, where the straights
/// would meet, and the figures; in the plane's own coordinates.
void draw_plane(PdfPages& pdf, const BendPlane& plane, double outside_mm, const PlaneWords& words);
inline constexpr double kCentrelinePen_mm = 0.4;

}  // namespace hosefit
