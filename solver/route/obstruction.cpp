// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/obstruction.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

namespace hosefit {
namespace {

constexpr double kMeasured_mm = 0.01;
constexpr double kDiscCell_mm = 2.0;

// A value along a segment and what it is about.
struct Reading {
  double margin_mm = 1e9;
  Obstruction about;
};

Obstruction from_spare(const Surroundings& around, const Spare& spare, const Vec3& p, double radius_mm) {
  Obstruction o;
  if (spare.hose >= 0) {
    o.obstacle = around.laid_names[static_cast<std::size_t>(spare.hose)];
  } else {
    o.obstacle = obstacle(around.bay, spare.obstacle).name;
    o.ref = spare.obstacle;
  }
  o.where_mm = p;
  o.required_mm = spare.required_mm;
  o.found_mm = spare.distance_mm - radius_mm;
  o.missing_mm = radius_mm - spare.spare_mm;
  return o;
}

// Least reading between two points by halving; a reading is 1-Lipschitz.
template <class Read>
Reading least_along(const Vec3& a, const Vec3& b, const Read& read) {
  struct Span {
    double from, to, at_from, at_to;
  };
  const double length = (b - a).norm();
  Reading least = read(a);
  const auto look = [&](double s) {
    const Reading r = read(length > 0 ? Vec3(a + (b - a) * (s / length)) : a);
    if (r.margin_mm < least.margin_mm) least = r;
    return r.margin_mm;
  };
  std::vector<Span> open;
  if (length > 0) open.push_back({0, length, least.margin_mm, look(length)});
  while (!open.empty()) {
    const Span s = open.back();
    open.pop_back();
    const double lowest = (s.at_from + s.at_to - (s.to - s.from)) / 2;
    if (lowest > least.margin_mm - kMeasured_mm || lowest > 1.0 || s.to - s.from < kMeasured_mm) continue;
    const double middle = (s.from + s.to) / 2;
    const double value = look(middle);
    open.push_back({middle, s.to, value, s.at_to});
    open.push_back({s.from, middle, s.at_from, value});
  }
  return least;
}

// Distance to one obstacle: closed form where there is one, else the field with every other obstacle left
// out.
double distance_to(const Surroundings& around, ObstacleRef ref, const Vec3& p) {
  const PlacedBody& placed = around.bay.bodies[ref.body];
  const Shape& shape = placed.body->obstacles[ref.obstacle].shape;
  if (has_closed_form(shape)) return signed_distance_mm(shape, placed.pose.point_inverse(p));
  std::vector<ObstacleRef> others;
  for (std::size_t b = 0; b < around.bay.bodies.size(); ++b)
    for (std::size_t o = 0; o < around.bay.bodies[b].body->obstacles.size(); ++o)
      if (!(ObstacleRef{b, o} == ref)) others.push_back({b, o});
  const Spare spare = around.field.exact(p, 1e9, others);
  return spare.hose >= 0 ? 1e9 : spare.distance_mm;
}

Reading touch_reading(const Surroundings& around, std::span<const ObstacleRef> refs, const Vec3& p,
                      double radius_mm) {
  Reading least;
  for (const ObstacleRef ref : refs) {
    const double found = distance_to(around, ref, p) - radius_mm;
    if (found >= least.margin_mm) continue;
    least.margin_mm = found;
    least.about = {obstacle(around.bay, ref).name, ref, p, -found, 0.0, found, 0.0};
  }
  return least;
}

// The largest margin in a disc: an upper bound within about kDiscCell_mm, and where the most was measured.
struct DiscMargin {
  double bound_mm = -1e300, measured_mm = -1e300;
  Vec3 at_mm = Vec3::Zero();
};

// Ends with a bound above `give_up_above` once the margin somewhere is known to exceed that.
DiscMargin best_margin_in_disc(const Room& room, const Vec3& centre, const Vec3& normal, double radius,
                               double give_up_above) {
  struct Square {
    double x, y, half;
  };
  const Vec3 ex = any_perpendicular(normal), ey = normal.cross(ex);
  std::vector<Square> open{{0, 0, radius}};
  DiscMargin best;
  while (!open.empty()) {
    const Square q = open.back();
    open.pop_back();
    const double reach = std::min(q.half * std::numbers::sqrt2, q.x == 0 && q.y == 0 ? radius : 1e300);
    if (std::hypot(q.x, q.y) > radius + q.half * std::numbers::sqrt2) continue;
    const Vec3 p = centre + q.x * ex + q.y * ey;
    const double margin = room.spare(p).spare_mm - room.radius_mm();
    if (margin > best.measured_mm && std::hypot(q.x, q.y) <= radius) {
      best.measured_mm = margin;
      best.at_mm = p;
    }
    if (margin > give_up_above) return {margin, margin, p};
    if (margin + reach <= give_up_above && (reach <= kDiscCell_mm || margin + reach <= best.bound_mm)) {
      best.bound_mm = std::max(best.bound_mm, margin + reach);
      continue;
    }
    if (q.half < kDiscCell_mm / 4) return {margin + reach, best.measured_mm, best.at_mm};
    const double h = q.half / 2;
    for (const double x : {-h, h})
      for (const double y : {-h, h}) open.push_back({q.x + x, q.y + y, h});
  }
  return best;
}

}  // namespace

Obstruction obstruction_at(const Surroundings& around, const Vec3& p_mm, double radius_mm,
                           double resolution_mm) {
  const Spare spare = around.field.exact(p_mm);
  Obstruction o;
  if (std::isfinite(spare.spare_mm)) o = from_spare(around, spare, p_mm, radius_mm);  // else nothing is there
  o.missing_mm = std::max(o.missing_mm, 0.0);
  o.resolution_mm = resolution_mm;
  return o;
}

std::optional<Obstruction> blocked_stub(const Surroundings& around, const LineEnd& end) {
  const std::vector<ObstacleRef>& own = end.neck.own_part;
  const auto but_own = [&](const LineField& field, const Vec3& p) {
    const Spare spare = field.exact(p, 1e9, own);
    if (spare.spare_mm > 1e8) return Reading{};
    return Reading{spare.spare_mm - end.lead_radius_mm, from_spare(around, spare, p, end.lead_radius_mm)};
  };
  const auto gap_on_neck = [&](const Vec3& p) { return but_own(around.on_neck(end.neck), p); };
  const auto gap_of_lead = [&](const Vec3& p) { return but_own(around.field, p); };
  const auto own_touch = [&](const Vec3& p) { return touch_reading(around, own, p, end.lead_radius_mm); };
  const auto full_gap = [&](const Vec3& p) {
    const Spare spare = around.field.exact(p);
    if (spare.spare_mm > 1e8) return Reading{};
    return Reading{spare.spare_mm - end.run_radius_mm, from_spare(around, spare, p, end.run_radius_mm)};
  };
  const Vec3 on_neck = end.neck.end_mm - end.engagement_mm * end.neck.outward;
  const Vec3 lead_end = end.neck.end_mm + end.lead_mm * end.neck.outward;
  Reading worst = least_along(on_neck, end.neck.end_mm, gap_on_neck);
  for (const Reading& r : {least_along(end.neck.end_mm, lead_end, gap_of_lead),
                           least_along(end.neck.end_mm, lead_end, own_touch), full_gap(lead_end)})
    if (r.margin_mm < worst.margin_mm) worst = r;
  if (worst.margin_mm >= -1e-6) return std::nullopt;
  return worst.about;
}

std::optional<Obstruction> no_room_to_bend(const Surroundings& around, const Room& room,
                                           const Heading& heading, const Vec3& goal_mm,
                                           double least_radius_mm) {
  const double r = least_radius_mm;
  const double turn = std::min((goal_mm - heading.at_mm).norm() / r, 0.99 * std::numbers::pi / 2);
  const double furthest = r * std::sin(turn);
  double worst =
      LineField::kOvershoot_mm + kMeasured_mm;  // the field may see curved shapes that much too fat
  std::optional<DiscMargin> tightest;
  // The last plane is looked at in any case: a wall square to the heading leaves least room there.
  for (double ahead = 0, step = 0;; ahead = std::min(ahead + step, furthest)) {
    const Vec3 centre = heading.at_mm + ahead * heading.along;
    const double margin = room.spare(centre).spare_mm - room.radius_mm();
    if (margin < -worst) {
      const double reach = r - std::sqrt(r * r - ahead * ahead);
      const DiscMargin disc = best_margin_in_disc(room, centre, heading.along, reach, -worst);
      if (-disc.bound_mm > worst) {
        worst = -disc.bound_mm;
        tightest = disc;
      }
    }
    if (ahead >= furthest) break;
    step = std::max(3.0, margin);
  }
  if (!tightest) return std::nullopt;
  return obstruction_at(around, tightest->at_mm, room.radius_mm(), -tightest->measured_mm - worst);
}

}  // namespace hosefit
