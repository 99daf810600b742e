// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>

#include "solver/route/polish.h"

namespace hosefit {

/// Drops bends one at a time while what is left still holds and costs no more than half a radius of length.
void drop_bends(const RunProblem& problem, const Room& room, PolishOutcome& found,
                const std::optional<LengthWindow>& window, Work& work);

/// Adds bends one at a time, in the leg where one more gains the largest margin, until the run holds or none
/// gains. `nearest` of the outcome is no worse than the one given.
PolishOutcome add_bends(const RunProblem& problem, const Room& room, const NearMiss& from, Work& work);

}  // namespace hosefit
