// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstddef>
#include <optional>
#include <vector>

#include "solver/base/quantity.h"

/// Which piece of hose in hand serves which cut, and what is bought for the rest.
namespace hosefit {

/// One cut of one stock. An elbow's length is its longer leg from the intersection point.
struct CutWanted {
  Length length;
  std::optional<Angle> turn;  ///< elbows only
  /// A piece in hand at most this much longer serves as it is: the cut's tolerance. Negative: it is always
  /// cut.
  Length as_it_is = {};
};

/// What can be had of one stock. Straight hose: several cuts may come from one piece, each losing
/// `kCutLoss`. Everything else (`one_cut_each`): one cut per piece, at most `most_trim` shorter than the
/// piece (corrugated: two cuffs' trim; empty: any, as an elbow's legs).
struct CutRules {
  bool one_cut_each = false;
  std::optional<Length> most_trim;
  std::vector<Length> lengths;  ///< on sale, ascending; empty: by the metre, or elbows by the piece
};
inline constexpr Length kCutLoss = Length::mm(2.0);  ///< to square an end (common practice, no source)

enum class HoseUse {
  keep,  ///< serves one cut without a new end
  trim,  ///< is cut once or more
  leave  ///< stays on the shelf
};

struct OwnedUse {
  HoseUse use = HoseUse::leave;
  std::vector<std::size_t> cuts;  ///< indexes into the cuts wanted, ascending
};

struct BoughtPiece {
  Length length;                  ///< on sale, or the sum of the cuts where it is sold by the metre
  std::vector<std::size_t> cuts;  ///< ascending
};

struct CuttingPlan {
  std::vector<OwnedUse> owned;  ///< beside the owned pieces given
  std::vector<BoughtPiece> bought;
  std::vector<std::size_t> unserved;  ///< longer than anything on sale
  bool least_proved =
      true;  ///< false: too many cuts to weigh every way; still complete, perhaps not the least
};

/// Least spend first: the least length bought (for pieces that take one cut each the fewest pieces, then the
/// least length); then the fewest pieces bought, the fewest owned pieces cut into, the least owned length
/// used. Exact up to 12 cuts. Order of cuts and owned pieces does not change what is bought or kept, only
/// which of equals is named.
CuttingPlan plan_cuts(const std::vector<CutWanted>& cuts, const std::vector<CutWanted>& owned,
                      const CutRules& rules);

/// What a piece can be cut into, given the rules; used by the plan and stated here for its test.
bool can_cut(const CutWanted& piece, const std::vector<CutWanted>& cuts, const CutRules& rules);

}  // namespace hosefit
