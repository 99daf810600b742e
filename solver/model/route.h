// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "solver/geometry/centreline.h"
#include "solver/model/gap_table.h"
#include "solver/model/line.h"

namespace hosefit {

/// A stretch of a route's outside: what the line is between two arc lengths.
struct RouteSection {
  double from_s_mm = 0, to_s_mm = 0;
  double outside_diameter_mm = 0;
  Runner runner = Runner::hose;
};

/// Which moulded shape a piece is cut from, and where: both cuts along the centreline as sold, from the end
/// marked A, the first in the shape's lists.
struct ShapeCut {
  std::string name;
  double from_mm = 0, to_mm = 0;  ///< from_mm < to_mm
  bool reversed = false;          ///< the line starts at the cut that is farther from A
};

/// One piece to buy and cut, in order from the line's start.
struct StockPiece {
  std::string stock;            ///< stock id; joiners: "joiner"
  std::string what;             ///< "elbow 90 deg", "straight hose", "moulded shape", "coupler", "tube",
                                ///< "joiner"
  double cut_length_mm = 0;     ///< along the centreline, ends pushed over necks or joiners included
  double bought_length_mm = 0;  ///< the length on sale that it is cut from; 0 = by the metre
  std::optional<double>
      clock_rad;  ///< turn against the piece before, right-handed about the direction of travel
  std::optional<ShapeCut> shape = {};  ///< moulded only
};

/// A line, its make, its stock and its centreline. The centreline runs from neck end to neck end in vehicle
/// mm; the hose pushed over each neck (`engagement`) comes on top.
struct Route {
  std::size_t line = 0;  ///< index into Bay::lines
  Make make = Make::straight_hose;
  std::string stock;  ///< id of the main stock
  Centreline centreline;
  std::vector<RouteSection> sections;  ///< cover 0 .. length without holes, ascending
  std::vector<StockPiece> pieces;
  double engagement_from_mm = 0, engagement_to_mm = 0;
  int joints = 2;             ///< clamped hose ends
  double worst_spare_mm = 0;  ///< search's own figure; the proof's counts
};

/// Least engagement of hose on a neck: 28 mm from 25 mm neck OD, else 20 mm (derived: bead zone 6 + 3 + band
/// 13 + 6).
double least_engagement_mm(Length neck_outside_diameter);

/// Least straight of the centreline from a neck's end before the first bend: half the hose's OD (common
/// practice, no source; moulded hose too), for corrugated hose the cuff beyond the neck, for bent tube
/// coupler gap plus the tube's end in the coupler.
double least_lead_mm(const Stock& stock, Length neck_outside_diameter);

}  // namespace hosefit
