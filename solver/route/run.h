// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "solver/route/bend_rules.h"
#include "solver/route/connection.h"
#include "solver/route/free_test.h"
#include "solver/route/grade.h"

namespace hosefit {

/// One run to be found: from neck end to neck end under the rules of one stock, with one bend radius.
struct RunProblem {
  Heading start, goal;  ///< neck ends, with the direction of travel
  BendRules rules;
  double radius_mm = 0;
  Grade grade = Grade::free;
  double reserve_mm = 1.0;   ///< aimed at on top of the required gap
  double self_gap_mm = 6.0;  ///< between two stretches of the same run
};

/// The intersection points of a run, ends not included. The first lies on the line of the start, the last on
/// that of the goal.
using Bends = std::vector<Vec3>;

/// Those of a centreline made of arcs and straights, whatever its radii.
Bends intersection_points(const Centreline& centreline);
FilletChain chain_of(const RunProblem& problem, const Bends& bends);
/// Where the leads end and the run proper begins.
Heading start_of_run(const RunProblem& problem);
Heading end_of_run(const RunProblem& problem);

/// What a run breaks; nothing means that it may be made.
enum class Breach {
  none,
  no_shape,
  lead,
  straight_between,
  bend_angle,
  length,
  grade,
  gap,
  self_gap,
  known_space
};

struct RunCheck {
  Breach breach = Breach::none;
  Centreline centreline;  ///< empty with no_shape
  LeastMargin margin;     ///< measured unless an earlier rule was broken
};

/// Checks every rule with exact distances. A gap counts as kept when it is proved, reserve not asked for.
RunCheck check_run(const RunProblem& problem, const Room& room, const Bends& bends);
/// The same for a centreline that is not made of `radius_mm` alone.
RunCheck check_line(const RunProblem& problem, const Room& room, Centreline centreline);
/// The rules that need no distances. `any_length` leaves out the lengths on sale.
Breach check_shape(const RunProblem& problem, const Centreline& centreline, bool any_length);

}  // namespace hosefit
