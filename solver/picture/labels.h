// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstddef>
#include <optional>
#include <vector>

#include "solver/view/camera.h"

/// Where labels go. Pure geometry in pixels; no drawing library.
namespace hosefit {

/// One label wanted: its text's size with padding, and the place on the picture it points at.
struct LabelWish {
  double width_px = 0, height_px = 0;
  Vec2 anchor_px = Vec2::Zero();
  double clear_px = 0;  ///< its leader ends this far from the anchor
};

struct PlacedLabel {
  std::size_t wish = 0;
  PixelBox box;
  Vec2 from_px = Vec2::Zero(), to_px = Vec2::Zero();  ///< its leader: from the box to the anchor, or near it
};

/// What labels should rather not cover, coarsely: weight per cell of `cell_px`, row by row over the picture.
struct Clutter {
  int columns = 0, rows = 0;
  double cell_px = 8;
  std::vector<float> weight;
};

/// Places wishes one after another, the first being the most important. A placed label lies within `area`,
/// touches no other label nor any of `taken`, and its leader crosses no label and no other leader; a wish for
/// which no such place is found is left out. Leaders leave anchors of other wishes free where they can.
std::vector<PlacedLabel> place_labels(const std::vector<LabelWish>& wishes, const PixelBox& area,
                                      const std::vector<PixelBox>& taken, const Clutter& clutter,
                                      double spacing_px);

}  // namespace hosefit
