// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/recheck/convex.h"
#include "solver/recheck/motion_checks.h"

namespace hosefit::recheck {
namespace {

constexpr double kTouch_mm = 0.002;    // distances are known no better
constexpr std::int64_t kOfApart = 40;  // of a distance between two convex bodies, in units of MotionEffort

std::optional<double> asked(const Gaps& gaps, const PlacedObstacle& of) {
  if (of.own_gap_mm) return of.own_gap_mm;
  return gaps.after_motion("rigid_part", of.hazard, false);
}

double farthest_from_axis_mm(const Box3& box, const EngineWays& ways) {
  double most = 0;
  for (int k = 0; k < 8; ++k) {
    const V3 arm = box.corner(static_cast<Box3::CornerType>(k)) - ways.axis_point_mm;
    most = std::max(most, (arm - arm.dot(ways.axis) * ways.axis).norm());
  }
  return most;
}

// No point of a part goes further than this from where it is at the centre of the box.
double reach_mm(const PlaceBox& box, double arm_mm) {
  return box.half[kRoll] * arm_mm + box.half.tail<3>().norm();
}

/// A part on the engine against one on the chassis.
class PairCover {
 public:
  PairCover(const Moving& moving, const PlacedObstacle& goes, const PlacedObstacle& stands,
            double required_mm, MotionEffort& effort)
      : ways_(moving.ways), goes_(goes), stands_(stands), required_mm_(required_mm), effort_(effort) {}

  std::optional<Fault> cover() {
    const double arm = farthest_from_axis_mm(goes_.box, ways_);
    const double reach = reach_mm(ways_.all, arm) + ways_.all.centre.tail<3>().norm() + required_mm_;
    if (goes_.box.exteriorDistance(stands_.box) > reach) return std::nullopt;
    Box3 around = goes_.box;
    around.min().array() -= reach;
    around.max().array() += reach;
    const auto standing = convex_parts(stands_.solid, around);
    Box3 all;
    for (const Convex& part : standing) all.extend(part.box);
    if (standing.empty()) return std::nullopt;
    all.min().array() -= reach;
    all.max().array() += reach;
    for (const Convex& going : convex_parts(goes_.solid, all)) {
      const double own_arm = farthest_from_axis_mm(going.box, ways_);
      for (const Convex& part : standing) {
        --effort_.left;
        if (going.box.exteriorDistance(part.box) > reach) continue;
        if (auto fault = cover(going, own_arm, part)) return fault;
        if (effort_.spent()) return undecided();
      }
    }
    return std::nullopt;
  }

 private:
  Fault undecided() const {
    return {fmt::format("the gap between {} and {} in motion was not bounded within the recheck's limits",
                        goes_.label(), stands_.label()),
            {},
            true};
  }

  std::optional<Fault> cover(const Convex& going, double arm, const Convex& standing) {
    std::vector<PlaceBox> open{ways_.all};
    for (int boxes = 0; !open.empty(); ++boxes) {
      if (boxes == effort_.most_boxes || effort_.spent()) return undecided();
      const PlaceBox box = open.back();
      open.pop_back();
      const Bound bound = bound_over(box, going, arm, standing);
      if (bound.spare_mm >= -kMotionHeld_mm) continue;
      for (const EngineAt& at : {bound.nearest, box.centre})
        if (auto fault = short_at(at, going, standing)) return fault;
      for (const PlaceBox& half : halved(box, bound.widest)) open.push_back(half);
    }
    return std::nullopt;
  }

  struct Bound {
    double spare_mm = 0;
    Eigen::Index widest = 0;  // the way that takes most off it
    EngineAt nearest;         // the place of the box that it points to
  };

  // No point goes further than its reach; and a plane square to the shortest way keeps both apart as long as
  // all of the moving part stays on its side. Along n a point p of it moves by n . shift and, turned by t
  // about the axis a through c, by t n . (a x (p - c)), to within arm t^2 / 2.
  Bound bound_over(const PlaceBox& box, const Convex& going, double arm, const Convex& standing) {
    const Convex there = moved(going, ways_.moved(box.centre));
    const double reach = reach_mm(box, arm),
                 far = there.box.exteriorDistance(standing.box) - reach - required_mm_;
    if (far >= -kMotionHeld_mm) return {far, 0, box.centre};
    effort_.left -= kOfApart;
    const ConvexApart apart = recheck::apart(there, standing);
    const V3& n = apart.towards_a;
    EngineAt along(arm, n.z(), n.x(), n.y());
    Bound out{apart.at_least_mm - reach - required_mm_, 0, box.centre};
    EngineAt takes = box.half;
    takes[kRoll] *= arm;
    if (n.norm() > 0.5) {
      const double turn = box.half[kRoll];
      const V3 g = n.cross(ways_.axis), c = ways_.axis_point_at(box.centre);
      const double up = there.least_along(n + turn * g) - turn * g.dot(c);
      const double down = there.least_along(n - turn * g) + turn * g.dot(c);
      const double none = there.least_along(n);
      const double most = -standing.least_along(-n);
      const double shifts = along.tail<3>().cwiseAbs().dot(box.half.tail<3>());
      const double kept = std::min(up, down) - arm * turn * turn / 2 - shifts - most - required_mm_;
      takes << std::max(0.0, none - std::min(up, down)) + arm * turn * turn / 2,
          along.tail<3>().cwiseAbs().cwiseProduct(box.half.tail<3>());
      out.spare_mm = std::max(out.spare_mm, kept);
      out.nearest[kRoll] += up < down ? turn : -turn;
      for (Eigen::Index k = 1; k < 4; ++k) out.nearest[k] -= std::copysign(box.half[k], along[k]);
    }
    takes.maxCoeff(&out.widest);
    return out;
  }

  std::optional<Fault> short_at(const EngineAt& at, const Convex& going, const Convex& standing) {
    effort_.left -= kOfApart;
    const ConvexApart apart = recheck::apart(moved(going, ways_.moved(at)), standing);
    if (apart.at_most_mm >= required_mm_ - kMotionHeld_mm) return std::nullopt;
    const std::string how = apart.at_most_mm > kTouch_mm
                                ? fmt::format("are {:.2f} mm apart", apart.at_most_mm)
                                : std::string("touch or cross");
    return Fault{fmt::format("{} and {} {} {}, {:g} mm required after motion", goes_.label(), stands_.label(),
                             how, place_words(at), required_mm_),
                 apart.where_mm};
  }

  const EngineWays& ways_;
  const PlacedObstacle &goes_, &stands_;
  double required_mm_;
  MotionEffort& effort_;
};

}  // namespace

std::vector<Fault> parts_motion_faults(const Moving& moving, bool fan_on_engine, MotionEffort& effort) {
  std::vector<Fault> faults;
  const std::vector<PlacedObstacle>& all = moving.bay.obstacles;
  for (std::size_t i = 0; i < all.size(); ++i)
    for (std::size_t j = 0; j < all.size(); ++j) {
      const PlacedObstacle &goes = all[i], &stands = all[j];
      if (!goes.on_engine || stands.on_engine || !must_be_clear(moving.bay, i, j, fan_on_engine)) continue;
      const auto by_one = asked(moving.gaps, goes), by_other = asked(moving.gaps, stands);
      if (!by_one || !by_other) {
        faults.push_back({fmt::format("the input holds no gap after motion between {} and {}", goes.label(),
                                      stands.label()),
                          {},
                          true});
        continue;
      }
      if (auto fault = PairCover(moving, goes, stands, std::max(*by_one, *by_other), effort).cover())
        faults.push_back(*std::move(fault));
    }
  return faults;
}

}  // namespace hosefit::recheck
