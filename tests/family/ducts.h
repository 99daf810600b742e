// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "tests/family/rooms.h"

namespace hosefit::family {

/// A flat duct with one turn by an angle t, as high as the hose needs and 0.1 mm more, with a room at each
/// end for neck and clamp. Its width is such that the hose's radius is a share, drawn between the two given,
/// of the largest R that passes.
///
/// The largest: where the centreline passes the inner corner with heading p, at keep-off k from it or more,
/// it still falls by R (1 - cos p) going back and by R (1 - cos(t - p)) across the outgoing leg going on,
/// and must stay k off both outer walls: k cos p + R (1 - cos p) <= w - k and the same with t - p. Both at
/// once are easiest at p = t / 2: R <= (w - k (1 + cos(t/2))) / (1 - cos(t/2)). Derived here. The 0.1 mm of
/// height let a curve lean by 3 %, worth 0.1 % of the radius at most.
FamilyBay any_duct(Dice& dice, double least_share, double most_share);

}  // namespace hosefit::family
