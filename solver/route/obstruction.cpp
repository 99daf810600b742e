// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/obstruction.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace hosefit {
namespace {

constexpr double kMeasured_mm = 0.01;

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

std::vector<ObstacleRef> own_part(const PlacedNeck& neck) {
  std::vector<ObstacleRef> refs;
  for (const std::size_t i : neck.own_part) refs.push_back({neck.body, i});
  return refs;
}

// Distance to one obstacle: closed form where there is one, else the field with every other obstacle left out.
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

Reading touch_reading(const Surroundings& around, std::span<const ObstacleRef> refs, const Vec3& p, double radius_mm) {
  Reading least;
  for (const ObstacleRef ref : refs) {
    const double found = distance_to(around, ref, p) - radius_mm;
    if (found >= least.margin_mm) continue;
    least.margin_mm = found;
    least.about = {obstacle(around.bay, ref).name, ref, p, -found, 0.0, found, 0.0};
  }
  return least;
}

}  // namespace

Obstruction obstruction_at(const Surroundings& around, const Vec3& p_mm, double radius_mm, double resolution_mm) {
  Obstruction o = from_spare(around, around.field.exact(p_mm), p_mm, radius_mm);
  o.missing_mm = std::max(o.missing_mm, 0.0);
  o.resolution_mm = resolution_mm;
  return o;
}

std::optional<Obstruction> blocked_stub(const Surroundings& around, const LineEnd& end) {
  const std::vector<ObstacleRef> own = own_part(end.neck);
  const auto gap_but_own = [&](const Vec3& p) {
    const Spare spare = around.field.exact(p, 1e9, own);
    if (spare.spare_mm > 1e8) return Reading{};
    return Reading{spare.spare_mm - end.lead_radius_mm, from_spare(around, spare, p, end.lead_radius_mm)};
  };
  const auto own_touch = [&](const Vec3& p) { return touch_reading(around, own, p, end.lead_radius_mm); };
  const auto full_gap = [&](const Vec3& p) {
    const Spare spare = around.field.exact(p);
    if (spare.spare_mm > 1e8) return Reading{};
    return Reading{spare.spare_mm - end.run_radius_mm, from_spare(around, spare, p, end.run_radius_mm)};
  };
  const Vec3 on_neck = end.neck.end_mm - end.engagement_mm * end.neck.outward;
  const Vec3 lead_end = end.neck.end_mm + end.lead_mm * end.neck.outward;
  Reading worst = least_along(on_neck, lead_end, gap_but_own);
  for (const Reading& r : {least_along(end.neck.end_mm, lead_end, own_touch), full_gap(lead_end)})
    if (r.margin_mm < worst.margin_mm) worst = r;
  if (worst.margin_mm >= -1e-6) return std::nullopt;
  return worst.about;
}

std::optional<Obstruction> no_room_to_bend(const Surroundings& around, const Room& room, const Heading& heading,
                                           const Vec3& goal_mm, double least_radius_mm) {
  const double distance = (goal_mm - heading.at_mm).norm();
  double worst = LineField::kOvershoot_mm + kMeasured_mm;  // the field may see curved shapes that much too fat
  double worst_s = -1;
  for (double s = 0; s < distance;) {
    const double sag = s * s / (2 * least_radius_mm);
    const double margin = room.spare(heading.at_mm + s * heading.along).spare_mm - room.radius_mm();
    if (-(margin + sag) > worst) {
      worst = -(margin + sag);
      worst_s = s;
    }
    s += std::max(1.0, (margin + sag) / 2);
  }
  if (worst_s < 0) return std::nullopt;
  Obstruction o = obstruction_at(around, heading.at_mm + worst_s * heading.along, room.radius_mm(), 0.0);
  o.missing_mm = worst;
  return o;
}

}  // namespace hosefit
