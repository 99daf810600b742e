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

constexpr float kUnmeasured = std::numeric_limits<float>::quiet_NaN();
constexpr double kLipschitzSlack_mm = 0.01;  // the distance is 1-Lipschitz to within 0.001 mm

// So many block entries take about 12 MB; larger boxes get larger cells.
constexpr double kMostBlocks = 1e6;

}  // namespace

struct DistanceGrid::Spot {
  std::array<int, 3> block{};
  std::array<int, 3> cell{};
  double part[3] = {};  ///< 0..1 within the cell
  std::size_t index = 0;
  std::size_t sample(int corner) const {
    const int x = cell[0] + (corner & 1), y = cell[1] + (corner >> 1 & 1), z = cell[2] + (corner >> 2);
    const int n = (z * kSamples + y) * kSamples + x;
    return static_cast<std::size_t>(n);
  }
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

DistanceGrid::Block::Block() {
  for (std::atomic<float>& v : value) v.store(kUnmeasured, std::memory_order_relaxed);
}

DistanceGrid::Block& DistanceGrid::block_of(const Spot& at) const {
  std::atomic<Block*>& detail = entries_[at.index].detail;
  if (Block* block = detail.load(std::memory_order_acquire)) return *block;
  auto fresh = std::make_unique<Block>();
  Block* expected = nullptr;
  if (!detail.compare_exchange_strong(expected, fresh.get(), std::memory_order_acq_rel)) return *expected;
  return *fresh.release();
}

DistanceGrid::Corners DistanceGrid::corners(const Spot& at, float centre) const {
  Block& block = block_of(at);
  Corners out;
  bool measured = true;
  for (int corner = 0; corner < 8; ++corner) {
    const float value = block.value[at.sample(corner)].load(std::memory_order_relaxed);
    measured = measured && !std::isnan(value);
    out[static_cast<std::size_t>(corner)] = value;
  }
  if (!measured) measure_corners(at, centre, block, out);
  return out;
}

void DistanceGrid::measure_corners(const Spot& at, float centre, Block& block, Corners& values) const {
  const Vec3 low = block_low(at.block);
  const auto place = [&](int corner) -> Vec3 {
    return low + cell_mm_ * Vec3(at.cell[0] + (corner & 1), at.cell[1] + (corner >> 1 & 1),
                                 at.cell[2] + (corner >> 2));
  };
  for (int corner = 0; corner < 8; ++corner) {
    float& value = values[static_cast<std::size_t>(corner)];
    if (!std::isnan(value)) continue;
    // 1-Lipschitz: what is known nearby says how far the search need look.
    const Vec3 p = place(corner);
    double at_most = centre + (p - low - Vec3::Constant(block_mm() / 2)).norm();
    for (int other = 0; other < 8; ++other) {
      const float known = values[static_cast<std::size_t>(other)];
      if (!std::isnan(known)) at_most = std::min(at_most, known + (p - place(other)).norm());
    }
    at_most += kLipschitzSlack_mm;
    double distance = distance_(p, at_most);
    // A surface that cuts through itself may jump from inside to outside.
    if (distance > at_most) distance = distance_(p, std::numeric_limits<double>::infinity());
    value = static_cast<float>(distance);
    block.value[at.sample(corner)].store(value, std::memory_order_relaxed);
  }
}

double DistanceGrid::bound_from_centre_mm(const Spot& at, const Vec3& p_mm, float centre) const {
  return centre - (p_mm - block_low(at.block) - Vec3::Constant(block_mm() / 2)).norm() - kRounding_mm;
}

double DistanceGrid::bound_from_corners_mm(const Spot& at, const Corners& values) const {
  double bound = -std::numeric_limits<double>::infinity();
  for (int corner = 0; corner < 8; ++corner) {
    const double x = at.part[0] - (corner & 1);
    const double y = at.part[1] - (corner >> 1 & 1);
    const double z = at.part[2] - (corner >> 2);
    const double away = cell_mm_ * std::sqrt(x * x + y * y + z * z) + kRounding_mm;
    bound = std::max(bound, values[static_cast<std::size_t>(corner)] - away);
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
  return std::max(bound, bound_from_corners_mm(at, corners(at, centre)));
}

double DistanceGrid::estimate_mm(const Vec3& p_mm, double at_most_mm) const {
  const double from_box = box_distance_mm(surface_box_, p_mm);
  if (!inside(p_mm) || (from_box > 0 && from_box > at_most_mm)) return from_box;
  const Spot at = spot(p_mm);
  const float centre = centre_value(at);
  const double bound = bound_from_centre_mm(at, p_mm, centre);
  if (bound > at_most_mm || far_off(centre)) return bound;
  const Corners v = corners(at, centre);
  const auto along_x = [&](std::size_t n) { return v[n] + at.part[0] * (v[n + 1] - v[n]); };
  const auto along_y = [&](std::size_t n) {
    const double low = along_x(n);
    return low + at.part[1] * (along_x(n + 2) - low);
  };
  const double low = along_y(0);
  return low + at.part[2] * (along_y(4) - low);
}

}  // namespace hosefit
