// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <span>
#include <string>
#include <vector>

#include "solver/geometry/pose.h"

namespace hosefit {

/// The same spot found in a scan and measured on the vehicle.
struct SpotPair {
  std::string name;
  Vec3 in_scan = Vec3::Zero();  ///< the scan's own frame and unit
  Vec3 at_mm = Vec3::Zero();
};

enum class ScanScale { fixed, free };

/// How a scan stands in the vehicle: at_mm = scale_mm * rotation * in_scan + origin.
struct Alignment {
  double scale_mm = 1;  ///< millimetres per unit of the scan
  Pose pose;            ///< applied after the scale
  struct Residual {
    std::string name;
    double off_mm = 0;  ///< from the spot as measured to where the scan now has it
  };
  std::vector<Residual> residuals;  ///< in the order of the pairs
  std::size_t worst = 0;            ///< index of the largest
  double rms_mm = 0;                ///< of the residuals
  double per_coordinate_mm = 0;  ///< standard deviation of one coordinate of a spot as the residuals tell it:
                                 ///< root of sum of squares / (3 pairs - 6, or - 7 with a free scale)
  double spread_mm = 0;          ///< largest distance between two spots on the vehicle
  double mirrored_rms_mm = 0;    ///< of the best fit of the scan's mirror image
  Vec3 point(const Vec3& in_scan) const { return pose.point(scale_mm * in_scan); }
};

/// Least squares over the pairs (Umeyama, IEEE Trans. Pattern Anal. Mach. Intell. 13 (1991) 376): rotation,
/// place and, when free, scale; with a fixed scale `scale_mm` is what is given. Precondition: at least three
/// pairs, and how_spread says that they fix a frame.
Alignment align(std::span<const SpotPair> pairs, ScanScale scale, double scale_mm);

/// How far the spots stand off one line: second over first root of the eigenvalues of their scatter, 0 (in
/// one line) to 1; the lesser of scan and vehicle. Third over first in `off_plane`: near 0 a mirrored scan
/// cannot be told.
struct Spread {
  double off_line = 0, off_plane = 0;
};
Spread how_spread(std::span<const SpotPair> pairs);

}  // namespace hosefit
