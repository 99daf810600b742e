// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/picture/drawing.h"

#include <cairo.h>
#include <pango/pangocairo.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <numbers>
#include <stdexcept>

#include "solver/picture/lettering.h"

namespace hosefit {
namespace {

struct ContextEnd {
  void operator()(cairo_t* c) const { cairo_destroy(c); }
};
void colour(cairo_t* to, const Colour& c, double opacity) {
  cairo_set_source_rgba(to, c.red, c.green, c.blue, opacity);
}

Image image_of(cairo_surface_t* surface) {
  cairo_surface_flush(surface);
  Image out;
  out.size = {cairo_image_surface_get_width(surface), cairo_image_surface_get_height(surface)};
  const int stride = cairo_image_surface_get_stride(surface);
  const unsigned char* data = cairo_image_surface_get_data(surface);
  for (int y = 0; y < out.size.height; ++y)
    for (int x = 0; x < out.size.width; ++x) {
      std::uint32_t pixel = 0;
      std::memcpy(&pixel, data + static_cast<std::ptrdiff_t>(y) * stride + std::ptrdiff_t{4} * x, 4);
      for (const int shift : {16, 8, 0}) out.rgb.push_back(static_cast<std::uint8_t>(pixel >> shift));
    }
  return out;
}

cairo_status_t write_bytes(void* to, const unsigned char* data, unsigned int count) {
  static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(data), count);
  return CAIRO_STATUS_SUCCESS;
}

}  // namespace

struct Drawing::Surface {
  ImageSurface surface;
  std::unique_ptr<cairo_t, ContextEnd> context;
  cairo_t* get() const { return context.get(); }

  TextLayout layout(const std::string& text, Font font, double most_px) const {
    TextLayout out = text_layout(get(), text, font.size_px, font.bold);
    pango_layout_set_single_paragraph_mode(out.get(), TRUE);
    if (most_px > 0) {
      pango_layout_set_width(out.get(), static_cast<int>(most_px * PANGO_SCALE));
      pango_layout_set_ellipsize(out.get(), PANGO_ELLIPSIZE_END);
    }
    return out;
  }

  void rounded(const PixelBox& b, double r) const {
    const double quarter = std::numbers::pi / 2;
    cairo_new_sub_path(get());
    cairo_arc(get(), b.right - r, b.top + r, r, -quarter, 0);
    cairo_arc(get(), b.right - r, b.bottom - r, r, 0, quarter);
    cairo_arc(get(), b.left + r, b.bottom - r, r, quarter, 2 * quarter);
    cairo_arc(get(), b.left + r, b.top + r, r, 2 * quarter, 3 * quarter);
    cairo_close_path(get());
  }

  void stroke(const Colour& c, double width, Dash dash) const {
    const double dashes[]{4 * width, 3 * width};
    cairo_set_dash(get(), dashes, dash == Dash::dashed ? 2 : 0, 0);
    cairo_set_line_width(get(), width);
    cairo_set_line_cap(get(), CAIRO_LINE_CAP_ROUND);
    colour(get(), c, 1);
    cairo_stroke(get());
  }
};

Drawing::Drawing(const Image& image) : surface_(std::make_unique<Surface>()) {
  surface_->surface.reset(
      cairo_image_surface_create(CAIRO_FORMAT_RGB24, image.size.width, image.size.height));
  cairo_surface_t* s = surface_->surface.get();
  if (cairo_surface_status(s) != CAIRO_STATUS_SUCCESS) throw std::bad_alloc();
  unsigned char* data = cairo_image_surface_get_data(s);
  const int stride = cairo_image_surface_get_stride(s);
  std::size_t i = 0;
  for (int y = 0; y < image.size.height; ++y)
    for (int x = 0; x < image.size.width; ++x, i += 3) {
      const std::uint32_t pixel = 0xFF000000U | static_cast<std::uint32_t>(image.rgb[i]) << 16 |
                                  static_cast<std::uint32_t>(image.rgb[i + 1]) << 8 | image.rgb[i + 2];
      std::memcpy(data + static_cast<std::ptrdiff_t>(y) * stride + std::ptrdiff_t{4} * x, &pixel, 4);
    }
  cairo_surface_mark_dirty(s);
  surface_->context.reset(cairo_create(s));
  cairo_set_line_join(surface_->get(), CAIRO_LINE_JOIN_ROUND);
}
Drawing::~Drawing() = default;

Vec2 Drawing::text_size(const std::string& text, Font font) const {
  const TextLayout layout = surface_->layout(text, font, 0);
  PangoRectangle box;
  pango_layout_get_extents(layout.get(), nullptr, &box);
  return {std::ceil(double(box.width) / PANGO_SCALE), std::ceil(double(box.height) / PANGO_SCALE)};
}

void Drawing::text(const std::string& text, Font font, double x, double y, double most_px, const Colour& ink,
                   double halo_px) {
  const TextLayout layout = surface_->layout(text, font, most_px);
  cairo_t* c = surface_->get();
  if (halo_px > 0) {
    cairo_move_to(c, x, y);
    pango_cairo_layout_path(c, layout.get());
    surface_->stroke({1, 1, 1}, 2 * halo_px, Dash::whole);
  }
  cairo_move_to(c, x, y);
  colour(c, ink, 1);
  pango_cairo_show_layout(c, layout.get());
  cairo_new_path(c);
}

void Drawing::line(const Vec2& a, const Vec2& b, const Colour& ink, double width_px, Dash dash) {
  cairo_move_to(surface_->get(), a.x(), a.y());
  cairo_line_to(surface_->get(), b.x(), b.y());
  surface_->stroke(ink, width_px, dash);
}

void Drawing::ring(const Vec2& centre, double radius_px, const Colour& ink, double width_px, Dash dash) {
  cairo_new_sub_path(surface_->get());
  cairo_arc(surface_->get(), centre.x(), centre.y(), radius_px, 0, 2 * std::numbers::pi);
  surface_->stroke(ink, width_px, dash);
}

void Drawing::disc(const Vec2& centre, double radius_px, const Colour& ink) {
  cairo_new_sub_path(surface_->get());
  cairo_arc(surface_->get(), centre.x(), centre.y(), radius_px, 0, 2 * std::numbers::pi);
  colour(surface_->get(), ink, 1);
  cairo_fill(surface_->get());
}

void Drawing::box(const PixelBox& box, const Colour& fill, double opacity, double corner_px) {
  surface_->rounded(box, corner_px);
  colour(surface_->get(), fill, opacity);
  cairo_fill(surface_->get());
}

void Drawing::frame(const PixelBox& box, const Colour& ink, double width_px, double corner_px) {
  surface_->rounded(box, corner_px);
  surface_->stroke(ink, width_px, Dash::whole);
}

void Drawing::arrow(const Vec2& a, const Vec2& b, const Colour& ink, double width_px) {
  const Vec2 way = (b - a).normalized();
  const Vec2 side(-way.y(), way.x());
  const double head = 4.5 * width_px;
  line(a, b - 0.5 * head * way, ink, width_px, Dash::whole);
  cairo_t* c = surface_->get();
  const Vec2 left = b - head * way + 0.42 * head * side, right = b - head * way - 0.42 * head * side;
  cairo_move_to(c, b.x(), b.y());
  cairo_line_to(c, left.x(), left.y());
  cairo_line_to(c, right.x(), right.y());
  cairo_close_path(c);
  colour(c, ink, 1);
  cairo_fill(c);
}

Image Drawing::image() const {
  return image_of(surface_->surface.get());
}

std::string Drawing::png() const {
  std::string out;
  cairo_surface_flush(surface_->surface.get());
  if (cairo_surface_write_to_png_stream(surface_->surface.get(), write_bytes, &out) != CAIRO_STATUS_SUCCESS)
    throw std::runtime_error("the picture could not be packed");
  return out;
}

std::optional<Image> image_of_png(const std::string& bytes) {
  const ImageSurface surface = surface_of_png(bytes);
  if (!surface) return std::nullopt;
  return image_of(surface.get());
}

}  // namespace hosefit
