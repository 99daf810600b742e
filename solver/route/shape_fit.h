// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>

#include "solver/route/shape_runs.h"

namespace hosefit {

/// The chain between two ends with the least springing, cut and clocked to suit: Gauss-Newton on the closing
/// of both ends, of all steps that close them that with the least sum of squared springs, each within
/// kMostSprung_deg, the end straights within what lead, engagement and shape allow. Closes to 1e-9 mm and
/// 1e-11 rad. Local: it starts from the shape as moulded at the clockings at which it comes nearest, and
/// empty says only that none of these starts led there.
std::optional<ChainPose> fit_chain(const ShapeChain& chain, const ShapeEnds& ends);

}  // namespace hosefit
