// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/decide/judge.h"
#include "solver/rules/part_rules.h"

namespace hosefit {

/// Which limits the verdict in `judgement` rests on, each counted once: for a candidate that does not fit
/// those behind its stops; otherwise every gap row of an obstacle within 50 mm spare of a line or 10 mm of a
/// part, the belt plane limit, the neck match limits and the bend data of the stock used.
LimitsAnswer rested_limits(const Job& job, const RuleLimits& limits, const Judgement& judgement);

}  // namespace hosefit
