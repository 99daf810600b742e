// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/field/body_field.h"

#include <algorithm>
#include <limits>

namespace hosefit {
namespace {

// Up to so many triangles (two packs) the exact answer costs no more than the grid's.
constexpr std::size_t kFewTriangles = 16;

constexpr double kIndexError_mm = 0.002;

bool ignored(std::span<const ObstacleRef> ignore, const ObstacleRef& ref) {
  return std::find(ignore.begin(), ignore.end(), ref) != ignore.end();
}

}  // namespace

BodyField::BodyField(const Body& body, double overshoot_mm, Threads threads) {
  obstacles_.reserve(body.obstacles.size());
  for (std::size_t i = 0; i < body.obstacles.size(); ++i) {
    const Obstacle& obstacle = body.obstacles[i];
    obstacles_.emplace_back(tessellate(obstacle.shape, overshoot_mm), obstacle.closed, threads);
    const std::optional<Length> own = obstacle.own_gap ? std::optional(obstacle.own_gap->gap) : std::nullopt;
    auto group = std::find_if(groups_.begin(), groups_.end(), [&](const Group& g) {
      return g.hazard == obstacle.hazard && g.own_gap == own;
    });
    if (group == groups_.end()) {
      groups_.push_back({obstacle.hazard, own, {}, {}});
      group = groups_.end() - 1;
    }
    group->obstacles.push_back(i);
    group->box.extend(obstacles_.back().box());
  }
  for (const Group& group : groups_) {
    std::vector<AxisBox> boxes;
    for (const std::size_t i : group.obstacles) boxes.push_back(obstacles_[i].box());
    boxes_.emplace_back(boxes);
  }
  for (std::size_t g = 0; g < groups_.size(); ++g) {
    std::size_t triangles = 0;
    for (const std::size_t i : groups_[g].obstacles) triangles += obstacles_[i].triangle_count();
    grids_.push_back(
        triangles <= kFewTriangles
            ? nullptr
            : std::make_unique<const DistanceGrid>(groups_[g].box, [this, g](const Vec3& p, double at_most) {
                return group_distance_mm(g, p, at_most);
              }));
  }
}

BodyField::~BodyField() = default;

std::optional<BodyHit> BodyField::nearest(std::size_t g, const Vec3& p_mm, double within_mm,
                                          std::span<const ObstacleRef> ignore, std::size_t body) const {
  const std::vector<std::size_t>& members = groups_[g].obstacles;
  const BoxRows& boxes = boxes_[g];
  std::optional<BodyHit> best;
  const auto ask = [&](std::size_t i) {
    const auto hit = obstacles_[i].nearest(p_mm, best ? best->distance_mm : within_mm);
    if (!hit) return;
    if (best && (hit->distance_mm > best->distance_mm ||
                 (hit->distance_mm == best->distance_mm && i > best->obstacle)))
      return;
    best = BodyHit{hit->distance_mm, i, hit->point_mm};
  };
  const auto counts = [&](std::size_t k) { return !ignored(ignore, {body, members[k]}); };
  // The obstacle whose box is nearest goes first: its answer spares most others.
  const std::optional<std::size_t> first = boxes.nearest_of(p_mm, within_mm, counts);
  if (!first) return best;
  ask(members[*first]);
  boxes.for_each_within(
      p_mm, [&] { return best ? best->distance_mm : within_mm; },
      [&](std::size_t k) {
        if (k != *first && counts(k)) ask(members[k]);
      });
  return best;
}

double BodyField::distance_mm(std::size_t obstacle, const Vec3& p_mm) const {
  constexpr double kInfinity = std::numeric_limits<double>::infinity();
  const auto hit = obstacles_[obstacle].nearest(p_mm, kInfinity);
  if (!hit) return kInfinity;
  return hit->distance_mm;
}

double BodyField::group_distance_mm(std::size_t g, const Vec3& p_mm, double at_most_mm) const {
  const auto hit = nearest(g, p_mm, at_most_mm);
  return hit ? hit->distance_mm : std::numeric_limits<double>::infinity();
}

double BodyField::lower_bound_mm(std::size_t g, const Vec3& p_mm, double at_most_mm) const {
  if (grids_[g]) return grids_[g]->lower_bound_mm(p_mm, at_most_mm);
  return group_distance_mm(g, p_mm, at_most_mm + kIndexError_mm) - kIndexError_mm;
}

double BodyField::estimate_mm(std::size_t g, const Vec3& p_mm, double at_most_mm) const {
  if (grids_[g]) return grids_[g]->estimate_mm(p_mm, at_most_mm);
  return group_distance_mm(g, p_mm, at_most_mm);
}

std::size_t BodyField::triangle_count() const {
  std::size_t sum = 0;
  for (const ObstacleIndex& obstacle : obstacles_) sum += obstacle.triangle_count();
  return sum;
}

}  // namespace hosefit
