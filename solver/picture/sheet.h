// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/picture/annotate.h"

/// What surrounds the drawing on its sheet.
namespace hosefit {

void draw_head(Drawing& drawing, const Sheet& sheet, const Caption& caption, const std::string& seen_from);
/// Arrows for the vehicle's front, up, and its left and right as seated; those that point at the viewer or
/// away are left out.
void draw_axes(Drawing& drawing, const Sheet& sheet, const Camera& camera);
ScaleBar draw_scale(Drawing& drawing, const Sheet& sheet, const Camera& camera, LengthUnit unit);
void draw_legend(Drawing& drawing, const Sheet& sheet, LengthUnit unit);

}  // namespace hosefit
