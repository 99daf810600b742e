// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstddef>
#include <string>
#include <vector>

#include "solver/geometry/tape_network.h"

namespace hosefit {

/// One sentence with the cure.
std::string tape_refusal_words(const TapeSurvey& survey, const TapeRefusal& refusal);
/// `tape from "inlet end" to "left bolt"`
std::string reading_words(const TapeNetwork& network, std::size_t reading);

/// All readings, what matters most first: by how badly they agree with the rest, then those that nothing
/// checks.
std::vector<std::size_t> readings_by_misfit(const TapeSolution& solution);
/// All points, the least well known first.
std::vector<std::size_t> points_by_accuracy(const TapeSolution& solution);
/// Whether no other reading checks any of those of this point: then a slip goes unseen.
bool is_unchecked(const TapeSurvey& survey, std::size_t point);

inline constexpr double kDoubtful = 1.96;  ///< studentised; one sound reading in twenty is above

}  // namespace hosefit
