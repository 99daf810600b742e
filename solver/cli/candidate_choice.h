// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstddef>
#include <optional>
#include <string>
#include <variant>

#include "solver/cli/arguments.h"
#include "solver/decide/decide.h"

/// Which combination of parts a command is about: the best of all, or what was named.
namespace hosefit {

struct PartChoice {
  std::optional<std::size_t> pump, drive, housing;  ///< indexes into the family; empty: any
};

/// The parts named on the command line by the family's exact names; or one sentence with the nearest known
/// name.
std::variant<PartChoice, std::string> named_parts(const Family& family, const Arguments& arguments);

/// Judges only combinations of the parts chosen (with nothing chosen, all of them, as decide does), for the
/// question in the job. A housing at every one of its clocks.
Choice judge_chosen(const Prepared& prepared, const PartChoice& parts, const Budget& budget,
                    const std::stop_token& stop, const Progress& progress);

/// The best ranked; null when none was judged to its end.
const CandidateResult* best_of(const Choice& choice);

/// Exit code of a command about one combination.
ExitCode code_of(Fit fit);

}  // namespace hosefit
