// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/paper/pdf_pages.h"

#include <cairo.h>

#include <string>

#include "solver/paper/pdf_file.h"

namespace hosefit {
namespace {

constexpr double kPoints_per_mm = 72.0 / 25.4;

}  // namespace

struct PdfPages::Surface {
  PdfFile file;
  cairo_t* cr = file.context();

  void stroke(const Pen& pen) const {
    cairo_set_line_width(cr, pen.width_mm);
    cairo_set_source_rgb(cr, pen.grey, pen.grey, pen.grey);
    const double gap = pen.chain ? 0.25 * pen.dash_mm : 0.6 * pen.dash_mm;
    const double dashes[4] = {pen.dash_mm, gap, 2 * pen.width_mm, gap};
    cairo_set_dash(cr, dashes, pen.dash_mm <= 0 ? 0 : pen.chain ? 4 : 2, 0);
    cairo_stroke(cr);
  }
  void font(double height_mm, bool bold) const {
    cairo_select_font_face(cr, "DejaVu Sans", CAIRO_FONT_SLANT_NORMAL,
                           bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
    cairo_matrix_t upright;
    cairo_matrix_init_scale(&upright, height_mm, -height_mm);  // Y points up here
    cairo_set_font_matrix(cr, &upright);
  }
};

PdfPages::PdfPages(std::string_view title) : surface_(new Surface{{title, 595, 842}}) {
  cairo_set_line_cap(surface_->cr, CAIRO_LINE_CAP_BUTT);
  cairo_set_tolerance(surface_->cr, 0.005);  // points; arcs become curves that stray no further
}
PdfPages::~PdfPages() = default;

void PdfPages::begin_page(const Vec2& size_mm) {
  Surface& s = *surface_;
  s.file.set_page_size(size_mm.x() * kPoints_per_mm, size_mm.y() * kPoints_per_mm);
  cairo_save(s.cr);
  cairo_translate(s.cr, 0, size_mm.y() * kPoints_per_mm);
  cairo_scale(s.cr, kPoints_per_mm, -kPoints_per_mm);
}
void PdfPages::end_page() {
  cairo_restore(surface_->cr);
  cairo_show_page(surface_->cr);
}

void PdfPages::set_field(const Vec2& to_mm, const Vec2& from_mm, const Vec2& field_mm, const Vec2& stretch) {
  cairo_t* cr = surface_->cr;
  cairo_save(cr);
  cairo_translate(cr, to_mm.x(), to_mm.y());
  cairo_scale(cr, stretch.x(), stretch.y());
  cairo_rectangle(cr, 0, 0, field_mm.x(), field_mm.y());
  cairo_clip(cr);
  cairo_translate(cr, -from_mm.x(), -from_mm.y());
}
void PdfPages::drop_field() {
  cairo_restore(surface_->cr);
}

void PdfPages::line(const Vec2& a_mm, const Vec2& b_mm, const Pen& pen) {
  cairo_move_to(surface_->cr, a_mm.x(), a_mm.y());
  cairo_line_to(surface_->cr, b_mm.x(), b_mm.y());
  surface_->stroke(pen);
}
void PdfPages::arc(const Vec2& centre_mm, double radius_mm, double from_rad, double sweep_rad,
                   const Pen& pen) {
  cairo_new_sub_path(surface_->cr);
  const auto draw = sweep_rad > 0 ? cairo_arc : cairo_arc_negative;
  draw(surface_->cr, centre_mm.x(), centre_mm.y(), radius_mm, from_rad, from_rad + sweep_rad);
  surface_->stroke(pen);
}
void PdfPages::box(const Vec2& low_mm, const Vec2& high_mm, const Pen& pen) {
  cairo_rectangle(surface_->cr, low_mm.x(), low_mm.y(), high_mm.x() - low_mm.x(), high_mm.y() - low_mm.y());
  surface_->stroke(pen);
}

void PdfPages::polygon(std::span<const Vec2> corners_mm, const Pen& pen, std::optional<double> filled_with) {
  cairo_t* cr = surface_->cr;
  cairo_new_path(cr);  // text leaves a point behind
  for (const Vec2& corner : corners_mm) cairo_line_to(cr, corner.x(), corner.y());
  cairo_close_path(cr);
  if (filled_with) {
    cairo_set_source_rgb(cr, *filled_with, *filled_with, *filled_with);
    cairo_fill_preserve(cr);
  }
  if (pen.width_mm > 0)
    surface_->stroke(pen);
  else
    cairo_new_path(cr);
}

double PdfPages::text_width_mm(double height_mm, std::string_view words, bool bold) {
  surface_->font(height_mm, bold);
  cairo_text_extents_t extents;
  cairo_text_extents(surface_->cr, std::string(words).c_str(), &extents);
  return extents.x_advance;
}
void PdfPages::text(const Vec2& at_mm, double height_mm, std::string_view words, Anchor anchor,
                    double turn_rad, bool bold, double grey) {
  cairo_t* cr = surface_->cr;
  const double width = text_width_mm(height_mm, words, bold);
  cairo_save(cr);
  cairo_translate(cr, at_mm.x(), at_mm.y());
  cairo_rotate(cr, turn_rad);
  cairo_move_to(cr, anchor == Anchor::left ? 0 : anchor == Anchor::middle ? -width / 2 : -width, 0);
  cairo_set_source_rgb(cr, grey, grey, grey);
  if (grey > 0) cairo_set_operator(cr, CAIRO_OPERATOR_DARKEN);  // what it crosses stays as it is
  cairo_show_text(cr, std::string(words).c_str());
  cairo_restore(cr);
}

std::optional<std::string> PdfPages::finish() {
  return surface_->file.finish();
}

}  // namespace hosefit
