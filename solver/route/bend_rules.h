// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <vector>

#include "solver/model/bay.h"

namespace hosefit {

/// What a make allows a centreline to do between two necks. Millimetres and radians.
struct BendRules {
  double outside_diameter_mm = 0;          ///< of the run between the leads
  double lead_outside_diameter_mm = 0;     ///< of the leads (couplers are thicker than the tube)
  std::vector<double> radii_mm;            ///< allowed radii, ascending; a single entry with `radius_is_least`: any from there up
  bool radius_is_least = false;
  std::vector<double> angles_rad;          ///< allowed bend angles, ascending; empty = any
  double most_bend_rad = 2.6;
  double lead_from_mm = 0, lead_to_mm = 0; ///< least straight at each end, from the neck's end
  double straight_between_mm = 0;
  int most_bends = 6;
  double least_length_mm = 0, most_length_mm = 1e9;   ///< of the centreline between the neck ends
};

/// The rules of a stock between two necks; see least_lead_mm and least_engagement_mm in model/route.h.
BendRules bend_rules(const Stock& stock, const PlacedNeck& from, const PlacedNeck& to);

}  // namespace hosefit
