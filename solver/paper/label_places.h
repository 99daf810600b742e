// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <vector>

#include "solver/geometry/vec.h"

/// Where words stand that point to a spot of a view. All in mm of paper.
namespace hosefit {

struct LabelWish {
  Vec2 target;
  double target_radius_mm = 0;  ///< the leader ends at this circle
  Vec2 size_mm;
};
struct LabelPlace {
  Eigen::AlignedBox2d box;
  Vec2 leader_from, leader_to;  ///< at the box, at the target's circle
};

struct TakenRoom {
  std::vector<Eigen::AlignedBox2d> words;  ///< never to be covered
  std::vector<Eigen::AlignedBox2d> lines;  ///< rather not
};

/// Label by label the place that covers least of words, then of lines, and of such the nearest; a label
/// counts for those after it.
std::vector<LabelPlace> label_places(const std::vector<LabelWish>& wishes, TakenRoom taken);

}  // namespace hosefit
