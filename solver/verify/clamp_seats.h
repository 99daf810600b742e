// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <vector>

#include "solver/model/finding.h"
#include "solver/verify/tube.h"

namespace hosefit {

/// Where one clamp sits on a line: over a neck, a joiner, or the tube's end in a coupler.
struct ClampSeat {
  std::optional<std::size_t> neck;  ///< index into Bay::necks; empty: inside the run
  std::size_t piece = 0;            ///< index into Route::pieces of the hose that it holds
  bool at_start = true;             ///< at that hose's first end
  double s_mm = 0;                  ///< of the band's middle along the route; negative or beyond over necks
  double from_end_mm = 0;           ///< the hose's cut end to the band's middle
  double outside_mm = 0;            ///< of the hose there
  Vec3 band_mm = Vec3::Zero();      ///< middle of the band, on the axis
  Vec3 axis = Vec3::UnitX();        ///< unit; outward at a neck, along the line inside the run
};

/// All of a route, in order along it, from its pieces: hose ends butt against each other inside a joiner by
/// equal gaps, so that cut lengths and gaps add up to the centreline and what is pushed over the necks; a
/// tube's ends are covered by the stock's cuff. A route without pieces has the two at its necks only.
/// `refused` holds a stop when the pieces do not add up (gaps below 0 or above 20 mm), are in no order that
/// can be put together, or leave no straight under a band; then `seats` holds those at the necks only.
struct ClampSeats {
  std::vector<ClampSeat> seats;
  std::vector<Finding> refused;
};
ClampSeats clamp_seats(const Bay& bay, const Route& route, const Stock* stock);

}  // namespace hosefit
