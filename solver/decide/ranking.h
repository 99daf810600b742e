// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <vector>

#include "solver/decide/decide.h"

namespace hosefit {

/// A strict weak ordering: `a` stands before `b`. Lengths are compared in the steps told at Comparison,
/// rounded, so that the last digits of a proof do not reorder pumps.
bool ranks_before(const Comparison& a, const Comparison& b);

/// From the parts in hand and the finished result; everything but the changes must be filled in.
Comparison comparison_of(const Job& job, const CandidateResult& result);

/// Parts to change against what is fitted, in the order pump, drive, housing, intake: "housing: swivel 45".
/// Parts that lie on the shelf say so: "pump: tall (owned)".
std::vector<std::string> changes_of(const Job& job, const Candidate& candidate);

/// Candidates of each pump, best first, and the pumps by their best candidate. Ties keep the order of the
/// candidates.
std::vector<PumpAnswer> ranking_of(const std::vector<CandidateResult>& candidates);

}  // namespace hosefit
