// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <vector>

#include "solver/base/quantity.h"
#include "solver/base/result.h"

namespace hosefit {

/// A hose moulded to a ready shape, as sold: straights and bends in turn from the end marked A to its other
/// end. It is cut at both ends to fit; bends and the straights between them stay as they are moulded.
struct MouldedShape {
  std::string name;               ///< unique in its stock
  std::vector<Length> straights;  ///< one more than bends: A's end, between the bends, the far end
  std::vector<Length> radii;      ///< of the centreline, one per bend; at least one
  std::vector<Angle> angles;      ///< by how much each bend turns
  std::vector<Angle> turns;       ///< one less than bends: of each bend's plane against that of the bend
                                  ///< before, right-handed about the straight between, seen from A
  double price = 0;               ///< of a piece, in the shop's money; 0 = as the stock says
  Place place;
};

/// Along the centreline from end to end.
Length whole_length(const MouldedShape& shape);

/// The same hose told from its other end. A turn keeps its sign: right-handed stays right-handed from either
/// end.
MouldedShape reversed(MouldedShape shape);

/// How far one bend, or the plane of one bend against that of the bend before, may be sprung as the hose is
/// put on (common practice, no source).
inline constexpr double kMostSprung_deg = 5.0;

}  // namespace hosefit
