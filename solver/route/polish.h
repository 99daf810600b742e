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
  /// 0: the problem's reserve is aimed at. More: the least margin of the run is itself an unknown, worth that
  /// much a mm, up to the problem's reserve: where there is no room for that, the largest there is, and where
  /// there is no room at all, the least missing.
  double margin_weight = 0;
  double rule_reserve_mm = 0.3;  ///< by which legs are longer than they must be: rules give way a little
};

struct Polished {
  Bends bends;
  double shortfall_mm = 0;  ///< worst shortfall of any rule or gap (reserve included) after the last round
  double broken_mm = 0;     ///< worst shortfall of any rule, gaps apart
};

/// Moves the intersection points so that the run keeps its rules and gaps with the reserve and is short:
/// Levenberg-Marquardt on hinge residuals. Distances are exact; each sample keeps up to 4 obstacle points
/// from this and earlier rounds that lie in different directions, since one contact at a time zigzags between
/// the walls of a hole and several centre it.
Polished polish(const RunProblem& problem, const Room& room, Bends bends, const PolishGoal& goal, Work& work);

/// An attempt that kept every rule but a gap.
struct NearMiss {
  RunCheck check;
  Bends bends;
};
/// The one that is short by less.
void keep_nearer(const std::optional<NearMiss>& tried, std::optional<NearMiss>& nearest);

/// Tries ever more patient goals until check_run finds nothing and the run keeps most of the reserve; else
/// the attempt with the largest margin of those that hold. Empty when none does; `nearest` then holds the
/// attempt with the least shortfall, if one kept every rule but a gap.
struct PolishOutcome {
  std::optional<RunCheck> run;
  Bends bends;
  std::optional<NearMiss> nearest;
};
/// `little` leaves out the last and longest look, and gives up after the first when it ends far off.
enum class Patience { little, much };
PolishOutcome polish_until_it_holds(const RunProblem& problem, const Room& room, const Bends& bends,
                                    const std::optional<LengthWindow>& window, Work& work,
                                    Patience patience = Patience::much);

/// Legs too short for their bends make a polish go astray: the same intersection points moved by polishes
/// with smaller radii first, from one whose bends have room up to the problem's. As given when they have
/// room.
Bends grow_into_radius(const RunProblem& problem, const Room& room, Bends bends, Work& work);

/// The largest least margin that moving the bends gives, whatever the length: a run that holds after all, or
/// the least by which these bends are short.
PolishOutcome settle_in_the_middle(const RunProblem& problem, const Room& room, const Bends& bends,
                                   const std::optional<LengthWindow>& window, Work& work);

}  // namespace hosefit
