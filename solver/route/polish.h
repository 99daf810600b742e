// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>

#include "solver/route/run.h"
#include "solver/route/work.h"

namespace hosefit {

/// What the polish aims at besides the rules.
struct PolishGoal {
  double length_weight = 1.0;  ///< against squared millimetres of shortfall; small = clearance before length
  double sample_step_mm = 6.0;
  int rounds = 25;
  std::optional<LengthWindow> window;  ///< the centreline's length must end inside it
  double reserve_mm = 1.0;             ///< aimed at on top of the required gap, never more than the problem's
  double least_progress = 0.05;  ///< stops when a round gains less than this share of 0.0003 of the length
};

struct Polished {
  Bends bends;
  double shortfall_mm = 0;  ///< worst shortfall of any rule or gap (reserve included) after the last round
};

/// Moves the intersection points so that the run keeps its rules and gaps with the reserve and is short:
/// Levenberg-Marquardt on hinge residuals. Distances are exact; each sample keeps up to 4 obstacle points
/// from this and earlier rounds that lie in different directions, since one contact at a time zigzags between
/// the walls of a hole and several centre it.
Polished polish(const RunProblem& problem, const Room& room, Bends bends, const PolishGoal& goal, Work& work);

/// Tries ever more patient goals until check_run finds nothing. Empty when none does; `nearest` then holds
/// the attempt that kept every rule but a gap with the least shortfall, if there was one.
struct PolishOutcome {
  std::optional<RunCheck> run;
  Bends bends;
  std::optional<RunCheck> nearest;
};
PolishOutcome polish_until_it_holds(const RunProblem& problem, const Room& room, const Bends& bends,
                                    const std::optional<LengthWindow>& window, Work& work);

/// Drops bends one at a time while what is left still holds and costs no more than half a radius of length.
void drop_bends(const RunProblem& problem, const Room& room, PolishOutcome& found,
                const std::optional<LengthWindow>& window, Work& work);

}  // namespace hosefit
