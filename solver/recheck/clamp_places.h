// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <vector>

#include "solver/recheck/curve.h"

namespace hosefit::recheck {

/// Where one clamp belongs on a line.
struct ClampPlace {
  std::string where;                 ///< "at NECK" or "at 123.4 mm along"
  std::optional<std::size_t> neck;   ///< of the bay; empty inside the run
  std::size_t piece = 0;             ///< of the record's pieces: the hose that it holds
  bool at_start = true;              ///< at that hose's first end
  double from_end_mm = 0, s_mm = 0;  ///< the band's middle: from the hose's cut end, and along the line
  double outside_mm = 0;             ///< of the hose there
  V3 band_mm = V3::Zero(), axis = V3::UnitX();  ///< axis: outward at a neck, along the line inside the run
};
struct ClampPlaces {
  std::vector<ClampPlace> list;  ///< in order along the line
  std::vector<Fault>
      faults;  ///< of the pieces; when they cannot be put together only the two at the necks are told
};

/// One at each neck, and one on each hose end that is pushed over a joiner or a tube's end. Hose ends stand
/// apart by the same gap in every joiner; a tube's ends lie inside its couplers by the stock's cuff.
ClampPlaces clamp_places(const Bay& bay, const Tube& tube);

/// What the record tells of it; null when it tells nothing.
const RecordedClamp* recorded_for(const Bay& bay, const RecordedLine& line, const ClampPlace& place);

/// The axis of a clamp's housing: across the hose, beside it. Clock 0 is up as far as the axis allows,
/// rearward for an upright one; right-handed about the axis.
StraightPiece housing_at(const ClampPlace& place, double clock_rad);
inline constexpr double kHousingRadius_mm = 10;

}  // namespace hosefit::recheck
