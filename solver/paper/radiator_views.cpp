// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/paper/radiator_views.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <numbers>

namespace hosefit {
namespace {

using Anchor = PdfPages::Anchor;
using Pen = PdfPages::Pen;
using Kind = Patch::Kind;

constexpr Pen kEdge{0.35, 0, 0};
constexpr Pen kThin{0.18, 0, 0};
constexpr Pen kCentre{0.18, 0, 3, true};
constexpr Pen kBefore{0.18, 0.45, 1.2};
constexpr Pen kNone{0, 0, 0};
constexpr double kTitle_mm = 3;
constexpr double kCentreOver_mm = 1.5;

double grey_of(Kind kind) {
  return kind == Kind::solid || kind == Kind::mouth ? 1.0 : 0.9;
}

void draw_patch(PdfPages& pdf, const Patch& patch, const Vec2& at, const Pen& pen,
                std::optional<double> grey) {
  Outline moved = patch.outline;
  for (Vec2& p : moved) p += at;
  pdf.polygon(moved, pen, grey);
}

void draw_head(PdfPages& pdf, const Vec2& tip, const Vec2& way) {
  const Vec2 back = tip - kArrowHead_mm * way;
  const Vec2 side = kArrowHead_mm / 6 * Vec2(-way.y(), way.x());
  pdf.polygon(std::array<Vec2, 3>{tip, back + side, back - side}, kNone, 0.0);
}

void draw_centre(PdfPages& pdf, const NeckInView& neck, const Vec2& at) {
  const double reach = neck.radius + kCentreOver_mm;
  for (const Vec2& way : {Vec2(reach, 0), Vec2(0, reach)})
    pdf.line(at + neck.end - way, at + neck.end + way, kCentre);
  const Vec2 axis = neck.end - neck.root;
  if (axis.norm() > 1)
    pdf.line(at + neck.root, at + neck.end + (kCentreOver_mm + 1) * axis.normalized(), kCentre);
}

void draw_way(PdfPages& pdf, const NeckInView& neck, const Vec2& at) {
  if (!neck.before) return;
  const Vec2 way = neck.end - *neck.before;
  const double free = way.norm() - neck.radius;
  if (free < kArrowHead_mm) return;
  const Vec2 tip = *neck.before + free * way.normalized();
  pdf.line(at + *neck.before, at + tip, {0.18, 0.3, 0});
  draw_head(pdf, at + tip, way.normalized());
}

void draw_extension(PdfPages& pdf, const DimensionLine& line, double along, double feature, const Vec2& at) {
  const double out = line.across > feature ? 1 : -1;
  pdf.line(at + line.at(along, feature + out * kExtensionGap_mm),
           at + line.at(along, line.across + out * kExtensionOver_mm), kThin);
}

void draw_line(PdfPages& pdf, const DimensionLine& line, const Vec2& at) {
  pdf.line(at + line.line_from(), at + line.line_to(), kThin);
  const double way = line.arrows_outside ? 1 : -1;
  draw_head(pdf, at + line.at(line.low(), line.across), line.at(way, 0));
  draw_head(pdf, at + line.at(line.high(), line.across), line.at(-way, 0));
}

// Lines break off where words stand on them.
void clear_box(PdfPages& pdf, const Eigen::AlignedBox2d& box, const Vec2& at) {
  const Vec2 low = at + box.min();
  const Vec2 high = at + box.max();
  pdf.polygon(std::array<Vec2, 4>{low, Vec2(high.x(), low.y()), high, Vec2(low.x(), high.y())}, kNone, 1.0);
}

void draw_words(PdfPages& pdf, const DimensionLine& line, const Vec2& at) {
  clear_box(pdf, line.words_box(), at);
  const Vec2 low = at + line.words_box().min();
  const Vec2 high = at + line.words_box().max();
  constexpr double kDescent = 0.15;  // of the font: its brackets reach under the base line
  if (is_level(line.side))
    pdf.text(low + Vec2(0, kDescent * kFigure_mm), kFigure_mm, line.dimension.words);
  else
    pdf.text({high.x() - kDescent * kFigure_mm, low.y()}, kFigure_mm, line.dimension.words, Anchor::left,
             std::numbers::pi / 2);
}

void draw_datum(PdfPages& pdf, const DatumMark& mark, const Vec2& at) {
  const Vec2 side = 0.5 * kDatum_mm * Vec2(-mark.out.y(), mark.out.x());
  const Vec2 foot = at + mark.at;
  const Vec2 tip = foot + 0.6 * kDatum_mm * mark.out;
  pdf.polygon(std::array<Vec2, 3>{foot - 0.7 * side, foot + 0.7 * side, tip}, kNone, 0.0);
  const Vec2 middle = tip + (0.3 + 0.5) * kDatum_mm * mark.out;
  pdf.line(tip, middle - 0.5 * kDatum_mm * mark.out, kThin);
  const Vec2 half = Vec2::Constant(kDatum_mm / 2);
  pdf.box(middle - half, middle + half, kThin);
  pdf.text(middle - Vec2(0, 0.36 * kFigure_mm), kFigure_mm, std::string(1, mark.letter), Anchor::middle, 0,
           true);
}

void draw_label(PdfPages& pdf, const NeckInView& neck, const Vec2& at) {
  const LabelPlace& place = neck.label;
  const Vec2 ring = at + Vec2(place.box.min().x() + kBalloon_mm, place.box.center().y());
  const Vec2 to = at + place.leader_to;
  // From the ring when the words stand aside of it, so that no leader runs through them.
  const bool at_words = place.leader_from.x() > place.box.min().x() + 2 * kBalloon_mm;
  const Vec2 from =
      at_words ? Vec2(at + place.leader_from) : Vec2(ring + kBalloon_mm * (to - ring).normalized());
  pdf.line(from, to, kThin);
  clear_box(pdf, place.box, at);
  pdf.arc(ring, kBalloon_mm, 0, 2 * std::numbers::pi, kEdge);
  pdf.text(ring - Vec2(0, 0.36 * kFigure_mm), kFigure_mm, fmt::format("{}", neck.neck + 1), Anchor::middle, 0,
           true);
  const double step = kLineStep * kLabel_mm;
  double y =
      at.y() + place.box.center().y() + 0.5 * step * static_cast<double>(neck.words.size()) - 0.8 * kLabel_mm;
  for (const std::string& line : neck.words) {
    pdf.text({ring.x() + kBalloon_mm + 1.2, y}, kLabel_mm, line);
    y -= step;
  }
}

void draw_view(PdfPages& pdf, const ViewLayout& view, const Vec2& at) {
  for (const Patch& patch : view.patches) draw_patch(pdf, patch, at, kEdge, grey_of(patch.kind));
  for (const Patch& patch : view.before) draw_patch(pdf, patch, at, kBefore, std::nullopt);
  for (const NeckInView& neck : view.necks) draw_way(pdf, neck, at);
  for (const NeckInView& neck : view.necks) draw_centre(pdf, neck, at);
  for (const DimensionLine& line : view.dimensions) {
    draw_extension(pdf, line, line.dimension.from, line.dimension.from_feature, at);
    draw_extension(pdf, line, line.dimension.to, line.dimension.to_feature, at);
  }
  for (const DimensionLine& line : view.dimensions) draw_line(pdf, line, at);
  for (const DimensionLine& line : view.dimensions) draw_words(pdf, line, at);
  for (const DatumMark& mark : view.datums) draw_datum(pdf, mark, at);
  for (const NeckInView& neck : view.necks) draw_label(pdf, neck, at);
  if (!view.as_written) return;
  pdf.line(at + view.as_written->leader_from, at + view.as_written->leader_to, {0.18, 0.45, 0});
  pdf.text(at + view.as_written->box.min() + Vec2(0, 0.3 * kLabel_mm), kLabel_mm, kAsWritten, Anchor::left, 0,
           false, 0.3);
}

void draw_bar(PdfPages& pdf, int scale, const Vec2& at) {
  const double real = scale_bar_mm(scale);
  const Vec2 to = at + Vec2(real / scale, 0);
  pdf.line(at, to, {0.6, 0, 0});
  for (const Vec2& end : {at, to}) pdf.line(end - Vec2(0, 1.5), end + Vec2(0, 1.5), kThin);
  pdf.text(to + Vec2(2.5, -0.9), kLabel_mm,
           fmt::format("{:.0f} mm ({:.2f} in) at the scale of the views, 1:{}", real, real / 25.4, scale));
}

}  // namespace

double scale_bar_mm(int scale) {
  constexpr double kLeast_mm = 30;
  double decade = 1;
  while (true) {
    for (const double step : {1.0, 2.0, 5.0})
      if (step * decade / scale >= kLeast_mm) return step * decade;
    decade *= 10;
  }
}

void draw_projection_sign(PdfPages& pdf, const Vec2& at) {
  const double small = 1.4;
  const double large = 2.8;
  const Vec2 circles = at - Vec2(5, 0);
  const Vec2 cone = at + Vec2(4, 0);
  for (const double radius : {small, large}) pdf.arc(circles, radius, 0, 2 * std::numbers::pi, kEdge);
  pdf.polygon(std::array<Vec2, 4>{cone + Vec2(-large, -small), cone + Vec2(large, -large),
                                  cone + Vec2(large, large), cone + Vec2(-large, small)},
              kEdge);
  pdf.line(circles - Vec2(large + 1, 0), circles + Vec2(large + 1, 0), kCentre);
  pdf.line(circles - Vec2(0, large + 1), circles + Vec2(0, large + 1), kCentre);
  pdf.line(cone - Vec2(large + 1, 0), cone + Vec2(large + 1, 0), kCentre);
}

void draw_radiator_views(PdfPages& pdf, const RadiatorLayout& layout, const Vec2& at) {
  draw_view(pdf, layout.rear, at + layout.rear_at);
  draw_view(pdf, layout.side, at + layout.side_at);
  const double top = at.y() + layout.size.y() - kViewTitle_mm + 2.5;
  const auto middle = [](const ViewLayout& view) { return view.outline.center().x(); };
  pdf.text({at.x() + layout.rear_at.x() + middle(layout.rear), top}, kTitle_mm, "From the engine",
           Anchor::middle, 0, true);
  pdf.text({at.x() + layout.side_at.x() + middle(layout.side), top}, kTitle_mm, "From the right",
           Anchor::middle, 0, true);
  draw_bar(pdf, layout.scale, at - Vec2(0, kScaleBar_mm - 3));
}

}  // namespace hosefit
