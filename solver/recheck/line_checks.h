// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <span>
#include <vector>

#include "solver/recheck/curve.h"

namespace hosefit::recheck {

/// Ends on the necks: place, direction, how far the hose is pushed on, and whether its bore goes with the
/// neck.
std::vector<Fault> end_faults(const Bay& bay, const Tube& tube);
/// Radii, bend angles, straights, leads, legs, pieces and lengths on sale, and the diameters recorded.
std::vector<Fault> stock_faults(const Bay& bay, const Tube& tube);
/// Of a line of a moulded stock: the shape it is cut from, its cuts, bends, planes and straights, and
/// lengths. Asked by stock_faults.
std::vector<Fault> moulded_faults(const Tube& tube);
/// The height along the line, looked at every 0.05 mm at -5, 0 and +5 deg of pitch: at most 5 mm the wrong
/// way.
std::vector<Fault> grade_faults(const Bay& bay, const Tube& tube);
/// The tube in the union of the boxes of known space, in slices of 0.25 mm, finer where it is close.
std::vector<Fault> known_space_faults(const std::vector<Solid>& known, const Tube& tube);
/// It does not run into itself and folds nowhere.
std::vector<Fault> self_faults(const Tube& tube, Effort& effort);

struct GapsFound {
  std::optional<TightestGap> tightest;
  std::vector<Fault> faults;
};
/// To every obstacle and to the other lines, and what the record tells of these gaps.
GapsFound measure_gaps(const Bay& bay, const Gaps& gaps, const Tube& tube, std::span<const Tube> all,
                       Effort& effort);

/// What a line runs in.
struct Surroundings {
  const Bay& bay;
  const Gaps& gaps;
  std::span<const Tube> lines;
};
struct ClampRoom {
  double spare_mm = kMostClampSpare_mm, required_mm = 0;
  std::string nearest;  ///< empty: nothing within that
  V3 where_mm = V3::Zero();
  std::vector<Fault> faults;
};
struct ClampsFound {
  std::size_t measured = 0;
  std::optional<TightestClamp> tightest;
  std::vector<Fault> faults;
};
/// The clamps' housings where they belong, at the clock angles that the record names, and what the record
/// tells of them.
ClampsFound clamp_faults(const Surroundings& around, const Tube& tube, Effort& effort);

/// Row of the table for two lines; empty when it has none.
std::optional<double> gap_between_lines(const Bay& bay, const Gaps& gaps, const char* runner, std::size_t a,
                                        std::size_t b);
bool grows(const PlacedNeck& neck, std::size_t obstacle);
/// By more than what is let pass; ten times that hides half a millimetre.
bool short_of(double spare_mm);

}  // namespace hosefit::recheck
