// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/picture/annotate.h"

#include <algorithm>
#include <cmath>

#include "solver/picture/label_wishes.h"
#include "solver/picture/sheet.h"

namespace hosefit {
namespace {

constexpr std::size_t kMostLabels = 18;  // at the default size and above
constexpr std::size_t kFewestLabels = 7;
constexpr double kWidestSpot = 0.56,
                 kWidestLabel = 0.44;  // of the picture; wider texts take their short form

Font font_of(const Named& named, const Sheet& sheet) {
  return {sheet.plain.size_px, named.sort == Named::Sort::spot};
}

// In sheet units.
constexpr double kPadX = 6, kPadY = 3, kRing = 11;

struct Wanted {
  std::vector<std::string> texts;
  std::vector<LabelWish> wishes;
};

Wanted wanted_labels(const Drawing& drawing, const std::vector<Named>& things, const Sheet& sheet,
                     bool gap_drawn) {
  Wanted out;
  for (const Named& named : things) {
    const double widest =
        (named.sort == Named::Sort::spot ? kWidestSpot : kWidestLabel) * sheet.drawing.width();
    std::string text = named.text;
    Vec2 size = drawing.text_size(text, font_of(named, sheet));
    if (size.x() > widest) {
      text = named.short_text;
      size = drawing.text_size(text, font_of(named, sheet));
    }
    out.texts.push_back(text);
    out.wishes.push_back(
        {std::min(size.x(), widest) + 2 * kPadX * sheet.unit, size.y() + 2 * kPadY * sheet.unit,
         named.anchor_px,
         named.sort != Named::Sort::spot ? 0.0 : (gap_drawn ? 0.4 : 1.0) * kRing * sheet.unit});
  }
  return out;
}

void draw_label(Drawing& drawing, const Named& named, const std::string& text, const PlacedLabel& label,
                const Sheet& sheet) {
  const double u = sheet.unit;
  const bool spot = named.sort == Named::Sort::spot;
  drawing.box(label.box, {1, 1, 1}, spot ? 0.96 : 0.80, 3 * u);
  if (named.sort != Named::Sort::part)
    drawing.frame(label.box, spot ? kInk : Colour{0.45, 0.48, 0.52}, (spot ? 1.6 : 1.0) * u, 3 * u);
  drawing.text(text, font_of(named, sheet), label.box.left + kPadX * u, label.box.top + kPadY * u,
               label.box.width() - 2 * kPadX * u + 1, kInk, 1.5 * u);
}

void draw_leader(Drawing& drawing, const Named& named, const PlacedLabel& label, const Sheet& sheet) {
  const double u = sheet.unit;
  const Dash dash = named.seen || named.sort == Named::Sort::spot ? Dash::whole : Dash::dashed;
  drawing.line(label.from_px, label.to_px, {1, 1, 1}, 3.2 * u, Dash::whole);
  drawing.line(label.from_px, label.to_px, kInk, 1.2 * u, dash);
  if (named.sort != Named::Sort::spot) {
    drawing.disc(label.to_px, 3.6 * u, {1, 1, 1});
    drawing.disc(label.to_px, 2.4 * u, kInk);
  }
}

// Long enough on the picture that its two ends and its middle stand apart.
bool gap_can_be_drawn(const Scene& scene, const View& view, const Sheet& sheet) {
  if (!scene.spot || !scene.spot->has_gap) return false;
  const Vec3 a = project(view.camera, scene.spot->first_mm), b = project(view.camera, scene.spot->second_mm);
  return (a - b).head<2>().norm() > 2.5 * kRing * sheet.unit;
}

void draw_spot(Drawing& drawing, const Scene& scene, const View& view, const std::vector<Named>& things,
               const Sheet& sheet, bool gap_drawn) {
  const double u = sheet.unit;
  for (const Named& named : things) {
    if (named.sort != Named::Sort::spot) continue;
    const Dash dash = named.seen ? Dash::whole : Dash::dashed;
    if (!gap_drawn) {
      drawing.ring(named.anchor_px, kRing * u, {1, 1, 1}, 5 * u, Dash::whole);
      drawing.ring(named.anchor_px, kRing * u, kInk, 2.2 * u, dash);
      continue;
    }
    const Vec2 a = project(view.camera, scene.spot->first_mm).head<2>();
    const Vec2 b = project(view.camera, scene.spot->second_mm).head<2>();
    drawing.line(a, b, {1, 1, 1}, 5 * u, Dash::whole);
    drawing.line(a, b, kInk, 2 * u, Dash::whole);
    for (const Vec2& end : {a, b}) {
      drawing.disc(end, 4.2 * u, {1, 1, 1});
      drawing.disc(end, 3 * u, kInk);
    }
  }
}

// Where a line should go that has no route: straight and dashed, so that nobody takes it for one.
void draw_missing_lines(Drawing& drawing, const Scene& scene, const View& view, const Sheet& sheet) {
  for (const SceneLine& line : scene.lines) {
    if (line.routed) continue;
    const Vec2 a = project(view.camera, line.from_mm).head<2>();
    const Vec2 b = project(view.camera, line.to_mm).head<2>();
    drawing.line(a, b, {1, 1, 1}, 5 * sheet.unit, Dash::whole);
    drawing.line(a, b, colour_of(SpareClass::not_proved), 2.5 * sheet.unit, Dash::dashed);
  }
}

std::size_t most_labels(Size size) {
  const double share = double(size.width) * size.height / (1600.0 * 1000.0);
  return std::clamp(static_cast<std::size_t>(std::lround(kMostLabels * std::sqrt(share))), kFewestLabels,
                    kMostLabels);
}

PixelBox around(const Vec2& p, double r) {
  return {p.x() - r, p.y() - r, p.x() + r, p.y() + r};
}

PixelBox shrunk(const PixelBox& box, double by) {
  return {box.left + by, box.top + by, box.right - by, box.bottom - by};
}

}  // namespace

Notes annotate(Drawing& drawing, const Scene& scene, const View& view, const Rendering& rendering,
               const Caption& caption, const AnnotateOptions& options) {
  const Sheet sheet = sheet_of(rendering.image.size);
  const double u = sheet.unit;
  const PixelBox area = shrunk(sheet.drawing, 6 * u);
  draw_missing_lines(drawing, scene, view, sheet);
  const std::vector<Named> things =
      things_to_name(scene, view, rendering, options.unit, area, most_labels(rendering.image.size));
  const bool gap_drawn = options.close && gap_can_be_drawn(scene, view, sheet);
  const Wanted wanted = wanted_labels(drawing, things, sheet, gap_drawn);
  std::vector<PixelBox> taken;
  for (const Named& named : things)
    if (named.sort == Named::Sort::spot) {
      // Corners lie within what leaders keep clear.
      const double r = (gap_drawn ? 0.25 : 0.65) * kRing * u;
      taken.push_back(around(named.anchor_px, r));
      if (!gap_drawn) continue;
      // Stepping stones keep labels off the gap's own line, and let leaders end on it.
      for (const double share : {0.0, 0.2, 0.8, 1.0})
        taken.push_back(around(project(view.camera, scene.spot->first_mm + share * (scene.spot->second_mm -
                                                                                    scene.spot->first_mm))
                                   .head<2>(),
                               r));
    }
  Notes notes;
  notes.labels = place_labels(wanted.wishes, area, taken, clutter_of(scene, rendering, 8 * u), 12 * u);
  draw_spot(drawing, scene, view, things, sheet, gap_drawn);
  for (const PlacedLabel& label : notes.labels) draw_leader(drawing, things[label.wish], label, sheet);
  for (const PlacedLabel& label : notes.labels)
    draw_label(drawing, things[label.wish], wanted.texts[label.wish], label, sheet);
  notes.texts = wanted.texts;
  draw_head(drawing, sheet, caption, options.seen_from);
  drawing.box(sheet.foot, {1, 1, 1}, 1, 0);
  drawing.line({0, sheet.foot.top + 0.5}, {sheet.foot.right, sheet.foot.top + 0.5}, {0.72, 0.75, 0.78}, 1,
               Dash::whole);
  draw_axes(drawing, sheet, view.camera);
  notes.scale = draw_scale(drawing, sheet, view.camera, options.unit);
  draw_legend(drawing, sheet, options.unit);
  return notes;
}

}  // namespace hosefit
