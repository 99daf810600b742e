// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/picture/lettering.h"

#include <pango/pangocairo.h>

#include <cstring>

namespace hosefit {
namespace {

struct FaceEnd {
  void operator()(PangoFontDescription* face) const { pango_font_description_free(face); }
};

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

}  // namespace

void LayoutEnd::operator()(_PangoLayout* layout) const {
  g_object_unref(layout);
}
void SurfaceEnd::operator()(_cairo_surface* surface) const {
  cairo_surface_destroy(surface);
}

TextLayout text_layout(_cairo* on, std::string_view text, double size, bool bold) {
  TextLayout out(pango_cairo_create_layout(on));
  const std::unique_ptr<PangoFontDescription, FaceEnd> face(
      pango_font_description_from_string(bold ? "DejaVu Sans Bold" : "DejaVu Sans"));
  pango_font_description_set_absolute_size(face.get(), size * PANGO_SCALE);
  pango_layout_set_font_description(out.get(), face.get());
  pango_layout_set_text(out.get(), text.data(), static_cast<int>(text.size()));
  return out;
}

ImageSurface surface_of_png(const std::string& bytes) {
  Reading reading{bytes};
  ImageSurface out(cairo_image_surface_create_from_png_stream(read_bytes, &reading));
  return cairo_surface_status(out.get()) == CAIRO_STATUS_SUCCESS ? std::move(out) : nullptr;
}

}  // namespace hosefit
