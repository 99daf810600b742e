// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/sheet/pdf_canvas.h"

#include <cairo-pdf.h>
#include <pango/pangocairo.h>

#include <algorithm>
#include <cstring>

namespace hosefit {
namespace {

cairo_status_t append(void* out, const unsigned char* data, unsigned int length) {
  static_cast<std::string*>(out)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

struct Reading {
  const std::string& bytes;
  std::size_t at = 0;
};
cairo_status_t read_bytes(void* from, unsigned char* data, unsigned int count) {
  auto& reading = *static_cast<Reading*>(from);
  if (reading.bytes.size() - reading.at < count) return CAIRO_STATUS_READ_ERROR;
  std::memcpy(data, reading.bytes.data() + reading.at, count);
  reading.at += count;
  return CAIRO_STATUS_SUCCESS;
}

struct ObjectEnd {
  void operator()(void* object) const { g_object_unref(object); }
};
using Layout = std::unique_ptr<PangoLayout, ObjectEnd>;

std::string_view without_blanks_at_end(std::string_view text) {
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

// Parallel lines across a box, at a slope of 0 (level), 1 (45 degrees) or upright.
void hatch(cairo_t* cr, const PdfBox& b, Fit fit) {
  const double step = fit == Fit::undecided ? 7 : 4;
  if (fit == Fit::passage_no_stock)
    for (double y = b.top + step; y < b.top + b.height; y += step) {
      cairo_move_to(cr, b.left, y);
      cairo_line_to(cr, b.left + b.width, y);
    }
  const double lean = fit == Fit::does_not_fit ? b.height : 0;
  if (fit == Fit::does_not_fit || fit == Fit::undecided)
    for (double x = b.left - lean + step; x < b.left + b.width; x += step) {
      cairo_move_to(cr, x, b.top + b.height);
      cairo_line_to(cr, x + lean, b.top);
    }
  cairo_set_line_width(cr, fit == Fit::does_not_fit ? 1.0 : 0.5);
  cairo_set_source_rgb(cr, 0.35, 0.35, 0.35);
  cairo_stroke(cr);
}

}  // namespace

struct PdfCanvas::Surface {
  std::string bytes;
  cairo_surface_t* surface = nullptr;
  cairo_t* cr = nullptr;
  ~Surface() {
    cairo_destroy(cr);
    cairo_surface_destroy(surface);
  }

  Layout layout(std::string_view text, PdfFont font) const {
    Layout out(pango_cairo_create_layout(cr));
    cairo_font_options_t* options = cairo_font_options_create();
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);  // widths true at any size
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    pango_cairo_context_set_font_options(pango_layout_get_context(out.get()), options);
    cairo_font_options_destroy(options);
    PangoFontDescription* face =
        pango_font_description_from_string(font.bold ? "DejaVu Sans Bold" : "DejaVu Sans");
    pango_font_description_set_absolute_size(face, font.size * PANGO_SCALE);
    pango_layout_set_font_description(out.get(), face);
    pango_font_description_free(face);
    pango_layout_set_text(out.get(), text.data(), static_cast<int>(text.size()));
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
    Reading reading{*p.png};
    cairo_surface_t* image = cairo_image_surface_create_from_png_stream(read_bytes, &reading);
    if (cairo_surface_status(image) == CAIRO_STATUS_SUCCESS) {
      cairo_save(cr);
      cairo_translate(cr, left + p.left, top + p.top);
      cairo_scale(cr, p.width / cairo_image_surface_get_width(image),
                  p.height / cairo_image_surface_get_height(image));
      cairo_set_source_surface(cr, image, 0, 0);
      cairo_paint(cr);
      cairo_restore(cr);
    }
    cairo_surface_destroy(image);
  }
};

PdfCanvas::PdfCanvas(std::string_view title, double width, double height)
    : surface_(std::make_unique<Surface>()) {
  Surface& s = *surface_;
  s.surface = cairo_pdf_surface_create_for_stream(append, &s.bytes, width, height);
  cairo_pdf_surface_set_metadata(s.surface, CAIRO_PDF_METADATA_TITLE, std::string(title).c_str());
  cairo_pdf_surface_set_metadata(s.surface, CAIRO_PDF_METADATA_CREATE_DATE,
                                 nullptr);  // same input, same bytes
  s.cr = cairo_create(s.surface);
}
PdfCanvas::~PdfCanvas() = default;

double PdfCanvas::text_width(std::string_view text, PdfFont font) const {
  const Layout layout = surface_->layout(text, font);
  PangoRectangle box;
  pango_layout_get_extents(layout.get(), nullptr, &box);
  return double(box.width) / PANGO_SCALE;
}

std::vector<std::string> PdfCanvas::wrapped(std::string_view text, PdfFont font, double width) const {
  const Layout layout = surface_->layout(text, font);
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
    const Layout layout = surface_->layout(text.text, text.font);
    cairo_set_source_rgb(cr, text.grey, text.grey, text.grey);
    cairo_move_to(cr, left + text.left, top + text.top);
    pango_cairo_show_layout(cr, layout.get());
  }
}

void PdfCanvas::end_page() {
  cairo_show_page(surface_->cr);
}

std::optional<std::string> PdfCanvas::finish() {
  cairo_surface_finish(surface_->surface);
  const bool drawn = cairo_status(surface_->cr) == CAIRO_STATUS_SUCCESS &&
                     cairo_surface_status(surface_->surface) == CAIRO_STATUS_SUCCESS;
  return drawn ? std::optional(surface_->bytes) : std::nullopt;
}

}  // namespace hosefit
