// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/base/dice.h"
#include "solver/route/polish.h"
#include "solver/route/work.h"

namespace hosefit::bench {

/// The router asked for length alone: its own answer, its connections, flood, trees, shortcuts and polish,
/// but every seed is polished, bends are added and dropped while that makes the run shorter, no reserve is
/// aimed at, and the shortest run that keeps every rule wins. `trees`: seeds from so many of them. For
/// benchmarks: it tells how much length the router gives away for spare gap, few bends and time.
/// Deterministic.
PolishOutcome shortest_run(RunProblem problem, const Room& room, int trees, RunSeed seed, Work& work);

}  // namespace hosefit::bench
