// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <atomic>
#include <functional>
#include <limits>
#include <memory>
#include <vector>

#include "solver/geometry/vec.h"

namespace hosefit {

/// A distance function (1-Lipschitz, to within 0.001 mm) sampled on cells of about 10 mm, for the search's
/// inner loop. Cells lie in blocks of 4 x 4 x 4 with their own 5 x 5 x 5 samples, kept only where the block
/// comes within kNear_mm of the surface; other blocks keep one sample. Every sample is measured when first
/// asked for. Thread-safe; every thread sees the same values, whoever measured them.
class DistanceGrid {
 public:
  /// distance(p, at_most): the distance at p; any value above `at_most` will do when the true one is above
  /// it.
  using Distance = std::function<double(const Vec3& p_mm, double at_most_mm)>;
  /// `surface_box` holds the whole surface, not empty. `distance` is kept and called later.
  DistanceGrid(const AxisBox& surface_box, Distance distance);
  ~DistanceGrid();
  DistanceGrid(const DistanceGrid&) = delete;
  DistanceGrid& operator=(const DistanceGrid&) = delete;

  /// Never above distance(p). Once the answer is known to be above `at_most_mm` no more is looked at; any
  /// value above it is returned.
  double lower_bound_mm(const Vec3& p_mm, double at_most_mm) const;
  /// Trilinear where there are samples (typically within 2 mm near a smooth surface, 10 mm at worst), else a
  /// lower bound.
  double estimate_mm(const Vec3& p_mm, double at_most_mm) const;

  double cell_mm() const { return cell_mm_; }
  static constexpr double kNear_mm =
      60;  ///< beyond this the search needs no detail; ten times more fills the whole bay

 private:
  static constexpr int kCells = 4;
  static constexpr int kSamples = kCells + 1;
  struct Block {  ///< NaN until measured
    std::array<std::atomic<float>, std::size_t{kSamples} * kSamples * kSamples> value;
    Block();
  };
  struct Spot;                           ///< where a point lies: block, cell, fractions
  using Corners = std::array<float, 8>;  ///< of a cell; bits of the index: 1 high in x, 2 in y, 4 in z

  double block_mm() const { return kCells * cell_mm_; }
  bool far_off(float centre) const {
    return centre - 0.866025404 * block_mm() >= kNear_mm;
  }  // half the diagonal
  Vec3 block_low(const std::array<int, 3>& at) const;
  bool inside(const Vec3& p_mm) const { return grid_box_.contains(p_mm); }
  Spot spot(const Vec3& p_mm) const;
  float centre_value(const Spot& spot) const;
  double bound_from_centre_mm(const Spot& spot, const Vec3& p_mm, float centre) const;
  Block& block_of(const Spot& spot) const;
  Corners corners(const Spot& spot, float centre) const;
  void measure_corners(const Spot& spot, float centre, Block& block, Corners& corners) const;
  double bound_from_corners_mm(const Spot& spot, const Corners& corners) const;

  AxisBox surface_box_, grid_box_;
  Distance distance_;
  double cell_mm_ = 10, per_mm_ = 0.1;
  std::array<int, 3> blocks_{};
  struct Entry {
    std::atomic<Block*> detail{nullptr};                                 ///< null until asked for
    std::atomic<float> centre{std::numeric_limits<float>::quiet_NaN()};  ///< NaN until measured
  };
  mutable std::vector<Entry> entries_;
};

}  // namespace hosefit
