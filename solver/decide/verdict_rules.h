// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <span>
#include <string>
#include <vector>

#include "solver/model/finding.h"
#include "solver/model/verdict.h"
#include "solver/route/lines.h"
#include "solver/verify/proof.h"

/// How verdicts come about, apart from how the grounds for them are found.
namespace hosefit {

/// What is known of one line of a candidate.
enum class LineState {
  proved,       ///< found by the search and proved, at rest and in motion
  wrong_stock,  ///< a passage exists, but no stock follows it or fits its necks
  open,         ///< nothing found and nothing excluded, or the proof refused what the search proposed
  blocked,      ///< an argument that stands says that no hose can be led there
};

/// Parts that cannot be used or a blocked line: does not fit. Else an open line, or a part that stands where
/// nobody has seen what is there: undecided. Else a line without stock: passage, no stock. Else, with every
/// line proved: fits.
enum class PartsState { go_together, not_seen, do_not };
Fit fit_of(PartsState parts, std::span<const LineState> lines);

/// True for outcomes of a search that are arguments, not only a spent budget.
bool is_argument(SearchOutcome outcome);

/// Stops before flags before notes, stops that stand before undecided ones; within each the shortest margin
/// first, those without a margin last. Ties by rule, subject and other part, then as they came.
void order_findings(std::vector<Finding>& findings);

/// The limits that a verdict rests on, each counted once under its key.
class LimitsCount {
 public:
  void add(const std::string& key, const Provenance& provenance);
  LimitsAnswer answer() const;

 private:
  std::vector<std::pair<std::string, Provenance>> limits_;
};

}  // namespace hosefit
