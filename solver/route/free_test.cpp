// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/free_test.h"

#include <algorithm>
#include <cmath>

namespace hosefit {
namespace {

constexpr double kInsideKnown_mm =
    0.3;  // a run keeps this far inside known space, so that rounding cannot put it outside
constexpr double kSeam_mm = 0.6;  // two boxes of known space this close share a seam that is no border
constexpr double kLeastStep_mm =
    3.0;  // of sphere tracing on the estimate; thinner overlaps are left to the exact check
constexpr double kLeastExactStep_mm = 1.5;
constexpr double kOfNoInterest_mm = 15.0;  // margins above this are not measured closer

double look_mm(const Room& room, const Vec3& p_mm, const Look& look) {
  return look.exact ? room.margin_mm(p_mm, 60.0) : room.estimate_mm(p_mm);
}

// Halving stops once the interval cannot hold less than this much under the least sample.
double slack_of_proof(double least_sample_mm) {
  return std::clamp(0.4 * least_sample_mm, 0.01, 0.2);
}

// The sharpest turn of a centreline, per mm.
double most_curvature(const Centreline& line) {
  double most = 0;
  for (const Piece& piece : line.pieces)
    if (const Arc* arc = std::get_if<Arc>(&piece)) most = std::max(most, 1 / arc->radius_mm());
  return most;
}

// The least that the margin can be between two points of a curve this far apart along it. Twice:
// it is 1-Lipschitz; and it is semiconcave. From the point at s with nearest obstacle point y, the margin
// elsewhere is at most that taken to y alone, whose second derivative along the curve is at most 1 / distance
// + curvature = k. So margin - k s^2 / 2 is concave and dips under the chord by k apart^2 / 8 at most
// (Cannarsa and Sinestrari, Semiconcave Functions, 2004, 2.2). It makes the steps along a wall tens of times
// longer. The distance is at least the run's radius and the margin, since no gap is negative.
double least_between(double at_a, double at_b, double apart, double radius_mm, double curvature) {
  const double lipschitz = (at_a + at_b - apart) / 2;
  const double least_distance = radius_mm + lipschitz;
  if (least_distance < 1.0) return lipschitz;
  const double dip = (1 / least_distance + curvature) * apart * apart / 8;
  return std::max(lipschitz, std::min(at_a, at_b) - dip);
}

}  // namespace

Room::Room(const Bay& bay, const LineField& field, double outside_diameter_mm, Ground ground)
    : bay_(&bay), field_(&field), radius_mm_(outside_diameter_mm / 2), ground_(ground) {}

bool Room::known(const Vec3& p_mm) const {
  return ground_ == Ground::anywhere || in_known_space(*bay_, p_mm);
}

Room::Wall Room::known_wall(const Vec3& p_mm) const {
  if (ground_ == Ground::anywhere) return {};
  Wall best{-1e9, Vec3::UnitX()};
  for (const BoxShape& box : bay_->known_space) {
    const Vec3 p = box.frame.point_inverse(p_mm);
    Wall wall;
    for (int axis = 0; axis < 3; ++axis)
      for (const double side : {-1.0, 1.0}) {
        const double depth = box.half_size_mm[axis] - side * p[axis];
        if (depth >= wall.depth_mm) continue;
        const Vec3 outward = side * box.frame.rotation.col(axis);
        const bool seam =
            depth > -kSeam_mm && depth < 5.0 && in_known_space(*bay_, p_mm + (depth + kSeam_mm) * outward);
        if (!seam) wall = {depth, -outward};
      }
    if (wall.depth_mm > best.depth_mm) best = wall;
  }
  best.depth_mm -= kInsideKnown_mm;
  return best;
}

double Room::estimate_mm(const Vec3& p_mm) const {
  const double margin = field_->estimate_mm(p_mm) - radius_mm_;
  return ground_ == Ground::anywhere ? margin : std::min(margin, known_wall(p_mm).depth_mm);
}

double Room::lower_bound_mm(const Vec3& p_mm) const {
  const double bound = field_->lower_bound_mm(p_mm) - radius_mm_;
  return ground_ == Ground::anywhere ? bound : std::min(bound, known_wall(p_mm).depth_mm);
}

double Room::margin_mm(const Vec3& p_mm, double stop_above_mm) const {
  const double bound = field_->lower_bound_mm(p_mm) - radius_mm_;
  const double margin =
      bound > stop_above_mm ? bound : field_->exact(p_mm, stop_above_mm + radius_mm_).spare_mm - radius_mm_;
  return ground_ == Ground::anywhere ? margin : std::min(margin, known_wall(p_mm).depth_mm);
}

Room::Contact Room::contact(const Vec3& p_mm, double stop_above_mm) const {
  const Spare spare = field_->exact(p_mm, stop_above_mm + radius_mm_);
  Contact c;
  c.margin_mm = spare.spare_mm - radius_mm_;
  c.nearest_mm = spare.nearest_mm;
  c.keep_off_mm = spare.required_mm + radius_mm_;
  const Vec3 from_nearest = p_mm - spare.nearest_mm;
  const double reach = from_nearest.norm();
  c.away = reach > 1e-9 ? Vec3(from_nearest / reach) : Vec3::UnitZ();
  if (spare.distance_mm < 0) c.away = -c.away;
  // Only a point of the surface itself stays valid from elsewhere; a laid hose may report a point of its
  // centreline.
  c.lasting = spare.distance_mm > 0 && std::abs(reach - spare.distance_mm) < 0.01;
  const Wall wall = known_wall(p_mm);
  if (wall.depth_mm < c.margin_mm) {
    c.margin_mm = wall.depth_mm;
    c.away = wall.inward;
    c.lasting = false;
  }
  return c;
}

double free_length_mm(const Room& room, const Piece& piece, const Look& look) {
  const double length = length_mm(piece);
  const double least_step = look.exact ? kLeastExactStep_mm : kLeastStep_mm;
  double s = 0, free = 0;
  while (true) {
    const double margin = look_mm(room, point_at(piece, s), look);
    if (margin < -look.overlap_mm) return free;
    free = s;
    if (s >= length) return length;
    s = std::min(length, s + std::max(margin, least_step));
  }
}

bool is_free(const Room& room, const Piece& piece, const Look& look) {
  return free_length_mm(room, piece, look) >= length_mm(piece);
}

bool is_free(const Room& room, const Centreline& centreline, const Look& look) {
  return std::all_of(centreline.pieces.begin(), centreline.pieces.end(),
                     [&](const Piece& piece) { return is_free(room, piece, look); });
}

LeastMargin least_margin(const Room& room, const Centreline& centreline, double from_s_mm, double to_s_mm) {
  struct Sample {
    double s, margin;
  };
  LeastMargin least;
  const auto sample = [&](double s) {
    const Vec3 p = point_at(centreline, s);
    ++least.queries;
    const double margin =
        room.field().exact(p, room.radius_mm() + 2 * kOfNoInterest_mm).spare_mm - room.radius_mm();
    if (!room.known(p)) least.known = false;
    if (margin < least.sampled_mm) {
      least.sampled_mm = margin;
      least.where_mm = p;
    }
    return Sample{s, margin};
  };
  // Depth first, so that a low sample is met early and prunes the rest.
  std::vector<std::pair<Sample, Sample>> open;
  const double curvature = most_curvature(centreline);
  double bound = 1e9;
  Sample before = sample(from_s_mm);
  const int parts = std::max(1, static_cast<int>(std::ceil((to_s_mm - from_s_mm) / 20.0)));
  for (int i = 1; i <= parts; ++i) {
    const Sample next = sample(from_s_mm + (to_s_mm - from_s_mm) * i / parts);
    open.emplace_back(before, next);
    before = next;
  }
  while (!open.empty()) {
    const auto [a, b] = open.back();
    open.pop_back();
    const double apart = b.s - a.s;
    const double lowest = least_between(a.margin, b.margin, apart, room.radius_mm(), curvature);
    const bool fine_enough = room.ground() == Ground::anywhere || apart <= 2.0;
    if (fine_enough && (lowest >= kOfNoInterest_mm ||
                        lowest >= least.sampled_mm - slack_of_proof(least.sampled_mm) || apart < 0.01)) {
      bound = std::min(bound, lowest);
      continue;
    }
    const Sample middle = sample((a.s + b.s) / 2);
    open.emplace_back(middle, b);
    open.emplace_back(a, middle);
  }
  least.proved_mm = std::min(bound, least.sampled_mm);
  return least;
}

}  // namespace hosefit
