// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>

#include "solver/route/tree.h"

namespace hosefit {

struct LatticeOptions {
  Look look;
  std::int64_t most_steps = 6000;
  bool from_the_end =
      false;  ///< where the end is hemmed in, a search that begins there gets out of it sooner
};

/// A way found by best-first search over headings: from each one straight on, and out of a straight an arc of
/// kTurn in eight planes, which may go on; of headings in one cube of space that point alike only the
/// cheapest is kept. Cost is length, half a radius for each bend. Of every heading it is tried whether arc,
/// straight, arc leads to the end. Empty says nothing about whether there is one.
std::optional<Way> lattice_way(const RunProblem& problem, const Room& room, const LatticeOptions& options,
                               Work& work);

}  // namespace hosefit
