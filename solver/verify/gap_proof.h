// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <vector>

#include "solver/verify/proof.h"
#include "solver/verify/tube.h"

namespace hosefit {

struct GapsMeasured {
  std::vector<GapRecord> gaps;
  std::vector<Finding> findings;
  std::int64_t distance_queries = 0;
};

/// The least spare gap of a tube to each obstacle, where that is within 50 mm; a stop for each obstacle that
/// is too near.
GapsMeasured gaps_to_obstacles(const Bay& bay, const ProofBodies& bodies, const Tube& tube,
                               const GapTable& gaps, const ProofOptions& options);

/// The least spare gap between two tubes: `first` as told from a, `second` as told from b.
struct LinePairMeasured {
  GapsMeasured first, second;
};
LinePairMeasured gap_between(const Bay& bay, const Tube& a, const Tube& b, const GapTable& gaps,
                             const ProofOptions& options);

/// Does the tube touch itself? With R its tightest bend and |s - t| <= pi R the two places are at least 2 R
/// sin(|s - t| / 2 R) apart (Schur's comparison theorem, Math. Ann. 83 (1921) 143), so neighbours cannot
/// touch once 2 R exceeds the outside diameter; only places further apart along the line are measured.
/// Touching is a stop, less than 6 mm a flag.
GapsMeasured gap_to_itself(const Bay& bay, const Tube& tube, const ProofOptions& options);

}  // namespace hosefit
