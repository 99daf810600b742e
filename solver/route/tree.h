// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <vector>

#include "solver/base/dice.h"
#include "solver/route/run.h"
#include "solver/route/work.h"

namespace hosefit {

/// A way round as a chain of headings, start and goal included; neighbours are joined by connections.
using Way = std::vector<Heading>;

struct TreeOptions {
  int samples = 300;
  Look look;
};

/// Two trees of headings, one from each lead's end, grown by "turn to face a sampled point, then straight on
/// as far as it is free" and joined by two-bend connections. The shortest way met; after the first it goes on
/// for a fifth of the samples spent so far and 30 more. Same dice, same answer.
std::optional<Way> grow_trees(const RunProblem& problem, const Room& room, const TreeOptions& options,
                              Dice dice, Work& work);

}  // namespace hosefit
