// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <vector>

#include "solver/model/bay.h"
#include "solver/model/route.h"

namespace hosefit {

/// Lengths of the centreline, neck end to neck end, that one length on sale can serve.
struct LengthWindow {
  double bought_mm = 0;
  double least_mm = 0, most_mm = 0;
};

/// Bends over this are not made from one intersection point: 155 deg puts it 4.5 radii away, and at 180 deg
/// it is nowhere.
inline constexpr double kMostBendOfChain_rad = 2.7;

/// What a make allows a centreline to do between two necks. Millimetres and radians.
struct BendRules {
  Make make = Make::straight_hose;
  double outside_diameter_mm = 0;       ///< of the run between the leads
  double lead_outside_diameter_mm = 0;  ///< of the leads (couplers are thicker than the tube)
  std::vector<double>
      radii_mm;  ///< allowed radii, ascending; a single entry with `radius_is_least`: any from there up
  bool radius_is_least = false;
  std::vector<double> angles_rad;  ///< allowed bend angles, ascending; empty = any
  double most_bend_rad = kMostBendOfChain_rad;
  double lead_from_mm = 0, lead_to_mm = 0;  ///< least straight at each end, from the neck's end
  double straight_between_mm = 0;
  int most_bends = 6;
  double least_length_mm = 0, most_length_mm = 1e9;     ///< of the centreline between the neck ends
  std::vector<LengthWindow> windows;                    ///< ascending; empty = any length can be had
  double engagement_from_mm = 0, engagement_to_mm = 0;  ///< least hose over each neck
  double most_engagement_from_mm = 0,
         most_engagement_to_mm = 0;  ///< the neck's straight, when that is longer
};

/// The rules of a stock between two necks; see least_lead_mm and least_engagement_mm in model/route.h. A
/// corrugated hose's length is one on sale less at most its cuff trim at both ends; hose may be pushed over a
/// neck as far as it is straight. Moulded shapes bring their own bends (route/shapes.h); here stand only
/// their tightest radius and their longest length.
BendRules bend_rules(const Stock& stock, const PlacedNeck& from, const PlacedNeck& to);

/// The first window holding a centreline length; null when there is none.
const LengthWindow* window_of(const BendRules& rules, double length_mm);

}  // namespace hosefit
