// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <vector>

#include "solver/decide/judge.h"

namespace hosefit {

/// Every drive, housing and clock with one pump, in the order of the family's files.
std::vector<Candidate> candidates_of(const Family& family, std::size_t pump, std::size_t intake,
                                     Length height);

/// Each candidate judged alone, on the budget's threads; a slot per candidate, empty where `stop` came first.
std::vector<std::optional<Judgement>> judge_all(const Prepared& prepared,
                                                const std::vector<Candidate>& candidates,
                                                const Budget& budget, const std::stop_token& stop,
                                                const Progress& progress);

}  // namespace hosefit
