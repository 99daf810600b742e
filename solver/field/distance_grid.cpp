// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/field/distance_grid.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/field/obstacle_index.h"

namespace hosefit {
namespace {

// What samples lose as floats, and what the distance itself may be off by: taken off every bound.
constexpr double kRounding_mm = 0.002;

// So many block entries take about 12 MB; larger boxes get larger cells.
constexpr double kMostBlocks = 1e6;

}  // namespace

struct DistanceGrid::Spot {
  std::array<int, 3> block{};
  std::array<int, 3> cell{};
  double part[3] = {};  ///< 0..1 within the cell
  std::size_t index = 0;
};

DistanceGrid::DistanceGrid(const AxisBox& surface_box, Distance distance)
    : surface_box_(surface_box), grid_box_(surface_box), distance_(std::move(distance)) {
  grid_box_.min().array() -= kNear_mm;
  grid_box_.max().array() += kNear_mm;
  const double volume = grid_box_.sizes().prod();
  cell_mm_ = std::max(cell_mm_, std::cbrt(volume / kMostBlocks) / kCells);
  std::size_t count = 1;
  for (int k = 0; k < 3; ++k) {
    blocks_[static_cast<std::size_t>(k)] = static_cast<int>(std::ceil(grid_box_.sizes()[k] / block_mm()));
    count *= static_cast<std::size_t>(blocks_[static_cast<std::size_t>(k)]);
  }
  per_mm_ = 1 / cell_mm_;
  entries_ = std::vector<Entry>(count);
}

DistanceGrid::~DistanceGrid() {
  for (auto& entry : entries_) delete entry.detail.load();
}

Vec3 DistanceGrid::block_low(const std::array<int, 3>& at) const {
  return grid_box_.min() + block_mm() * Vec3(at[0], at[1], at[2]);
}

DistanceGrid::Spot DistanceGrid::spot(const Vec3& p_mm) const {
  Spot out;
  for (std::size_t k = 0; k < 3; ++k) {
    const double x = (p_mm[static_cast<int>(k)] - grid_box_.min()[static_cast<int>(k)]) * per_mm_;
    const int cell = std::clamp(static_cast<int>(x), 0, blocks_[k] * kCells - 1);
    out.block[k] = cell / kCells;
    out.cell[k] = cell % kCells;
    out.part[k] = x - cell;
  }
  const auto flat = [](int k) { return static_cast<std::size_t>(k); };
  out.index =
      (flat(out.block[2]) * flat(blocks_[1]) + flat(out.block[1])) * flat(blocks_[0]) + flat(out.block[0]);
  return out;
}

float DistanceGrid::centre_value(const Spot& at) const {
  float value = entries_[at.index].centre.load(std::memory_order_relaxed);
  if (std::isnan(value)) {
    const Vec3 centre = block_low(at.block) + Vec3::Constant(block_mm() / 2);
    value = static_cast<float>(distance_(centre, std::numeric_limits<double>::infinity()));
    entries_[at.index].centre.store(value, std::memory_order_relaxed);
  }
  return value;
}

const DistanceGrid::Block& DistanceGrid::filled(const Spot& at) const {
  if (const Block* block = entries_[at.index].detail.load(std::memory_order_acquire)) return *block;
  auto fresh = std::make_unique<Block>();
  const Vec3 low = block_low(at.block);
  std::size_t n = 0;
  for (int z = 0; z < kSamples; ++z)
    for (int y = 0; y < kSamples; ++y)
      for (int x = 0; x < kSamples; ++x, ++n) {
        // The sample before is one cell away (or a row's length): 1-Lipschitz, so the search need look no
        // further than this.
        double at_most = std::numeric_limits<double>::infinity();
        if (x > 0)
          at_most = fresh->value[n - 1] + cell_mm_ + 0.01;
        else if (y > 0)
          at_most = fresh->value[n - kSamples] + cell_mm_ + 0.01;
        fresh->value[n] = static_cast<float>(distance_(low + cell_mm_ * Vec3(x, y, z), at_most));
      }
  const Block* expected = nullptr;
  if (!entries_[at.index].detail.compare_exchange_strong(expected, fresh.get(), std::memory_order_acq_rel))
    return *expected;
  return *fresh.release();
}

double DistanceGrid::bound_from_centre_mm(const Spot& at, const Vec3& p_mm, float centre) const {
  return centre - (p_mm - block_low(at.block) - Vec3::Constant(block_mm() / 2)).norm() - kRounding_mm;
}

double DistanceGrid::bound_from_corners_mm(const Spot& at, const Block& block) const {
  double bound = -std::numeric_limits<double>::infinity();
  double away[8];
  for (int corner = 0; corner < 8; ++corner) {
    const double x = at.part[0] - (corner & 1);
    const double y = at.part[1] - (corner >> 1 & 1);
    const double z = at.part[2] - (corner >> 2);
    away[corner] = cell_mm_ * std::sqrt(x * x + y * y + z * z) + kRounding_mm;
  }
  const int base = (at.cell[2] * kSamples + at.cell[1]) * kSamples + at.cell[0];
  for (int corner = 0; corner < 8; ++corner) {
    const int n = base + ((corner >> 2) * kSamples + (corner >> 1 & 1)) * kSamples + (corner & 1);
    bound = std::max(bound, block.value[static_cast<std::size_t>(n)] - away[corner]);
  }
  return bound;
}

double DistanceGrid::lower_bound_mm(const Vec3& p_mm, double at_most_mm) const {
  const double from_box = box_distance_mm(surface_box_, p_mm);
  if (!inside(p_mm) || (from_box > 0 && from_box > at_most_mm)) return from_box;
  const Spot at = spot(p_mm);
  const float centre = centre_value(at);
  double bound = bound_from_centre_mm(at, p_mm, centre);
  if (from_box > 0) bound = std::max(bound, from_box);
  if (bound > at_most_mm || far_off(centre)) return bound;
  return std::max(bound, bound_from_corners_mm(at, filled(at)));
}

double DistanceGrid::estimate_mm(const Vec3& p_mm, double at_most_mm) const {
  const double from_box = box_distance_mm(surface_box_, p_mm);
  if (!inside(p_mm) || (from_box > 0 && from_box > at_most_mm)) return from_box;
  const Spot at = spot(p_mm);
  const float centre = centre_value(at);
  const double bound = bound_from_centre_mm(at, p_mm, centre);
  if (bound > at_most_mm || far_off(centre)) return bound;
  const Block& block = filled(at);
  constexpr std::size_t kRow = kSamples, kLayer = kRow * kRow;
  const std::size_t base = static_cast<std::size_t>(at.cell[2]) * kLayer +
                           static_cast<std::size_t>(at.cell[1]) * kRow + static_cast<std::size_t>(at.cell[0]);
  const auto along_x = [&](std::size_t n) {
    return block.value[n] + at.part[0] * (block.value[n + 1] - block.value[n]);
  };
  const auto along_y = [&](std::size_t n) {
    const double low = along_x(n);
    return low + at.part[1] * (along_x(n + kRow) - low);
  };
  const double low = along_y(base);
  return low + at.part[2] * (along_y(base + kLayer) - low);
}

}  // namespace hosefit
