// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/paper/pdf_pages.h"
#include "solver/paper/radiator_layout.h"

namespace hosefit {

/// Both views of a layout, their titles, and under them a bar of a round length; `at` is the lower left of
/// all. Line widths after ISO 128-2: 0.35 mm and half of it.
void draw_radiator_views(PdfPages& pdf, const RadiatorLayout& layout, const Vec2& at);

/// Length of a bar that is 30 to 80 mm on paper.
double scale_bar_mm(int scale);

/// The sign for third-angle projection (ISO 128-3): both views of a blunted cone, the small end turned to the
/// view that shows it from there. `at`: its middle.
void draw_projection_sign(PdfPages& pdf, const Vec2& at);

}  // namespace hosefit
