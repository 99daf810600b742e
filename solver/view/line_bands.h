// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <span>
#include <vector>

#include "solver/verify/spare_along.h"
#include "solver/view/palette.h"

/// How a line is painted along its length. Lengths here count from the end of the hose at the line's start.
namespace hosefit {

struct ClassStretch {
  double from_mm = 0, to_mm = 0;
  SpareClass spare = SpareClass::not_proved;
};

/// In order, without holes, neighbours differ. Proved: by what no place falls below, and what would be too
/// short to be seen (6 mm) takes the tighter class beside it, or makes its looser neighbours tighter. Not
/// proved: `not_proved`, but for stretches where a gap was measured short.
std::vector<ClassStretch> classes_along(std::span<const SpareStretch> spare, bool proved);

/// One colour of the pattern; up to the next band's start.
struct Band {
  double from_mm = 0;
  Colour colour;
};
/// The pattern of each class, set so that its groups of rings stand evenly within the stretch.
std::vector<Band> bands_of(std::span<const ClassStretch> classes);
const Colour& colour_at(std::span<const Band> bands, double s_mm);

}  // namespace hosefit
