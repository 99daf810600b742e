// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>

#include "solver/geometry/centreline.h"
#include "solver/model/line.h"

namespace hosefit {

inline constexpr double kHump_mm = 5.0;  ///< let pass (common practice, no source)
inline constexpr std::array kPitches_deg{-5.0, 0.0,
                                         5.0};  ///< of the vehicle about Y (common practice, no source)

/// How far a line goes back against its grade: the largest fall from any point to a later one (for `fall` the
/// largest rise; for `one_way` the lesser of the two, since air may leave by either end as long as it need
/// not pass a hump), per pitch of kPitches_deg. 0 for `free`. Exact: heights are compared at piece ends and
/// at the crests of arcs.
std::array<double, 3> back_fall_mm(const Centreline& centreline, Grade grade);

}  // namespace hosefit
