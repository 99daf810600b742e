// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "solver/paper/pdf_pages.h"

namespace hosefit {

/// Width of a line of text by its height, both in mm.
using TextWidth = std::function<double(double height_mm, std::string_view words)>;

/// Words broken where a line would grow wider than `width_mm`; a single word that is too wide stays whole.
std::vector<std::string> broken_lines(const std::string& words, double width_mm, double height_mm,
                                      const TextWidth& width_of);

inline constexpr double kLineStep = 1.45;  ///< of the height of the font

/// Draws the lines from `top` down, their left ends under each other; gives back where the next would stand.
double draw_paragraph(PdfPages& pdf, const Vec2& top, double width_mm, double height_mm,
                      const std::string& words, bool bold = false);

}  // namespace hosefit
