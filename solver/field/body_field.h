// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "solver/field/box_rows.h"
#include "solver/field/distance_grid.h"
#include "solver/field/obstacle_index.h"
#include "solver/model/bay.h"

namespace hosefit {

struct BodyHit {
  double distance_mm = 0;    ///< negative inside a closed obstacle
  std::size_t obstacle = 0;  ///< index into the body's obstacles
  Vec3 nearest_mm = Vec3::Zero();
};

/// Index of one body, in the body's frame: an exact triangle index per obstacle, and per group of obstacles
/// with one gap rule a conservative grid. It knows no gap: a pose change or an override rebuilds nothing.
/// Immutable to its users; queries are thread-safe.
class BodyField {
 public:
  /// Curved shapes are tessellated outward by at most `overshoot_mm`. The body need not outlive the field.
  BodyField(const Body& body, double overshoot_mm, Threads threads = {});
  ~BodyField();
  BodyField(const BodyField&) = delete;
  BodyField& operator=(const BodyField&) = delete;

  /// Obstacles that share hazard and own gap, and with them the required gap. Groups stand in the order of
  /// their first obstacle.
  struct Group {
    Hazard hazard = Hazard::smooth_metal;
    std::optional<Length> own_gap;
    std::vector<std::size_t> obstacles;
    AxisBox box;  ///< of their triangles; empty when there are none
  };
  std::size_t group_count() const { return groups_.size(); }
  const Group& group(std::size_t g) const { return groups_[g]; }

  /// The group's obstacle of least signed distance, when that is at most within_mm; equal distances go to the
  /// lowest index. Obstacles that `ignore` names in body `body` do not count.
  std::optional<BodyHit> nearest(std::size_t g, const Vec3& p_mm, double within_mm,
                                 std::span<const ObstacleRef> ignore = {}, std::size_t body = 0) const;
  /// Signed distance to one obstacle; infinity when it has no triangles.
  double distance_mm(std::size_t obstacle, const Vec3& p_mm) const;
  const AxisBox& box(std::size_t obstacle) const { return obstacles_[obstacle].box(); }

  /// Never above the group's signed distance. Any value above `at_most_mm` will do when the answer is above
  /// it.
  double lower_bound_mm(std::size_t g, const Vec3& p_mm, double at_most_mm) const;
  double estimate_mm(std::size_t g, const Vec3& p_mm, double at_most_mm) const;

  std::size_t triangle_count() const;

 private:
  double group_distance_mm(std::size_t g, const Vec3& p_mm, double at_most_mm) const;

  std::vector<ObstacleIndex> obstacles_;
  std::vector<Group> groups_;
  std::vector<BoxRows> boxes_;  ///< per group, beside Group::obstacles
  std::vector<std::unique_ptr<const DistanceGrid>>
      grids_;  ///< per group; null where asking the triangles is as cheap
};

}  // namespace hosefit
