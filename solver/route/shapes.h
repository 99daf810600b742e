// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <vector>

#include "solver/model/route.h"
#include "solver/route/run.h"
#include "solver/route/shape_fit.h"
#include "solver/route/work.h"

namespace hosefit {

/// A moulded shape that, cut at both ends and sprung a little, reaches from neck to neck.
struct ShapeMatch {
  std::size_t shape = 0;  ///< index into the stock's shapes
  std::size_t bends = 0;
  ShapeCut cut;
  Centreline centreline;  ///< from neck end to neck end
  double sprung_rad = 0;  ///< the largest spring of any bend or turn
  double length_mm = 0;   ///< of the centreline
};

/// The ends of a run, as a shape sees them.
ShapeEnds shape_ends(const RunProblem& problem);

/// One match at most for each run of bends and each way round. Least sprung first, in steps of
/// kSameSpring_deg, then shortest, then as the table has them. Does not look at obstacles. `table` is of
/// `shapes`.
std::vector<ShapeMatch> shape_matches(const ShapeTable& table, std::span<const MouldedShape> shapes,
                                      const ShapeEnds& ends, Work& work);

/// Less is no difference that a fitter feels (common practice, no source); within it the roomier one is
/// taken.
inline constexpr double kSameSpring_deg = 0.5;
/// Matches i and j of shape_matches are sprung alike.
bool sprung_alike(const ShapeMatch& a, const ShapeMatch& b);

}  // namespace hosefit
