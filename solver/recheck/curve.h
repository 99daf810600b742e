// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <limits>
#include <vector>

#include "solver/recheck/bay.h"

namespace hosefit::recheck {

double length_mm(const CurvePiece& piece);
V3 at(const CurvePiece& piece, double s_mm);
V3 direction(const CurvePiece& piece, double s_mm);
double distance_mm(const CurvePiece& piece, const V3& p_mm);
CurvePiece cut(const CurvePiece& piece, double from_mm, double to_mm);
Box3 box_of(const CurvePiece& piece);

double length_mm(const std::vector<CurvePiece>& curve);
V3 at(const std::vector<CurvePiece>& curve, double s_mm);
V3 direction(const std::vector<CurvePiece>& curve, double s_mm);

/// Straights and arcs that run where they say: finite, with length, arcs less than a full turn about a unit
/// axis square to them, each piece beginning where and in the direction in which the one before ends.
std::vector<Fault> curve_faults(const std::vector<CurvePiece>& curve);

enum class OwnPart { does_not_count, must_not_touch, counts };

/// A part of a line's outside from hose end to hose end along which all is the same.
struct Stretch {
  CurvePiece piece;
  double from_mm = 0, to_mm = 0;  ///< along the line; below 0 or beyond its length over a neck
  double radius_mm = 0;
  bool over_from = false, over_to = false;
  /// Over a tube end of the tee, which holds hoses apart there, or the least lead beyond it.
  bool on_tee = false, beside_tee = false;
  OwnPart own_from = OwnPart::counts, own_to = OwnPart::counts;  ///< towards what the necks grow out of
  Box3 box;
};

/// A recorded line with what the input says of it; the pointers live in the job and the record.
struct Tube {
  const RecordedLine* recorded = nullptr;
  const Stock* stock = nullptr;
  std::size_t line = 0;  ///< of the bay
  double length_mm = 0;
  double over_from_mm = 0, over_to_mm = 0;  ///< outside diameter over the necks
  std::vector<Stretch> stretches;
};

/// Off the necks: the larger of what stock and record say.
double outside_at_mm(const Tube& tube, double s_mm);
double least_engagement_mm(const Neck& neck);
double least_lead_mm(const Stock& stock, const Neck& neck);
/// Precondition: no curve_faults.
Tube tube_of(const Bay& bay, std::size_t line, const RecordedLine& recorded, const Stock& stock);

/// Counts what is measured, so that no record can keep the program busy for long.
struct Effort {
  std::int64_t left = 60'000'000;  ///< distances; a hundred lines of a bundled vehicle take less
  bool spent() const { return left <= 0; }
};

struct Least {
  double spare_mm = std::numeric_limits<double>::infinity();
  double s_mm = 0;
};
/// The least value of a spare gap that changes by at most `slope` per millimetre; values of kLooked_mm and
/// more do not matter. Steps go as far as the value found allows, and no shorter than tells it to 0.002 mm
/// (0.4 % beyond half a millimetre).
template <class Spare>
Least least_along(const Spare& spare_at, double length_mm, double to_beat_mm, Effort& effort,
                  double slope = 1.0) {
  Least least;
  double s = 0;
  while (true) {
    const double value = spare_at(s);
    --effort.left;
    if (!(value >= least.spare_mm)) least = {value, s};
    if (s >= length_mm || effort.spent() || !(value == value)) return least;
    const double lowest = least.spare_mm < to_beat_mm ? least.spare_mm : to_beat_mm;
    const double shortest = 0.004 + (std::abs(lowest) > 0.5 ? 0.008 * (std::abs(lowest) - 0.5) : 0.0);
    const double step = value - lowest > shortest ? value - lowest : shortest;
    s = s + step / slope < length_mm ? s + step / slope : length_mm;
  }
}

}  // namespace hosefit::recheck
