// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <span>
#include <vector>

#include "solver/geometry/tape_network.h"

/// The least squares behind tape_network.h.
namespace hosefit {

/// What a reading would read between these two places.
double worked_out_mm(TapeKind kind, const Vec3& point, const Vec3& end);

/// A reading of one unknown point to a place that is taken as known.
struct RoughReading {
  TapeKind kind = TapeKind::distance;
  Vec3 end_mm = Vec3::Zero();
  double reads_mm = 0;
  double sigma_mm = 1;  ///< standard deviation, that of the end along the tape included
};
struct RoughPlace {
  Vec3 at_mm = Vec3::Zero();
  double squares = 0;          ///< sum of (misfit / sigma)^2
  double worst_misfit_mm = 0;  ///< largest of the readings'
  double accuracy_mm = 0;      ///< twice the standard deviation in the loosest direction; infinite when open
  Vec3 loosest = Vec3::UnitZ();
};
/// Every place where the sum of squares has a minimum, least sum first, places within `same_mm` told once.
/// Looked for from 27 starts around the ends, always the same. Precondition: readings are not empty.
std::vector<RoughPlace> rough_places(std::span<const RoughReading> readings, double same_mm);

/// The fit of some points of a network and of the datums they were measured from, all moved together.
struct TapeFit {
  bool fixed = false;                   ///< false: the readings leave something open, and the rest is empty
  double squares = 0;                   ///< sum of (misfit / sigma)^2 of readings and datums
  std::size_t spare = 0;                ///< readings more than coordinates of points
  std::vector<TapePlace> places;        ///< as `points`
  std::vector<std::size_t> readings;    ///< those used
  std::vector<TapeResidual> residuals;  ///< as `readings`
};
TapeFit fit(const TapeNetwork& network, std::span<const std::size_t> points,
            std::span<const std::size_t> readings, std::span<const std::optional<Vec3>> start_mm);

}  // namespace hosefit
