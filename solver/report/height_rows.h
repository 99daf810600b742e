// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <vector>

#include "solver/decide/decide.h"
#include "solver/report/page.h"

namespace hosefit {

/// One interval of intake heights as people read it.
struct HeightRow {
  Length from, to;
  Fit fit = Fit::undecided;
  std::string binds;  ///< what ends it above or misses in it, with the height; may be empty
};

struct HeightRows {
  std::vector<HeightRow> rows;
  bool left_out = false;  ///< undecided intervals too narrow for a row lie between some of them
};

/// Intervals narrower than this have no row of their own.
inline constexpr Length kLeastHeightRow = Length::mm(0.5);

/// The windows as rows. One narrower than kLeastHeightRow counts as undecided, joined with undecided
/// neighbours; an undecided one that narrow is left out. No row is wider than what was proved.
HeightRows height_rows(const std::vector<HeightWindow>& windows, LengthUnit unit);

/// What to say when some were left out; empty when none was.
std::string left_out_words(const HeightRows& rows, LengthUnit unit);

}  // namespace hosefit
