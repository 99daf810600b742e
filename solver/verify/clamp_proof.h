// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <span>

#include "solver/verify/clamp_seats.h"
#include "solver/verify/proof.h"
#include "solver/verify/tube.h"

namespace hosefit {

struct ClampMeasured {
  ClampRecord record;
  std::vector<Finding> findings;  ///< clamp_blocked when the best position falls short
  std::int64_t distance_queries = 0;
};

/// A clamp that has its clock already.
struct PlacedClamp {
  std::size_t line = 0;
  Straight housing;
};

/// What a clamp's housing is held against.
struct ClampQuestion {
  const Bay& bay;
  const ProofBodies& bodies;
  const Tube& own;                          ///< the line it sits on
  double lead_from_mm = 0, lead_to_mm = 0;  ///< of that line
  std::span<const Tube* const> others;      ///< the other lines
  std::span<const PlacedClamp> clamps;      ///< of other lines and of its own
  const GapTable& gaps;
  const ProofOptions& options;
};

/// The clamp's housing on its seat, at the best of 24 clock positions; see prove(). Over a neck its gaps are
/// those of the neck's carrier, inside the run those of the line. What a neck grows out of must not be
/// touched by the clamp on it, nor by one inside the line's lead; further on its full gap holds. Nor may it
/// touch its own line, but for the 30 mm of hose to either side of it. From the clamps of other lines it
/// keeps the gap to another hose, those of its own line it must not touch. A housing where an open scan has
/// not looked (scan_skin.h) is undecided, unless another clock with room enough was seen.
ClampMeasured best_clamp(const ClampQuestion& asked, const ClampSeat& seat);

/// The centreline of the capsule that stands for the housing at a clock angle; its radius is kClampRadius_mm.
Straight clamp_housing(const ClampSeat& seat, double clock_rad);
inline constexpr double kClampRadius_mm = 10.0;

}  // namespace hosefit
