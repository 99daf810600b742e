// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <vector>

#include "tests/family/trial.h"

namespace hosefit::family {

/// One line of text per bay.
std::string line_of(const Trial& trial);
std::optional<Trial> trial_of(const std::string& line);

struct BayName {
  Kind kind = Kind::clutter;
  std::uint64_t seed = 0;
};
/// Lines "kind seed"; empty ones and those that begin with # do not count. Nothing when a line is neither,
/// with its number in `wrong_line`.
std::optional<std::vector<BayName>> read_seeds(const std::string& file, int& wrong_line);

/// The value that a share `q` of them stay below, one of the values; 0 of none.
double quantile(std::vector<double> values, double q);

/// Tables over all trials, printed.
void print_summary(const std::vector<Trial>& trials);
struct Totals {
  int feasible = 0, solved = 0;  ///< solved: found and proved
  int refused = 0;               ///< found, but the proof refused it
  int impossible_solved = 0;     ///< proved where there can be no route
  int possible_excluded = 0;     ///< said to be impossible where there is a route
};
Totals totals_of(const std::vector<Trial>& trials);
bool is_wrong(const Totals& totals);  ///< a claim does not hold

/// A row for each budget of work units: solved and undecided where there is a route, undecided where there is
/// none, missing mm told to 0.5 mm.
void print_budget_heading();
void print_budget_row(std::int64_t work_units, const std::vector<Trial>& trials);

}  // namespace hosefit::family
