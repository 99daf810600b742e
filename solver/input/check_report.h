// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "solver/model/vehicle.h"

namespace hosefit {

/// One value of the input, or one that is not there, and what hangs on it.
struct ReviewEntry {
  std::string what;  ///< "place of the neck radiator.top"
  MeasuredBy method = MeasuredBy::assumed;
  std::optional<Length> accuracy;  ///< plus or minus; empty where no length is meant
  std::string why;                 ///< why it matters
  int rank = 0;                    ///< place in its list, from 1: the most important first
  friend bool operator==(const ReviewEntry&, const ReviewEntry&) = default;
};

/// What a job rests on: measured, assumed (or from memory), and missing, each with what matters most first,
/// and what to measure next. Depends on the job alone. How much something matters is an order of ours, common
/// practice, no source: the engine's place moves everything, then neck ends of large lines, then what is
/// missing altogether, then obstacles by their distance from the necks that lines use, then figures of the
/// coolant side.
struct InputReview {
  std::vector<ReviewEntry> measured, assumed, missing;
  std::vector<std::string> advice;      ///< at most five sentences
  std::vector<std::string> scans = {};  ///< of each mesh: triangles, faults, how it was put into the vehicle
};
InputReview review(const Job& job);

}  // namespace hosefit
