// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <span>

#include "solver/verify/proof.h"
#include "solver/verify/tube.h"

namespace hosefit {

struct ClampMeasured {
  ClampRecord record;
  std::vector<Finding> findings;  ///< clamp_blocked when the best position falls short
  std::int64_t distance_queries = 0;
};

/// The clamp's housing at the neck of a line, at the best of 24 clock positions; see prove(). `outside_mm` is
/// of the hose there; `others` are the tubes of the other lines.
ClampMeasured best_clamp(const Bay& bay, const ProofBodies& bodies, std::size_t line, std::size_t neck,
                         double outside_mm, std::span<const Tube* const> others, const GapTable& gaps,
                         const ProofOptions& options);

/// The centreline of the capsule that stands for the housing at a clock angle; its radius is kClampRadius_mm.
Straight clamp_housing(const PlacedNeck& neck, double outside_mm, double clock_rad);
inline constexpr double kClampRadius_mm = 10.0;

}  // namespace hosefit
