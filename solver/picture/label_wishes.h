// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <vector>

#include "solver/picture/annotate.h"

namespace hosefit {

/// Something on the picture worth a name.
struct Named {
  enum class Sort { spot, line, part } sort = Sort::part;
  std::string text, short_text;  ///< safe to print; short_text where the other is too wide
  Vec2 anchor_px = Vec2::Zero();
  bool seen = true;  ///< false: something stands before it
};

/// Most important first: the deciding spot, the lines, then parts by what they mean for a hose and how much
/// of them is seen. A name that several items bear is told once. At most `most`; lines and spot always.
std::vector<Named> things_to_name(const Scene& scene, const View& view, const Rendering& rendering,
                                  LengthUnit unit, const PixelBox& area, std::size_t most);

/// Cells that labels should keep off: lines most, parts of the candidate less, the rest little.
Clutter clutter_of(const Scene& scene, const Rendering& rendering, double cell_px);

}  // namespace hosefit
