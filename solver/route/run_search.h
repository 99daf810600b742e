// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>

#include "solver/base/dice.h"
#include "solver/route/polish.h"
#include "solver/route/run.h"
#include "solver/route/work.h"

namespace hosefit {

/// What came of looking for a run. `passage_without_length`: a run holds in every way but that no length on
/// sale serves it.
struct RunSearch {
  std::optional<RunCheck> run;
  Bends bends;
  std::optional<NearMiss> nearest;  ///< with the least missing
  bool closed = false;              ///< a flood proved that there is no passage on this ground
  bool passage_without_length = false;
};

/// Direct connection; then a passage from a flood, a lattice and several trees of headings, each shortened,
/// polished and checked, what comes near also with more bends or thrown off a little; the best of the first
/// few that hold: fewest bends and length (half a radius of length a bend). Then a length on sale.
RunSearch find_run(const RunProblem& problem, const Room& room, RunSeed seed, Work& work);

/// Larger radii that cost nothing: same bends, every rule kept, no less margin than the reserve asks.
/// `radii_mm` ascending.
void widen_bends(const RunProblem& problem, const Room& room, std::span<const double> radii_mm,
                 RunSearch& found, Work& work);

}  // namespace hosefit
