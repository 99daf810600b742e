// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/parts_in_motion.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "solver/verify/motion_box.h"
#include "solver/verify/triangle_tree.h"

namespace hosefit {
namespace {

constexpr double kTold_mm = 10.0;
constexpr double kTouching_mm = 1e-6;
constexpr double kLookedAtNear_mm = 10.0;  // a quarter of the way between the places looked at on a part

RequiredGap stricter_after_motion(const Bay& bay, const GapTable& gaps, ObstacleRef a, ObstacleRef b) {
  RequiredGap past_b = required_gap_after_motion(gaps, Runner::rigid_part, LineCarrier::engine,
                                                 obstacle(bay, b), Carrier::chassis);
  RequiredGap past_a = required_gap_after_motion(gaps, Runner::rigid_part, LineCarrier::chassis,
                                                 obstacle(bay, a), Carrier::engine);
  return past_a.gap > past_b.gap ? past_a : past_b;
}

AxisBox placed_box(const Bay& bay, ObstacleRef ref) {
  const AxisBox own = bounds(obstacle(bay, ref).shape);
  AxisBox out;
  for (int corner = 0; corner < 8; ++corner)
    out.extend(bay.bodies[ref.body].pose.point(own.corner(static_cast<AxisBox::CornerType>(corner))));
  return out;
}

double farthest_from_axis_mm(const AxisBox& box, const EnginePlaces& places) {
  double most = 0;
  for (int corner = 0; corner < 8; ++corner) {
    const Vec3 arm = box.corner(static_cast<AxisBox::CornerType>(corner)) - places.axis_point_mm;
    most = std::max(most, (arm - arm.dot(places.axis) * places.axis).norm());
  }
  return most;
}

// One obstacle on the engine against one on the chassis.
class PairInMotion {
 public:
  PairInMotion(const Bay& bay, ProofStore& store, const EnginePlaces& places, const MotionOptions& options,
               PartInMotion& told)
      : bay_(bay),
        places_(places),
        options_(options),
        told_(told),
        moving_(store.triangles(bay.bodies[told.on_engine.body].body, told.on_engine.obstacle)),
        standing_(store.triangles(bay.bodies[told.on_chassis.body].body, told.on_chassis.obstacle)),
        arm_mm_(farthest_from_axis_mm(placed_box(bay, told.on_engine), places)) {}

  int prove() {
    std::vector<PlaceBox> open{{places_.centre, places_.half}};
    int boxes = 0;
    bool first = true;
    while (!open.empty() && boxes < options_.most_boxes) {
      const PlaceBox box = open.back();
      open.pop_back();
      ++boxes;
      const double reach = reach_mm(box);
      const MeshGap gap = measured_at(box.centre, reach);
      const Bound bound = bound_over(box, gap, reach);
      if (bound.spare_mm >= (first ? kTold_mm : -options_.tolerance_mm)) continue;
      if (first) look_at_corners(box, reach);
      first = false;
      if (told_.found_mm - told_.required_mm < -options_.tolerance_mm) {
        told_.answer = PartInMotion::Answer::comes_short;
        return boxes;
      }
      if (bound.spare_mm >= -options_.tolerance_mm) continue;
      for (const PlaceBox& half : halves(box, bound.way)) open.push_back(half);
    }
    told_.answer = open.empty() ? PartInMotion::Answer::holds : PartInMotion::Answer::undecided;
    return boxes;
  }

 private:
  // No point of the part goes further than this from where it is at the centre of the box.
  double reach_mm(const PlaceBox& box) const {
    return box.half[roll_way] * arm_mm_ + box.half.tail<3>().norm();
  }

  struct Bound {
    double spare_mm = 0;  ///< no place in the box has less
    std::size_t way = 0;  ///< that which takes most off it
  };

  // Two arguments, the better one counts. No point moves further than `reach`. And along the line through the
  // nearest points a plane keeps the two apart as long as every corner of the moving part stays on its side
  // (a separating direction; S. Boyd and L. Vandenberghe, "Convex Optimization" (2004), section 2.5.1).
  Bound bound_over(const PlaceBox& box, const MeshGap& gap, double reach) const {
    EnginePlace ways = box.half;
    ways[roll_way] *= arm_mm_;
    Bound bound{gap.distance_mm - reach, 0};
    const Vec3 apart = gap.on_a_mm - gap.on_b_mm;
    if (gap.distance_mm > kTouching_mm && gap.distance_mm < within_mm(reach) && apart.norm() > kTouching_mm) {
      const Vec3 n = apart.normalized();
      EnginePlace along(0, std::abs(n.z()) * box.half[lift_way], std::abs(n.x()) * box.half[rearward_way],
                        std::abs(n.y()) * box.half[right_way]);
      const double kept = kept_apart_mm(box, n, along[roll_way]) - along.tail<3>().sum();
      if (kept > bound.spare_mm) {
        bound.spare_mm = kept;
        ways = along;
      }
    }
    bound.spare_mm -= told_.required_mm;
    Eigen::Index widest = 0;
    ways.maxCoeff(&widest);
    bound.way = static_cast<std::size_t>(widest);
    return bound;
  }

  // From the farthest corner of what stands to the nearest of what moves, along n, at any roll of the box.
  double kept_apart_mm(const PlaceBox& box, const Vec3& n, double& most_by_roll) const {
    const Pose& stands = bay_.bodies[told_.on_chassis.body].pose;
    double far = -std::numeric_limits<double>::infinity();
    for (const Vec3& corner : standing_->mesh().vertices_mm) far = std::max(far, n.dot(stands.point(corner)));
    const Pose moving = places_.moved(box.centre) * bay_.bodies[told_.on_engine.body].pose;
    const Vec3 axis_point =
        places_.axis_point_mm + Vec3(box.centre[rearward_way], box.centre[right_way], box.centre[lift_way]);
    const double half_roll = box.half[roll_way];
    double near = std::numeric_limits<double>::infinity();
    for (const Vec3& corner : moving_->mesh().vertices_mm) {
      const Vec3 p = moving.point(corner);
      const double by_roll = half_roll * std::abs(n.dot(places_.axis.cross(p - axis_point))) +
                             0.5 * half_roll * half_roll * arm_mm_;
      most_by_roll = std::max(most_by_roll, by_roll);
      near = std::min(near, n.dot(p) - by_roll);
    }
    return near - far - moving_->around_mm() - standing_->around_mm();
  }

  double within_mm(double reach) const { return told_.required_mm + reach + kTold_mm; }

  MeshGap measured_at(const EnginePlace& place, double reach) {
    const double within = within_mm(reach);
    const Pose moving = places_.moved(place) * bay_.bodies[told_.on_engine.body].pose;
    MeshGap gap = least_gap(*moving_, moving, *standing_, bay_.bodies[told_.on_chassis.body].pose, within);
    if (gap.distance_mm < within && gap.distance_mm < told_.found_mm) {
      told_.found_mm = gap.distance_mm;
      told_.place = place;
      told_.where_mm = gap.on_a_mm;
    }
    return gap;
  }

  void look_at_corners(const PlaceBox& box, double reach) {
    for (const EnginePlace& place : corners(box)) measured_at(place, reach);
  }

  const Bay& bay_;
  const EnginePlaces& places_;
  const MotionOptions& options_;
  PartInMotion& told_;
  std::shared_ptr<const TriangleTree> moving_, standing_;
  double arm_mm_;
};

// No point of a body on the engine is further than this from where it is at rest.
double farthest_mm(const Bay& bay, const EnginePlaces& places, const EnginePlace& place) {
  double arm = 0;
  for (std::size_t b = 0; b < bay.bodies.size(); ++b) {
    if (bay.bodies[b].body->carrier != Carrier::engine) continue;
    for (std::size_t o = 0; o < bay.bodies[b].body->obstacles.size(); ++o)
      arm = std::max(arm, farthest_from_axis_mm(placed_box(bay, {b, o}), places));
  }
  return std::abs(place[roll_way]) * arm + place.tail<3>().norm();
}

// At rest, the middle and the corners of the engine's places; between them what is seen may differ by what
// the engine moves, as between the places looked at on a part. Places so near to rest that they lie well
// within those 40 mm tell nothing new.
std::vector<UnseenPart> unseen_in_motion(const Bay& bay, ProofStore& store,
                                         std::span<const std::pair<std::size_t, std::size_t>> pairs,
                                         const EnginePlaces& places) {
  std::vector<UnseenPart> out;
  const auto look = [&](const EnginePlace& place) {
    for (const UnseenPart& found : unseen_parts(bay, store, pairs, places.moved(place)))
      if (std::none_of(out.begin(), out.end(), [&](const UnseenPart& told) {
            return told.part == found.part && told.scan == found.scan;
          }))
        out.push_back(found);
  };
  look(EnginePlace::Zero());
  std::vector<EnginePlace> others{places.centre};
  for (const EnginePlace& corner : corners({places.centre, places.half})) others.push_back(corner);
  for (const EnginePlace& place : others)
    if (farthest_mm(bay, places, place) > kLookedAtNear_mm) look(place);
  return out;
}

}  // namespace

PartsInMotion prove_parts_in_motion(const Bay& bay, ProofStore& store, const GapTable& gaps,
                                    std::span<const std::pair<std::size_t, std::size_t>> body_pairs,
                                    const std::function<bool(ObstacleRef, ObstacleRef)>& counts,
                                    const EnginePlaces& places, const MotionOptions& options) {
  PartsInMotion out;
  const auto on_engine = [&](std::size_t body) { return bay.bodies[body].body->carrier == Carrier::engine; };
  for (auto [a, b] : body_pairs) {
    if (on_engine(a) == on_engine(b)) continue;
    if (!on_engine(a)) std::swap(a, b);
    for (std::size_t i = 0; i < bay.bodies[a].body->obstacles.size(); ++i)
      for (std::size_t j = 0; j < bay.bodies[b].body->obstacles.size(); ++j) {
        if (!counts({a, i}, {b, j})) continue;
        RequiredGap required = stricter_after_motion(bay, gaps, {a, i}, {b, j});
        required.gap = required.gap + Length::mm(options.more_of(a) + options.more_of(b));
        const AxisBox moving = placed_box(bay, {a, i});
        const double reach = (places.half[roll_way] + std::abs(places.centre[roll_way])) *
                                 farthest_from_axis_mm(moving, places) +
                             places.half.tail<3>().norm() + places.centre.tail<3>().norm();
        if (moving.exteriorDistance(placed_box(bay, {b, j})) > required.gap.mm() + reach + kTold_mm) continue;
        PartInMotion told{{a, i},
                          {b, j},
                          required.gap.mm(),
                          std::numeric_limits<double>::infinity(),
                          EnginePlace::Zero(),
                          Vec3::Zero(),
                          required.provenance,
                          PartInMotion::Answer::undecided};
        // One inside the other at rest is told by the gap at rest; from outside nothing gets in without
        // crossing.
        const Pose b_in_a = inverse(bay.bodies[a].pose) * bay.bodies[b].pose;
        const SolidGap rest = store.gap(bay.bodies[a].body, i, bay.bodies[b].body, j, b_in_a, kTold_mm);
        if (rest.distance_mm <= 0) {
          told.found_mm = 0;
          told.where_mm = bay.bodies[a].pose.point(rest.on_a_mm);
          told.answer = PartInMotion::Answer::comes_short;
        } else {
          out.boxes += PairInMotion(bay, store, places, options, told).prove();
        }
        out.proved = out.proved && told.answer == PartInMotion::Answer::holds;
        if (told.answer != PartInMotion::Answer::holds || told.found_mm - told.required_mm < kTold_mm)
          out.near.push_back(std::move(told));
      }
  }
  std::vector<std::pair<std::size_t, std::size_t>> across;
  for (const auto& pair : body_pairs)
    if (on_engine(pair.first) != on_engine(pair.second)) across.push_back(pair);
  if (options.ask_scans) out.unseen = unseen_in_motion(bay, store, across, places);
  out.proved = out.proved && out.unseen.empty();
  std::stable_sort(out.near.begin(), out.near.end(), [](const PartInMotion& x, const PartInMotion& y) {
    return x.found_mm - x.required_mm < y.found_mm - y.required_mm;
  });
  return out;
}

}  // namespace hosefit
