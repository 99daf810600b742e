// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/motion_gaps.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/verify/march.h"

namespace hosefit {
namespace {

constexpr double kSlopeStep_mm = 1e-3;
constexpr double kOutside_mm = 0.1;  // nearer than this the slope of a solid's distance is not asked for
constexpr double kShortestStretch_mm = 0.02;

Vec3 between(const std::vector<Vec3>& nodes, std::size_t link, double u) {
  return (1 - u) * nodes[link] + u * nodes[link + 1];
}

Vec3 slope_of(const Foe& foe, const Vec3& p, std::int64_t& queries) {
  Vec3 slope;
  for (Eigen::Index k = 0; k < 3; ++k) {
    Vec3 step = Vec3::Zero();
    step[k] = kSlopeStep_mm;
    slope[k] = (foe.distance_mm(p + step) - foe.distance_mm(p - step)) / (2 * kSlopeStep_mm);
  }
  queries += 6;
  return slope;
}

struct Stretch {
  std::size_t link;
  double from_u, to_u;
};

// The bound at one point: free = distance - off there, less what the box may take.
Doubt bound_at(const NodeMotion& motion, const Foe& foe, const Stretch& stretch, double enough_mm,
               std::int64_t& queries) {
  const double u = 0.5 * (stretch.from_u + stretch.to_u);
  const Vec3 p = between(motion.at, stretch.link, u);
  const double distance = foe.distance_mm(p);
  ++queries;
  Doubt doubt;
  doubt.link = stretch.link;
  doubt.off_mm = std::max(motion.off[stretch.link], motion.off[stretch.link + 1]);
  doubt.bound_mm = distance - foe.off_mm[stretch.link] - doubt.off_mm;
  std::array<Vec3, 4> by;
  double bound = doubt.bound_mm;
  for (std::size_t k = 0; k < 4; ++k) {
    by[k] = between(motion.by[k], stretch.link, u);
    doubt.pull[k] = by[k].norm();
    bound -= doubt.pull[k];
  }
  if (bound >= enough_mm || !std::isfinite(distance)) {
    doubt.bound_mm = bound;
    return doubt;
  }
  const Vec3 slope = slope_of(foe, p, queries);
  const bool use = foe.convex && distance > kOutside_mm;
  double along = doubt.bound_mm;
  for (std::size_t k = 0; k < 4; ++k) {
    const double way = slope.dot(by[k]);
    along -= std::abs(way);
    doubt.pull[k] = std::copysign(use ? std::abs(way) : doubt.pull[k], -way);
  }
  doubt.bound_mm = use ? std::max(bound, along) : bound;
  return doubt;
}

}  // namespace

std::optional<Doubt> doubt_over_box(const LineInMotion& line, const NodeMotion& motion, const Foe& foe,
                                    double tolerance_mm, std::int64_t& queries) {
  std::vector<Stretch> open;
  for (std::size_t i = 0; i < line.links().size(); ++i)
    if (!std::isnan(foe.off_mm[i])) open.push_back({i, 0, 1});
  std::optional<Doubt> worst;
  while (!open.empty()) {
    const Stretch stretch = open.back();
    open.pop_back();
    const double half_length = 0.5 * (stretch.to_u - stretch.from_u) *
                               (motion.at[stretch.link + 1] - motion.at[stretch.link]).norm();
    const double enough = half_length - tolerance_mm;
    const Doubt bound = bound_at(motion, foe, stretch, enough, queries);
    if (bound.bound_mm >= enough) continue;
    if (!(bound.bound_mm >= -tolerance_mm) || half_length < kShortestStretch_mm) {
      if (!worst || bound.bound_mm < worst->bound_mm) worst = bound;
      continue;
    }
    const double middle = 0.5 * (stretch.from_u + stretch.to_u);
    open.push_back({stretch.link, middle, stretch.to_u});
    open.push_back({stretch.link, stretch.from_u, middle});
  }
  return worst;
}

LeastSpareAt least_spare_at(const LineInMotion& line, const std::vector<Vec3>& nodes, const Foe& foe,
                            double tolerance_mm, std::int64_t& queries) {
  LeastSpareAt least;
  least.spare_mm = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < line.links().size(); ++i) {
    if (std::isnan(foe.off_mm[i])) continue;
    const double length = (nodes[i + 1] - nodes[i]).norm();
    const auto spare = [&](double s) {
      return foe.distance_mm(between(nodes, i, length > 0 ? s / length : 0)) - foe.off_mm[i];
    };
    const LeastSpare found = least_spare(spare, 0, length, {tolerance_mm, least.spare_mm});
    queries += found.samples;
    if (!(found.found_mm < least.spare_mm)) continue;
    least.spare_mm = found.found_mm;
    least.link = i;
    least.s_mm = line.links()[i].from_s_mm + found.s_mm;
    least.where_mm = between(nodes, i, length > 0 ? found.s_mm / length : 0);
  }
  return least;
}

EnginePlace place_of(const Doubt& doubt, const PlaceBox& box) {
  EnginePlace place = box.centre;
  for (Eigen::Index k = 0; k < 4; ++k)
    if (const double pull = doubt.pull[static_cast<std::size_t>(k)]; pull != 0)
      place[k] += std::copysign(box.half[k], pull);
  return place;
}

}  // namespace hosefit
