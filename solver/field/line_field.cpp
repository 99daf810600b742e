// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/field/line_field.h"

#include <algorithm>
#include <cmath>

#include "solver/geometry/closest.h"

namespace hosefit {
namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();

AxisBox moved_box(const AxisBox& box, const Pose& pose) {
  if (box.isEmpty()) return box;
  const Vec3 centre = pose.point(box.center());
  const Vec3 half = pose.rotation.cwiseAbs() * box.sizes() / 2;
  return {Vec3(centre - half), Vec3(centre + half)};
}

double stricter_hose_gap_mm(const GapTable& gaps, Runner a, Runner b) {
  double gap = 0;
  for (const Runner runner : {a, b})
    for (const bool same : {false, true})
      gap = std::max(gap, gaps.row(runner, Hazard::another_hose, same).at_rest.mm());
  return gap;
}

AxisBox piece_box(const Piece& piece) {
  AxisBox box(point_at(piece, 0));
  box.extend(point_at(piece, length_mm(piece)));
  if (const auto* arc = std::get_if<Arc>(&piece)) {
    // The whole circle's box: loose, but arcs are short against the bay.
    const Vec3 half = arc->radius_mm() * (Vec3::Ones() - arc->normal.cwiseAbs2()).cwiseMax(0.0).cwiseSqrt();
    box.extend(Vec3(arc->centre_mm - half));
    box.extend(Vec3(arc->centre_mm + half));
  }
  return box;
}

}  // namespace

struct LineField::Placed {
  std::shared_ptr<const BodyField> field;
  Pose pose;
  std::vector<double> required_mm;  ///< per obstacle
};

struct LineField::Part {
  std::size_t body = 0;
  const BodyField* field = nullptr;
  std::size_t group = 0;
  AxisBox box;  ///< body frame
  double required_mm = 0;
};

struct LineField::Tube {
  int hose = 0;
  Piece piece;
  AxisBox box;  ///< of the centreline
  double radius_mm = 0, required_mm = 0;
};

// A part's box in the vehicle frame, each face moved out by the gap: nowhere is the distance to it more than
// the part's spare gap, and both are 0 where the box holds the point.
AxisBox LineField::reach_of(const Part& part, const Pose& pose) {
  AxisBox box = moved_box(part.box, pose);
  box.min().array() -= part.required_mm;
  box.max().array() += part.required_mm;
  return box;
}

LineField::LineField(const Bay& bay, FieldStore& store, const GapTable& gaps, Runner runner,
                     LineCarrier carrier, std::span<const LaidRoute> laid) {
  Parts parts;
  for (std::size_t b = 0; b < bay.bodies.size(); ++b)
    add_body(bay.bodies[b], b, store.of(bay.bodies[b].body), gaps, runner, carrier, parts);
  for (std::size_t i = 0; i < laid.size(); ++i) add_tubes(laid[i], static_cast<int>(i), gaps, runner, parts);
  std::vector<AxisBox> reaches;
  for (const Part& part : parts.parts) reaches.push_back(reach_of(part, parts.bodies[part.body].pose));
  parts.reaches = BoxRows(reaches);
  parts_ = std::make_shared<const Parts>(std::move(parts));
}

void LineField::add_body(const PlacedBody& body, std::size_t index,
                         const std::shared_ptr<const BodyField>& field, const GapTable& gaps, Runner runner,
                         LineCarrier carrier, Parts& parts) {
  Placed placed{field, body.pose, {}};
  for (const Obstacle& obstacle : body.body->obstacles)
    placed.required_mm.push_back(required_gap(gaps, runner, carrier, obstacle, body.body->carrier).gap.mm());
  for (std::size_t g = 0; g < field->group_count(); ++g) {
    const BodyField::Group& group = field->group(g);
    if (group.box.isEmpty()) continue;
    parts.parts.push_back({index, field.get(), g, group.box, placed.required_mm[group.obstacles.front()]});
    bounds_.extend(moved_box(group.box, body.pose));
  }
  parts.bodies.push_back(std::move(placed));
}

void LineField::add_tubes(const LaidRoute& route, int index, const GapTable& gaps, Runner runner,
                          Parts& parts) {
  for (const RouteSection& section : route.sections) {
    const double gap = stricter_hose_gap_mm(gaps, runner, section.runner);
    for (const Piece& piece : part_of(route.centreline, section.from_s_mm, section.to_s_mm).pieces)
      parts.tubes.push_back({index, piece, piece_box(piece), section.outside_diameter_mm / 2, gap});
  }
}

void LineField::ask(const Part& part, const Vec3& p_own_mm, double stop_above_mm,
                    std::span<const ObstacleRef> ignore, Spare& best) const {
  const double limit = std::min(best.spare_mm, stop_above_mm);
  const auto hit = part.field->nearest(part.group, p_own_mm, limit + part.required_mm, ignore, part.body);
  if (!hit) return;
  const double spare = hit->distance_mm - part.required_mm;
  const ObstacleRef ref{part.body, hit->obstacle};
  const bool earlier = ref.body < best.obstacle.body ||
                       (ref.body == best.obstacle.body && ref.obstacle < best.obstacle.obstacle);
  if (spare > limit || (spare == best.spare_mm && !earlier)) return;
  best = {spare,
          hit->distance_mm,
          part.required_mm,
          ref,
          -1,
          parts_->bodies[part.body].pose.point(hit->nearest_mm)};
}

void LineField::ask_tubes(const Vec3& p_mm, double stop_above_mm, Spare& best) const {
  for (const Tube& tube : parts_->tubes) {
    const double limit = std::min(best.spare_mm, stop_above_mm);
    if (box_distance_mm(tube.box, p_mm) - tube.radius_mm - tube.required_mm > limit) continue;
    const Vec3 axis = closest_on_piece(p_mm, tube.piece);
    const Vec3 out = p_mm - axis;
    const double distance = out.norm() - tube.radius_mm;
    const double spare = distance - tube.required_mm;
    if (spare > stop_above_mm || spare >= best.spare_mm) continue;
    const Vec3 surface = out.norm() > 0 ? Vec3(axis + tube.radius_mm * out.normalized()) : axis;
    best = {spare, distance, tube.required_mm, {}, tube.hose, surface};
  }
}

double LineField::tubes_spare_mm(const Vec3& p_mm) const {
  double least = kInfinity;
  for (const Tube& tube : parts_->tubes) {
    if (box_distance_mm(tube.box, p_mm) - tube.radius_mm - tube.required_mm >= least) continue;
    // Written as in ask_tubes, so that both round alike.
    least = std::min(least,
                     (p_mm - closest_on_piece(p_mm, tube.piece)).norm() - tube.radius_mm - tube.required_mm);
  }
  return least;
}

Spare LineField::exact(const Vec3& p_mm, double stop_above_mm, std::span<const ObstacleRef> ignore) const {
  Spare best;
  const BoxRows& reaches = parts_->reaches;
  const auto ask_part = [&](std::size_t i) {
    const Part& part = parts_->parts[i];
    ask(part, parts_->bodies[part.body].pose.point_inverse(p_mm), stop_above_mm, ignore, best);
  };
  // The part whose box is nearest goes first: its answer spares most others.
  const std::optional<std::size_t> first = reaches.nearest(p_mm, stop_above_mm);
  if (first) ask_part(*first);
  reaches.for_each_within(
      p_mm, [&] { return std::min(best.spare_mm, stop_above_mm); },
      [&](std::size_t i) {
        if (i != *first) ask_part(i);
      });
  ask_tubes(p_mm, stop_above_mm, best);
  return best;
}

double LineField::lower_bound_mm(const Vec3& p_mm) const {
  return least_of_parts(p_mm, &BodyField::lower_bound_mm);
}

double LineField::estimate_mm(const Vec3& p_mm) const {
  return least_of_parts(p_mm, &BodyField::estimate_mm);
}

double LineField::least_of_parts(const Vec3& p_mm, double (BodyField::*distance)(std::size_t, const Vec3&,
                                                                                 double) const) const {
  double least = tubes_spare_mm(p_mm);
  parts_->reaches.for_each_within(
      p_mm, [&] { return least; },
      [&](std::size_t i) {
        const Part& part = parts_->parts[i];
        const Vec3 p_own = parts_->bodies[part.body].pose.point_inverse(p_mm);
        // Where the grid's estimate is too low the box may know better.
        const double from_box = box_distance_mm(part.box, p_own);
        if (from_box > 0 && from_box - part.required_mm >= least) return;
        const double from_part = (part.field->*distance)(part.group, p_own, least + part.required_mm);
        least = std::min(least, from_part - part.required_mm);
      });
  return least;
}

double LineField::distance_to(ObstacleRef ref, const Vec3& p_mm) const {
  const Placed& body = parts_->bodies[ref.body];
  return body.field->distance_mm(ref.obstacle, body.pose.point_inverse(p_mm));
}

double LineField::required_mm(ObstacleRef ref) const {
  return parts_->bodies[ref.body].required_mm[ref.obstacle];
}

}  // namespace hosefit
