// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/line_shapes.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace hosefit {
namespace {

constexpr double kLongestLink_mm = 5.0;   // with 8 shapes are up to 0.21 mm off, with 5 0.11 (tests/recheck)
constexpr double kMostBulge_mm = 0.1;     // of an arc over its link; it counts below 31 mm radius
constexpr double kShortestLink_mm = 0.5;  // shorter ones are rounding of lead and section boundaries
constexpr double kStiff = 1e4;  // metal against rubber; a hundred times more changes no place by 0.01 mm
constexpr int kRelaxSteps = 8;
constexpr int kSteps = 8;                // to a place of the engine that one step does not reach
constexpr std::size_t kMostKept = 2000;  // shapes of a line: 29 MB with 200 links of 72 bytes
constexpr double kOtherShape_mm = 5.0;
constexpr double kStraight_rad = 1e-6;
constexpr double kMostCouplerTurn_rad = 5.0 * std::numbers::pi / 180;

bool is_flexed(Make make) {
  return make == Make::straight_hose || make == Make::corrugated_hose;
}

std::optional<LineInMotion::BendLimit> limit_of(const Route& route, const Stock* stock) {
  if (route.make == Make::bent_tube)
    return LineInMotion::BendLimit{std::nullopt, kMostCouplerTurn_rad, {Source::common_practice, {}, {}, {}}};
  if (!is_flexed(route.make) || !stock || stock->radii.empty()) return std::nullopt;
  return LineInMotion::BendLimit{stock->radii.front().mm(), std::nullopt, stock->provenance};
}

Mat3 least_turn(const Vec3& from, const Vec3& to) {
  return Eigen::Quaterniond::FromTwoVectors(from, to).toRotationMatrix();
}

Mat3 share_of(const Mat3& turn, double share) {
  const Eigen::AngleAxisd whole(turn);
  return Eigen::AngleAxisd(share * whole.angle(), whole.axis()).toRotationMatrix();
}

// An arc of radius R stands off a chord of length c by c^2 / 8R.
double longest_link_mm(const Piece& piece) {
  const Arc* arc = std::get_if<Arc>(&piece);
  if (!arc) return kLongestLink_mm;
  return std::min(kLongestLink_mm, std::sqrt(8 * arc->radius_mm() * kMostBulge_mm));
}

LineCarrier line_carrier(Carrier carrier) {
  return carrier == Carrier::chassis ? LineCarrier::chassis : LineCarrier::engine;
}

}  // namespace

std::vector<FreeStretch> free_stretches(const Bay& bay, const Route& route,
                                        std::span<const ClipPlace> clips) {
  std::vector<FreeStretch> out;
  FreeStretch next;
  next.from = from_neck(bay, route).carrier;
  for (const ClipPlace& clip : clips) {
    if (!clip.to) continue;
    next.to_s_mm = clip.s_mm;
    next.to = clip.carrier;
    next.to_neck = false;
    out.push_back(next);
    next.from_s_mm = clip.s_mm;
    next.from = clip.carrier;
    next.from_neck = false;
  }
  next.to_s_mm = length_mm(route.centreline);
  next.to = to_neck(bay, route).carrier;
  next.to_neck = true;
  out.push_back(next);
  return out;
}

LineInMotion::LineInMotion(const Bay& bay, const Route& route, const Stock* stock, const EnginePlaces& places,
                           const FreeStretch& stretch)
    : line_(route.line),
      places_(places),
      stretch_(stretch),
      route_length_mm_(hosefit::length_mm(route.centreline)),
      from_moves_(stretch.from == Carrier::engine),
      to_moves_(stretch.to == Carrier::engine),
      is_rod_(between_carriers() || is_flexed(route.make)) {
  const PlacedNeck& from = from_neck(bay, route);
  const PlacedNeck& to = to_neck(bay, route);
  divide(tube_of(bay, route, stock), between_carriers() ? LineCarrier::both : line_carrier(stretch.from));
  const auto at = [&](double s_mm) -> Vec3 {
    if (s_mm < 0) return from.end_mm + s_mm * from.outward;
    const double beyond = std::max(0.0, s_mm - route_length_mm_);
    return beyond > 0 ? Vec3(to.end_mm - beyond * to.outward) : point_at(route.centreline, s_mm);
  };
  for (const LineLink& link : links_) nodes_at_rest_mm_.push_back(at(link.from_s_mm));
  nodes_at_rest_mm_.push_back(at(links_.back().to_s_mm));
  if (is_rod_) {
    make_rod(route, stock);
    settle_at_rest(route);
  } else {
    at_rest_ = LineShape{nodes_at_rest_mm_, {}, std::nullopt, {}, EnginePlace::Zero()};
  }
}

LineInMotion::LineInMotion(std::size_t line, const Straight& along, const LineLink& link, bool moves,
                           const EnginePlaces& places)
    : line_(line),
      places_(places),
      stretch_{0, (along.to_mm - along.from_mm).norm(), Carrier::chassis, Carrier::chassis, true, true},
      from_moves_(moves),
      to_moves_(moves),
      links_{link},
      nodes_at_rest_mm_{along.from_mm, along.to_mm} {
  at_rest_ = LineShape{nodes_at_rest_mm_, {}, std::nullopt, {}, EnginePlace::Zero()};
}

LineInMotion LineInMotion::riding(const Straight& along, const LineLink& link) const {
  if (!is_rod_) return {line_, along, link, from_moves_, places_};
  LineInMotion out = *this;
  std::size_t on = 0;
  while (on + 1 < rod_.links_mm.size() && links_[first_ + on].to_s_mm < link.from_s_mm) ++on;
  const Mat3 back = planned_frames_[on].transpose();
  const Vec3& node = nodes_at_rest_mm_[first_ + on];
  out.rider_ = Rider{on, back * (along.from_mm - node), back * (along.to_mm - node)};
  out.links_ = {link};
  out.bend_limit_.reset();  // said of the line itself
  if (at_rest_) out.at_rest_ = out.shape_of(from_, to_, at_rest_->rod, EnginePlace::Zero());
  return out;
}

void LineInMotion::divide(const Tube& tube, LineCarrier carrier) {
  for (const TubeStretch& stretch : tube.stretches) {
    const bool before = stretch.over_neck && stretch.from_s_mm < 0;
    const bool after = stretch.over_neck && !before;
    if ((before && !stretch_.from_neck) || (after && !stretch_.to_neck)) continue;
    const double from = before ? stretch.from_s_mm : std::max(stretch.from_s_mm, stretch_.from_s_mm);
    const double to = after ? stretch.to_s_mm : std::min(stretch.to_s_mm, stretch_.to_s_mm);
    const double length = to - from;
    if (length <= 0) continue;
    if (length < kShortestLink_mm && !links_.empty()) {
      links_.back().to_s_mm = to;
      links_.back().radius_mm = std::max(links_.back().radius_mm, stretch.radius_mm);
      continue;
    }
    const int parts =
        stretch.over_neck ? 1 : static_cast<int>(std::ceil(length / longest_link_mm(stretch.piece)));
    for (int k = 0; k < parts; ++k) {
      LineLink link;
      link.from_s_mm = from + length * k / parts;
      link.to_s_mm = from + length * (k + 1) / parts;
      link.radius_mm = stretch.radius_mm;
      link.runner = stretch.runner;
      link.own_from = stretch.own_from;
      link.own_to = stretch.own_to;
      link.over_neck = stretch.over_neck;
      link.on_tee = stretch.on_tee;
      link.carrier = before ? line_carrier(stretch_.from) : after ? line_carrier(stretch_.to) : carrier;
      links_.push_back(link);
    }
  }
  while (first_ < links_.size() && links_[first_].over_neck) ++first_;
}

void LineInMotion::make_rod(const Route& route, const Stock* stock) {
  bend_limit_ = limit_of(route, stock);
  const bool tube = route.make == Make::bent_tube;
  const bool flexed = is_flexed(route.make);
  const double gap = stock ? stock->coupler_gap.mm() : 0;
  std::vector<double> middles;
  for (std::size_t i = first_; i < links_.size() && !links_[i].over_neck; ++i) {
    rod_.links_mm.push_back((nodes_at_rest_mm_[i + 1] - nodes_at_rest_mm_[i]).norm());
    middles.push_back(0.5 * (links_[i].from_s_mm + links_[i].to_s_mm));
  }
  if (flexed)  // its length is that of the route, not of the route's chords
    for (std::size_t i = 0; i < rod_.links_mm.size(); ++i)
      rod_.links_mm[i] = links_[first_ + i].to_s_mm - links_[first_ + i].from_s_mm;
  const std::size_t n = rod_.links_mm.size();
  for (std::size_t i = 0; i <= n; ++i) {
    RodJoint joint;
    joint.length_mm = 0.5 * ((i > 0 ? rod_.links_mm[i - 1] : 0) + (i < n ? rod_.links_mm[i] : 0));
    const double s = i < n ? links_[first_ + i].from_s_mm : stretch_.to_s_mm;
    const bool in_coupler = s < gap + 1e-9 || s > route_length_mm_ - gap - 1e-9;
    if (tube && in_coupler) (s < 0.5 * route_length_mm_ ? from_coupler_ : to_coupler_).push_back(i);
    if (tube && !in_coupler) {
      joint.bend *= kStiff;
      joint.twist *= kStiff;
    }
    rod_.joints.push_back(joint);
  }
}

// The route itself first, then what is straight when free is let go towards straight step by step.
void LineInMotion::settle_at_rest(const Route& route) {
  const std::size_t n = rod_.links_mm.size();
  from_.at_mm = nodes_at_rest_mm_[first_];
  to_.at_mm = nodes_at_rest_mm_[first_ + n];
  const Vec3 start = direction_at(route.centreline, stretch_.from_s_mm);
  from_.frame.col(0) = start;
  from_.frame.col(1) = any_perpendicular(start);
  from_.frame.col(2) = start.cross(Vec3(from_.frame.col(1)));
  RodShape shape;
  std::vector<Mat3> turns;
  Mat3 before = from_.frame;
  for (std::size_t i = 0; i <= n; ++i) {
    const Vec3 along = i < n
                           ? (nodes_at_rest_mm_[first_ + i + 1] - nodes_at_rest_mm_[first_ + i]).normalized()
                           : direction_at(route.centreline, stretch_.to_s_mm);
    const Mat3 after = least_turn(before.col(0), along) * before;
    turns.push_back(before.transpose() * after);
    if (i < n) shape.frames.push_back(after);
    before = after;
  }
  to_.frame = before;
  planned_frames_ = shape.frames;
  if (std::all_of(turns.begin(), turns.end(),
                  [](const Mat3& turn) { return Eigen::AngleAxisd(turn).angle() < kStraight_rad; })) {
    for (std::size_t i = 0; i <= n; ++i) rod_.joints[i].rest = Mat3::Identity();
    at_rest_ = shape_of(from_, to_, std::move(shape), EnginePlace::Zero());
    return;  // free of load; the force along a straight rod is not determined
  }
  const bool flexed = is_flexed(route.make);
  Settled settled;
  for (int step = flexed ? 1 : kRelaxSteps; step <= kRelaxSteps; ++step) {
    const double made = flexed ? 1.0 - static_cast<double>(step) / kRelaxSteps : 1.0;
    for (std::size_t i = 0; i <= n; ++i) rod_.joints[i].rest = share_of(turns[i], made);
    // While it is put on, the hose may turn on the far neck.
    Rod loose = rod_;
    if (flexed) loose.joints.back().twist *= 1e-6;
    settled = settle(loose, from_, to_, std::move(shape));
    if (settled.settling != Settling::stable) return;
    shape = std::move(settled.shape);
  }
  if (flexed) {
    const Mat3& last = shape.frames.back();
    to_.frame = least_turn(last.col(0), to_.frame.col(0)) * last;
  }
  settled = settle(rod_, from_, to_, std::move(shape));
  if (settled.settling == Settling::stable)
    at_rest_ = shape_of(from_, to_, std::move(settled.shape), EnginePlace::Zero());
}

RodEnd LineInMotion::from_at(const EnginePlace& place) const {
  if (!from_moves_) return from_;
  const Pose moved = places_.moved(place);
  return {moved.point(from_.at_mm), moved.rotation * from_.frame};
}
RodEnd LineInMotion::to_at(const EnginePlace& place) const {
  if (!to_moves_) return to_;
  const Pose moved = places_.moved(place);
  return {moved.point(to_.at_mm), moved.rotation * to_.frame};
}

double LineInMotion::chord_mm(const EnginePlace& place) const {
  if (!is_rod_) return (nodes_at_rest_mm_.front() - nodes_at_rest_mm_.back()).norm();
  return (to_at(place).at_mm - from_at(place).at_mm).norm();
}

std::vector<Vec3> LineInMotion::nodes_of(const RodEnd& from, const RodShape& rod,
                                         const EnginePlace& place) const {
  const Pose moved = places_.moved(place);
  std::vector<Vec3> out;
  for (std::size_t i = 0; i < first_; ++i)
    out.push_back(from_moves_ ? moved.point(nodes_at_rest_mm_[i]) : nodes_at_rest_mm_[i]);
  for (const Vec3& node : nodes(rod_, from, rod)) out.push_back(node);
  for (std::size_t i = out.size(); i < nodes_at_rest_mm_.size(); ++i)
    out.push_back(to_moves_ ? moved.point(nodes_at_rest_mm_[i]) : nodes_at_rest_mm_[i]);
  return out;
}

std::vector<Vec3> LineInMotion::rider_at(const RodEnd& from, const RodShape& rod) const {
  const Vec3 node = nodes(rod_, from, rod)[rider_->link];
  const Mat3& frame = rod.frames[rider_->link];
  return {node + frame * rider_->from_mm, node + frame * rider_->to_mm};
}

LineShape LineInMotion::shape_of(const RodEnd& from, const RodEnd& to, RodShape rod,
                                 const EnginePlace& place) const {
  LineShape out;
  out.nodes_mm = rider_ ? rider_at(from, rod) : nodes_of(from, rod, place);
  const std::vector<double> curvature = curvatures(rod_, from, to, rod);
  const double most = *std::max_element(curvature.begin(), curvature.end());
  if (most > 0) out.tightest_bend_mm = 1 / most;
  if (bend_limit_ && bend_limit_->least_radius_mm)
    for (const double k : curvature) out.bent.push_back(k * *bend_limit_->least_radius_mm);
  if (bend_limit_ && bend_limit_->most_turn_rad)
    for (const auto* coupler : {&from_coupler_, &to_coupler_}) {
      double turn = 0;
      for (const std::size_t i : *coupler) turn += curvature[i] * rod_.joints[i].length_mm;
      out.bent.push_back(turn / *bend_limit_->most_turn_rad);
    }
  out.rod = std::move(rod);
  out.place = place;
  return out;
}

LineShape LineInMotion::riding_in(const LineShape& of_stretch) const {
  if (!rider_) return *at_rest_;
  LineShape out = shape_of(from_, to_, of_stretch.rod, EnginePlace::Zero());
  out.family = of_stretch.family;
  return out;
}

std::optional<RodShape> LineInMotion::step_to(const EnginePlace& place, const RodShape& near) const {
  Settled settled = settle(rod_, from_at(place), to_at(place), near);
  if (settled.settling != Settling::stable) return std::nullopt;
  return std::move(settled.shape);
}

std::optional<RodShape> LineInMotion::reached(const EnginePlace& place, const LineShape& near) const {
  if (auto at_once = step_to(place, near.rod)) return at_once;
  std::optional<RodShape> on_the_way = near.rod;
  for (int step = 1; step <= kSteps && on_the_way; ++step) {
    const double share = static_cast<double>(step) / kSteps;
    on_the_way = step_to((1 - share) * near.place + share * place, *on_the_way);
  }
  return on_the_way;
}

std::optional<LineShape> LineInMotion::at(const EnginePlace& place, const LineShape& near) const {
  if (!between_carriers()) {
    LineShape out = near;
    out.place = place;
    if (from_moves_) {
      const Pose there = places_.moved(near.place), here = places_.moved(place);
      for (Vec3& node : out.nodes_mm) node = here.point(there.point_inverse(node));
    }
    return out;
  }
  if (near.place == place) return near;
  const std::array<double, 5> key{static_cast<double>(near.family), place[0], place[1], place[2], place[3]};
  auto known = known_->find(key);
  std::optional<RodShape> found = known != known_->end() ? known->second : reached(place, near);
  if (known == known_->end() && known_->size() < kMostKept) known_->emplace(key, found);
  if (!found) return std::nullopt;
  LineShape out = shape_of(from_at(place), to_at(place), *std::move(found), place);
  out.family = near.family;
  return out;
}

std::vector<LineShape> LineInMotion::others_at_rest() const {
  std::vector<LineShape> out;
  if (!is_rod_ || !at_rest_) return out;
  const std::size_t n = rod_.links_mm.size();
  const Vec3 chord = (to_.at_mm - from_.at_mm).normalized();
  const Vec3 aside = any_perpendicular(chord);
  const std::size_t count = nodes_at_rest_mm_.size();
  const auto is_new = [&](const LineShape& shape) {
    const auto apart = [&](const LineShape& other) {
      double most = 0;
      for (std::size_t i = 0; i < count; ++i)
        most = std::max(most, (shape.nodes_mm[i] - other.nodes_mm[i]).norm());
      return most > kOtherShape_mm;
    };
    return apart(*at_rest_) && std::all_of(out.begin(), out.end(), apart);
  };
  for (const Vec3& axis : {aside, chord.cross(aside).eval()})
    for (const double push : {0.6, -0.6}) {
      RodShape start = at_rest_->rod;
      for (std::size_t i = 0; i < n; ++i) {
        const double t = (static_cast<double>(i) + 0.5) / static_cast<double>(n);
        start.frames[i] =
            Eigen::AngleAxisd(push * std::sin(2 * std::numbers::pi * t), axis).toRotationMatrix() *
            start.frames[i];
      }
      Settled settled = settle(rod_, from_, to_, std::move(start));
      if (settled.settling != Settling::stable) continue;
      LineShape shape = shape_of(from_, to_, std::move(settled.shape), EnginePlace::Zero());
      shape.family = static_cast<int>(out.size()) + 1;
      if (is_new(shape)) out.push_back(std::move(shape));
    }
  return out;
}

}  // namespace hosefit
