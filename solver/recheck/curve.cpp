// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/recheck/curve.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace hosefit::recheck {
namespace {

constexpr double kMeets_mm = 1e-5, kMeets_rad = 1e-5;  // rounding of places at bay size is 1e-12
constexpr double kNothing_mm = 1e-9;

double radius(const ArcPiece& arc) {
  return (arc.start_mm - arc.centre_mm).norm();
}

bool runs(const CurvePiece& piece) {
  if (const auto* straight = std::get_if<StraightPiece>(&piece))
    return (straight->to_mm - straight->from_mm).norm() > kNothing_mm;
  const ArcPiece& arc = std::get<ArcPiece>(piece);
  const double r = radius(arc);
  return r > kNothing_mm && arc.angle_rad > 0 && arc.angle_rad < 2 * std::numbers::pi &&
         r * arc.angle_rad > kNothing_mm && std::abs(arc.normal.norm() - 1) < kMeets_rad &&
         std::abs(arc.normal.dot(arc.start_mm - arc.centre_mm)) < kMeets_rad * r;
}

}  // namespace

double length_mm(const CurvePiece& piece) {
  if (const auto* straight = std::get_if<StraightPiece>(&piece))
    return (straight->to_mm - straight->from_mm).norm();
  return radius(std::get<ArcPiece>(piece)) * std::get<ArcPiece>(piece).angle_rad;
}

V3 at(const CurvePiece& piece, double s_mm) {
  if (const auto* straight = std::get_if<StraightPiece>(&piece)) {
    const V3 run = straight->to_mm - straight->from_mm;
    return straight->from_mm + run * (s_mm / run.norm());
  }
  const ArcPiece& arc = std::get<ArcPiece>(piece);
  return arc.centre_mm + turned(arc.start_mm - arc.centre_mm, arc.normal, s_mm / radius(arc));
}

V3 direction(const CurvePiece& piece, double s_mm) {
  if (const auto* straight = std::get_if<StraightPiece>(&piece))
    return (straight->to_mm - straight->from_mm).normalized();
  const ArcPiece& arc = std::get<ArcPiece>(piece);
  return arc.normal.cross(at(piece, s_mm) - arc.centre_mm).normalized();
}

double distance_mm(const CurvePiece& piece, const V3& p_mm) {
  if (const auto* straight = std::get_if<StraightPiece>(&piece))
    return (p_mm - nearest_on_segment(p_mm, straight->from_mm, straight->to_mm)).norm();
  const ArcPiece& arc = std::get<ArcPiece>(piece);
  // Between the half planes through the axis and the two ends the circle is nearest, else one of the ends.
  const V3 first = arc.start_mm - arc.centre_mm;
  const V3 last = turned(first, arc.normal, arc.angle_rad);
  const V3 to = p_mm - arc.centre_mm;
  const double off_plane = to.dot(arc.normal);
  const bool past_first = arc.normal.cross(first).dot(to) >= 0,
             before_last = arc.normal.cross(last).dot(to) <= 0;
  const bool beside =
      arc.angle_rad <= std::numbers::pi ? past_first && before_last : past_first || before_last;
  if (beside) {
    const double out = (to - off_plane * arc.normal).norm();
    return std::hypot(out - radius(arc), off_plane);
  }
  return std::min((to - first).norm(), (to - last).norm());
}

CurvePiece cut(const CurvePiece& piece, double from_mm, double to_mm) {
  if (std::holds_alternative<StraightPiece>(piece))
    return StraightPiece{at(piece, from_mm), at(piece, to_mm)};
  const ArcPiece& arc = std::get<ArcPiece>(piece);
  return ArcPiece{at(piece, from_mm), arc.centre_mm, arc.normal, (to_mm - from_mm) / radius(arc)};
}

Box3 box_of(const CurvePiece& piece) {
  const double length = length_mm(piece);
  Box3 box;
  if (std::holds_alternative<StraightPiece>(piece)) {
    box.extend(at(piece, 0));
    box.extend(at(piece, length));
    return box;
  }
  // Points every sixteenth of a turn or closer; between two the arc bulges by less than an eighth of their
  // distance.
  const ArcPiece& arc = std::get<ArcPiece>(piece);
  const int parts = 1 + static_cast<int>(arc.angle_rad * 8 / std::numbers::pi);
  for (int k = 0; k <= parts; ++k) box.extend(at(piece, length * k / parts));
  box.min().array() -= length / parts / 8;
  box.max().array() += length / parts / 8;
  return box;
}

double length_mm(const std::vector<CurvePiece>& curve) {
  double sum = 0;
  for (const CurvePiece& piece : curve) sum += length_mm(piece);
  return sum;
}

namespace {

// The piece at a place along the curve, and how far along it that is.
std::pair<const CurvePiece*, double> piece_at(const std::vector<CurvePiece>& curve, double s_mm) {
  for (const CurvePiece& piece : curve) {
    const double length = length_mm(piece);
    if (s_mm <= length || &piece == &curve.back()) return {&piece, std::clamp(s_mm, 0.0, length)};
    s_mm -= length;
  }
  return {nullptr, 0};
}

}  // namespace

V3 at(const std::vector<CurvePiece>& curve, double s_mm) {
  const auto [piece, s] = piece_at(curve, s_mm);
  return piece == nullptr ? V3(V3::Zero()) : at(*piece, s);
}

V3 direction(const std::vector<CurvePiece>& curve, double s_mm) {
  const auto [piece, s] = piece_at(curve, s_mm);
  return piece == nullptr ? V3(V3::UnitX()) : direction(*piece, s);
}

std::vector<Fault> curve_faults(const std::vector<CurvePiece>& curve) {
  std::vector<Fault> faults;
  if (curve.empty()) faults.push_back({"the centreline is empty"});
  for (std::size_t i = 0; i < curve.size(); ++i)
    if (!runs(curve[i]))
      faults.push_back({fmt::format("piece {} of the centreline is no straight and no arc", i + 1)});
  if (!faults.empty()) return faults;
  double s = 0;
  for (std::size_t i = 0; i + 1 < curve.size(); ++i) {
    const double length = length_mm(curve[i]);
    s += length;
    const V3 end = at(curve[i], length);
    const double step = (at(curve[i + 1], 0) - end).norm();
    const double kink = between_rad(direction(curve[i], length), direction(curve[i + 1], 0));
    if (step > kMeets_mm)
      faults.push_back(
          {fmt::format("the centreline breaks off by {:.4f} mm at {:.1f} mm along", step, s), end});
    if (kink > kMeets_rad)
      faults.push_back(
          {fmt::format("the centreline has a kink of {:.4f} deg at {:.1f} mm along", degrees(kink), s), end});
  }
  return faults;
}

double least_engagement_mm(const Neck& neck) {
  return neck.outside_mm >= 25 ? 28 : 20;  // bead, band and what must stand out behind it
}

double least_lead_mm(const Stock& stock, const Neck& neck) {
  if (stock.make == "bent_tube") return stock.coupler_gap_mm + stock.cuff_mm;
  double lead = stock.outside_mm / 2;
  if (stock.make == "corrugated_hose")  // the shortest cuff left, beyond the neck
    lead += std::max(0.0, stock.cuff_mm - stock.cuff_trim_mm - least_engagement_mm(neck));
  return lead;
}

double outside_at_mm(const Tube& tube, double s_mm) {
  const Stock& stock = *tube.stock;
  const double coupler = stock.coupler_gap_mm + stock.cuff_mm;
  double outside = stock.outside_mm;
  if (stock.make == "bent_tube" && (s_mm < coupler || s_mm > tube.length_mm - coupler))
    outside = std::max(outside, stock.coupler_outside_mm);
  for (const RecordedSection& section : tube.recorded->sections)
    if (section.from_mm <= s_mm && s_mm <= section.to_mm) outside = std::max(outside, section.outside_mm);
  return outside;
}

namespace {

void add_over_neck(Tube& tube, const PlacedNeck& placed, bool at_start) {
  const Neck& neck = placed.neck;
  const double engagement = at_start ? tube.recorded->engagement_from_mm : tube.recorded->engagement_to_mm;
  if (!(engagement > kNothing_mm)) return;
  const V3 hose_end = neck.end_mm - engagement * neck.outward;
  Stretch stretch;
  stretch.piece = at_start ? StraightPiece{hose_end, neck.end_mm} : StraightPiece{neck.end_mm, hose_end};
  stretch.from_mm = at_start ? -engagement : tube.length_mm;
  stretch.to_mm = stretch.from_mm + engagement;
  stretch.radius_mm = (at_start ? tube.over_from_mm : tube.over_to_mm) / 2;
  (at_start ? stretch.over_from : stretch.over_to) = true;
  stretch.on_tee = placed.on_tee;
  (at_start ? stretch.own_from : stretch.own_to) = OwnPart::does_not_count;
  stretch.box = box_of(stretch.piece);
  tube.stretches.push_back(stretch);
}

}  // namespace

Tube tube_of(const Bay& bay, std::size_t line, const RecordedLine& recorded, const Stock& stock) {
  const Neck& from = bay.necks[bay.lines[line].from].neck;
  const Neck& to = bay.necks[bay.lines[line].to].neck;
  Tube tube{&recorded, &stock, line, length_mm(recorded.curve), 0, 0, {}};
  const double widest = std::max(stock.outside_mm, stock.coupler_outside_mm);
  tube.over_from_mm = std::max(widest, outside_at_mm(tube, 0));
  tube.over_to_mm = std::max(widest, outside_at_mm(tube, tube.length_mm));
  const double lead_from = least_lead_mm(stock, from), lead_to = least_lead_mm(stock, to);
  const double coupler = stock.coupler_gap_mm + stock.cuff_mm;
  std::vector<double> marks{0,       tube.length_mm,          lead_from, tube.length_mm - lead_to,
                            coupler, tube.length_mm - coupler};
  for (const RecordedSection& section : recorded.sections)
    marks.insert(marks.end(), {section.from_mm, section.to_mm});

  add_over_neck(tube, bay.necks[bay.lines[line].from], true);
  double begin = 0;
  for (const CurvePiece& piece : recorded.curve) {
    const double length = length_mm(piece);
    std::vector<double> cuts{0, length};
    for (const double mark : marks)
      if (mark - begin > kNothing_mm && mark - begin < length - kNothing_mm) cuts.push_back(mark - begin);
    std::sort(cuts.begin(), cuts.end());
    for (std::size_t i = 0; i + 1 < cuts.size(); ++i) {
      if (cuts[i + 1] - cuts[i] <= kNothing_mm) continue;
      Stretch stretch;
      stretch.piece = cut(piece, cuts[i], cuts[i + 1]);
      stretch.from_mm = begin + cuts[i];
      stretch.to_mm = begin + cuts[i + 1];
      const double middle = (stretch.from_mm + stretch.to_mm) / 2;
      stretch.radius_mm = outside_at_mm(tube, middle) / 2;
      if (middle < lead_from) stretch.own_from = OwnPart::must_not_touch;
      if (middle > tube.length_mm - lead_to) stretch.own_to = OwnPart::must_not_touch;
      stretch.beside_tee =
          (bay.necks[bay.lines[line].from].on_tee && stretch.own_from == OwnPart::must_not_touch) ||
          (bay.necks[bay.lines[line].to].on_tee && stretch.own_to == OwnPart::must_not_touch);
      stretch.box = box_of(stretch.piece);
      tube.stretches.push_back(stretch);
    }
    begin += length;
  }
  add_over_neck(tube, bay.necks[bay.lines[line].to], false);
  return tube;
}

}  // namespace hosefit::recheck
