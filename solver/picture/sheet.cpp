// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/picture/sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace hosefit {
namespace {

constexpr Colour kSheetColour{1, 1, 1};
constexpr Colour kRule{0.72, 0.75, 0.78};
constexpr Colour kQuiet{0.33, 0.36, 0.40};

constexpr double kHead = 90, kFoot = 106, kEdge = 16;  // in sheet units
constexpr double kLeastUnit = 0.6;                     // smaller letters cannot be read

constexpr double kAxesAt = 84, kAxesLength = 27, kScaleAt = 172, kScaleMost = 190, kLegendAt = 414;
constexpr double kRow = 23, kNarrowLegend = 560;

std::vector<double> bar_lengths_mm(LengthUnit unit) {
  if (unit == LengthUnit::mm) return {1, 2, 5, 10, 20, 50, 100, 200, 500, 1000};
  std::vector<double> out;
  for (const double inch : {0.125, 0.25, 0.5, 1.0, 2.0, 4.0, 6.0, 12.0, 24.0, 48.0})
    out.push_back(Length::inch(inch).mm());
  return out;
}

std::string bar_words(double length_mm, LengthUnit unit) {
  return unit == LengthUnit::mm ? fmt::format("{:g} mm", length_mm)
                                : fmt::format("{:g} in", Length::mm(length_mm).inch());
}

void draw_swatch(Drawing& drawing, const PixelBox& box, SpareClass spare, double unit) {
  const double px_per_mm = 0.62 * unit;
  drawing.box(box, colour_of(spare), 1, 0);
  const std::vector<double> pattern = ring_pattern_mm(spare);
  // Starts within the plain stretch, so that a group of rings stands in the middle of the swatch.
  double x = box.left - (pattern.empty() || pattern[0] < 30 ? 0.0 : (pattern[0] - 24) * px_per_mm);
  for (std::size_t i = 0; !pattern.empty() && x < box.right; ++i) {
    const double end = x + pattern[i % pattern.size()] * px_per_mm;
    if (i % 2 == 1 && end > box.left)
      drawing.box({std::max(x, box.left), box.top, std::min(end, box.right), box.bottom},
                  ring_colour_of(spare), 1, 0);
    x = end;
  }
  drawing.frame(box, kInk, std::max(1.0, unit), 0);
}

}  // namespace

Sheet sheet_of(Size size) {
  Sheet sheet;
  const double u = std::max(kLeastUnit, std::min(size.width / 1600.0, size.height / 1000.0));
  sheet.unit = u;
  sheet.head = {0, 0, double(size.width), std::round(kHead * u)};
  sheet.foot = {0, size.height - std::round(kFoot * u), double(size.width), double(size.height)};
  sheet.drawing = {0, sheet.head.bottom, double(size.width), sheet.foot.top};
  sheet.plain = {15 * u, false};
  sheet.strong = {20 * u, true};
  sheet.small = {13 * u, false};
  return sheet;
}

void draw_head(Drawing& drawing, const Sheet& sheet, const Caption& caption, const std::string& seen_from) {
  const double u = sheet.unit;
  drawing.box(sheet.head, kSheetColour, 1, 0);
  drawing.line({0, sheet.head.bottom - 0.5}, {sheet.head.right, sheet.head.bottom - 0.5}, kRule, 1,
               Dash::whole);
  const double left = kEdge * u, width = sheet.head.right - 2 * kEdge * u;
  const Font bold{sheet.plain.size_px, true};
  const double right_width = std::min(width * 0.45, drawing.text_size(caption.question, sheet.plain).x() + 2);
  drawing.text(caption.vehicle + ", " + seen_from, sheet.strong, left, 8 * u, width - right_width - 12 * u,
               kInk, 0);
  drawing.text(caption.question, sheet.plain, left + width - right_width, 12 * u, right_width, kQuiet, 0);
  const double verdict = std::min(width * 0.6, drawing.text_size(caption.verdict, bold).x() + 2);
  drawing.text(caption.verdict, bold, left, 38 * u, verdict, kInk, 0);
  drawing.text(caption.parts, sheet.plain, left + verdict + 14 * u, 38 * u, width - verdict - 14 * u, kQuiet,
               0);
  drawing.text(caption.decides, sheet.plain, left, 61 * u, width, kInk, 0);
}

void draw_axes(Drawing& drawing, const Sheet& sheet, const Camera& camera) {
  const double u = sheet.unit;
  const std::array<std::pair<Vec3, std::string>, 4> axes{
      {{-Vec3::UnitX(), "front"}, {Vec3::UnitZ(), "up"}, {-Vec3::UnitY(), "L"}, {Vec3::UnitY(), "R"}}};
  const Vec2 centre(kAxesAt * u, (sheet.foot.top + sheet.foot.bottom) / 2);
  std::vector<std::pair<Vec2, std::string>> arrows;
  for (const auto& [axis, name] : axes) {
    const Vec2 on_picture(camera.right.dot(axis), -camera.up.dot(axis));
    if (on_picture.norm() < 0.25) continue;
    bool shared = false;  // two axes in one direction get one arrow with both names
    for (auto& [way, names] : arrows)
      if (way.normalized().dot(on_picture.normalized()) > 0.95) {
        names += " + " + name;
        shared = true;
      }
    if (!shared) arrows.emplace_back(on_picture, name);
  }
  for (const auto& [on_picture, name] : arrows) {
    const Vec2 tip = centre + kAxesLength * u * on_picture;
    drawing.arrow(centre, tip, kInk, 1.8 * u);
    const Vec2 size = drawing.text_size(name, sheet.small);
    const Vec2 way = on_picture.normalized();
    const Vec2 middle = tip + way * 4 * u + Vec2(way.x() * size.x() / 2, way.y() * size.y() / 2);
    drawing.text(name, sheet.small, middle.x() - size.x() / 2, middle.y() - size.y() / 2, 0, kInk, 1.5 * u);
  }
  drawing.disc(centre, 2.6 * u, kInk);
}

ScaleBar draw_scale(Drawing& drawing, const Sheet& sheet, const Camera& camera, LengthUnit unit) {
  const double u = sheet.unit;
  ScaleBar out;
  for (const double length : bar_lengths_mm(unit))
    if (out.length_mm == 0 || length * camera.px_per_mm <= kScaleMost * u) out.length_mm = length;
  const double left = kScaleAt * u, top = sheet.foot.top + 48 * u;
  out.box = {left, top, left + out.length_mm * camera.px_per_mm, top + 7 * u};
  drawing.box(out.box, kInk, 1, 0);
  const double fifth = out.box.width() / 5;
  for (const int i : {1, 3})
    drawing.box({left + i * fifth, top + 1.2 * u, left + (i + 1) * fifth, top + 5.8 * u}, kSheetColour, 1, 0);
  drawing.text(bar_words(out.length_mm, unit), sheet.plain, left, top - 24 * u, 0, kInk, 0);
  const std::string where = camera.projection == Projection::orthographic ? "true to scale throughout"
                                                                          : "at the middle of the depth";
  drawing.text(where, sheet.small, left, top + 13 * u, (kLegendAt - kScaleAt - 14) * u, kQuiet, 0);
  return out;
}

void draw_legend(Drawing& drawing, const Sheet& sheet, LengthUnit unit) {
  const double u = sheet.unit;
  const double left = kLegendAt * u, top = sheet.foot.top + 9 * u;
  const double width = sheet.foot.right - left - kEdge * u;
  const bool narrow = width < kNarrowLegend * u;
  const int columns = narrow ? 2 : 3;
  const Font bold{sheet.small.size_px, true};
  drawing.text(narrow ? "Lines by spare gap" : "Lines by spare gap along them: gap found less gap required",
               bold, left, top, width, kInk, 0);
  const double column = std::min(250 * u, width / columns);
  int i = 0;
  for (const SpareClass spare : kSpareClasses) {
    const int row = i / columns;
    const double x = left + (i % columns) * column, y = top + kRow * u * (1 + row);
    const double swatch = std::min(54 * u, 0.3 * column);
    draw_swatch(drawing, {x, y + 2 * u, x + swatch, y + 15 * u}, spare, u);
    drawing.text(std::string(word(spare, unit)), sheet.small, x + swatch + 7 * u, y, column - swatch - 11 * u,
                 kInk, 0);
    ++i;
  }
  if (narrow) return;
  drawing.text(
      "Faint: hidden by what stands before it. Tinted outline: seen through. Gaps are at rest: measure "
      "before cutting.",
      sheet.small, left, top + kRow * u * 3, width, kQuiet, 0);
}

}  // namespace hosefit
