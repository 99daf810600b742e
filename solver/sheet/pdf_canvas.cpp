// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/sheet/pdf_canvas.h"

#include <pango/pangocairo.h>

#include <algorithm>

#include "solver/paper/pdf_file.h"
#include "solver/picture/lettering.h"

namespace hosefit {
namespace {

std::string_view without_blanks_at_end(std::string_view text) {
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

// Parallel lines across a box, at a slope of 0 (level), 1 (45 degrees) or upright.
void hatch(cairo_t* cr, const PdfBox& b, Fit fit) {
  const double step = fit == Fit::undecided ? 7 : 4;
  if (fit == Fit::passage_no_stock)
    for (int k = 1; k * step < b.height; ++k) {
      const double y = b.top + k * step;
      cairo_move_to(cr, b.left, y);
      cairo_line_to(cr, b.left + b.width, y);
    }
  const double lean = fit == Fit::does_not_fit ? b.height : 0;
  if (fit == Fit::does_not_fit || fit == Fit::undecided)
    for (int k = 1; k * step < b.width + lean; ++k) {
      const double x = b.left - lean + k * step;
      cairo_move_to(cr, x, b.top + b.height);
      cairo_line_to(cr, x + lean, b.top);
    }
  cairo_set_line_width(cr, fit == Fit::does_not_fit ? 1.0 : 0.5);
  cairo_set_source_rgb(cr, 0.35, 0.35, 0.35);
  cairo_stroke(cr);
}

}  // namespace

struct PdfCanvas::Surface {
  PdfFile file;
  cairo_t* cr = file.context();

  TextLayout layout(std::string_view text, PdfFont font) const {
    TextLayout out = text_layout(cr, text, font.size, font.bold);
    cairo_font_options_t* options = cairo_font_options_create();
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);  // widths true at any size
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    pango_cairo_context_set_font_options(pango_layout_get_context(out.get()), options);
    cairo_font_options_destroy(options);
    pango_layout_context_changed(out.get());
    return out;
  }

  void box(const PdfBox& b, double left, double top) const {
    PdfBox at = b;
    at.left += left;
    at.top += top;
    cairo_save(cr);
    cairo_rectangle(cr, at.left, at.top, at.width, at.height);
    if (!b.pattern) {
      cairo_set_source_rgb(cr, b.grey, b.grey, b.grey);
      cairo_fill(cr);
      cairo_restore(cr);
      return;
    }
    cairo_clip_preserve(cr);
    const bool fits = *b.pattern == Fit::fits;
    cairo_set_source_rgb(cr, fits ? 0.62 : 1, fits ? 0.77 : 1, fits ? 0.68 : 1);
    cairo_fill(cr);
    hatch(cr, at, *b.pattern);
    cairo_restore(cr);
    cairo_rectangle(cr, at.left, at.top, at.width, at.height);
    cairo_set_line_width(cr, 0.7);
    cairo_set_source_rgb(cr, 0, 0, 0);
    cairo_stroke(cr);
  }

  void picture(const PdfPng& p, double left, double top) const {
    const ImageSurface image = surface_of_png(*p.png);
    if (!image) return;
    cairo_save(cr);
    cairo_translate(cr, left + p.left, top + p.top);
    cairo_scale(cr, p.width / cairo_image_surface_get_width(image.get()),
                p.height / cairo_image_surface_get_height(image.get()));
    cairo_set_source_surface(cr, image.get(), 0, 0);
    cairo_paint(cr);
    cairo_restore(cr);
  }
};

PdfCanvas::PdfCanvas(std::string_view title, double width, double height)
    : surface_(new Surface{{title, width, height}}) {}
PdfCanvas::~PdfCanvas() = default;

double PdfCanvas::text_width(std::string_view text, PdfFont font) const {
  const TextLayout layout = surface_->layout(text, font);
  PangoRectangle box;
  pango_layout_get_extents(layout.get(), nullptr, &box);
  return double(box.width) / PANGO_SCALE;
}

std::vector<std::string> PdfCanvas::wrapped(std::string_view text, PdfFont font, double width) const {
  const TextLayout layout = surface_->layout(text, font);
  pango_layout_set_width(layout.get(), static_cast<int>(width * PANGO_SCALE));
  pango_layout_set_wrap(layout.get(), PANGO_WRAP_WORD_CHAR);
  std::vector<std::string> out;
  for (int i = 0; i < pango_layout_get_line_count(layout.get()); ++i) {
    const PangoLayoutLine* line = pango_layout_get_line_readonly(layout.get(), i);
    out.emplace_back(without_blanks_at_end(
        text.substr(static_cast<std::size_t>(line->start_index), static_cast<std::size_t>(line->length))));
  }
  return out;
}

void PdfCanvas::draw(const Strip& strip, double left, double top) {
  cairo_t* cr = surface_->cr;
  for (const PdfBox& box : strip.boxes) surface_->box(box, left, top);
  for (const PdfPng& picture : strip.pictures) surface_->picture(picture, left, top);
  for (const PdfText& text : strip.texts) {
    const TextLayout layout = surface_->layout(text.text, text.font);
    cairo_set_source_rgb(cr, text.grey, text.grey, text.grey);
    cairo_move_to(cr, left + text.left, top + text.top);
    pango_cairo_show_layout(cr, layout.get());
  }
}

void PdfCanvas::end_page() {
  cairo_show_page(surface_->cr);
}

std::optional<std::string> PdfCanvas::finish() {
  return surface_->file.finish();
}

}  // namespace hosefit
