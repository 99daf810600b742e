// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <vector>

#include "solver/model/route.h"
#include "solver/route/bend_rules.h"

namespace hosefit {

/// A joiner is a beaded tube inside two butted hose ends: each end is pushed on by the least engagement and
/// the ends stay this far apart (28 mm: derived, see least_engagement_mm; 4 mm: common practice, no source).
inline constexpr double kJoinerEngagement_mm = 28.0;
inline constexpr double kJoinerGap_mm = 4.0;
/// Least straight between two bends that are separate pieces: one joiner.
inline constexpr double kLeastJoined_mm = 2 * kJoinerEngagement_mm + kJoinerGap_mm;

/// A line of more clamped ends than this is taken only where no other make does with fewer (common practice,
/// no source; the rules flag such a line at the same limit).
inline constexpr int kFewJoints = 4;

/// How a line is put together from pieces.
struct Assembly {
  std::vector<StockPiece> pieces;
  int joints = 2;
  std::vector<RouteSection> sections;
  double engagement_from_mm = 0, engagement_to_mm = 0;
};

/// How a chain of elbows is cut and joined, from the straights before, between and after the arcs. Legs can
/// only be shortened; where they do not reach, straight hose and joiners go between. Empty when it cannot be
/// made: two joiners too close, a joiner reaching into a neck or a bend. Elbow angles by index into the
/// centreline's bends.
struct ElbowChain {
  std::vector<double> straights_mm;  ///< one more than angles
  std::vector<double> angles_rad;
};
std::optional<int> joiners_needed(const Stock& stock, const BendRules& rules, const ElbowChain& chain);

/// Pieces, joints, sections and engagements of a finished centreline. Precondition: it keeps the rules of the
/// stock. Which moulded shape it is cut from is for the caller to say.
Assembly assembly_of(const Stock& stock, const BendRules& rules, const Centreline& centreline);

}  // namespace hosefit
