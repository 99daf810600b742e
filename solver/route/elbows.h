// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <vector>

#include "solver/route/joints.h"
#include "solver/route/run.h"
#include "solver/route/work.h"

namespace hosefit {

/// A chain of elbows that ends exactly at the neck, with exact angles of the stock.
struct ElbowSolution {
  Bends bends;
  int joiners = 0;
  double length_mm = 0;
};

/// Every chain of up to three elbows that meets both necks, fewest joiners first, then shortest. Elbows have
/// fixed angles and legs that can only be cut, so this is solved, not searched:
///   one elbow: only where the necks' lines cross at an angle on sale; two: the straight between lies on a
///   cone about each neck's line (at most two directions), three leg lengths then follow from three
///   equations; three: the roll of the first elbow is free (sampled every 5 deg) and so is one length
///   (sampled five times).
/// Elbows over 170 deg have no intersection point and are left out. Does not look at obstacles.
std::vector<ElbowSolution> elbow_chains(const RunProblem& problem, const Stock& stock, Work& work);

}  // namespace hosefit
