// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <memory>
#include <string>
#include <string_view>

struct _cairo;  // as the drawing libraries name them; for .cpp files that draw
struct _cairo_surface;
struct _PangoLayout;

/// What everything drawn has in common: its letters, and PNG files put into it.
namespace hosefit {

struct LayoutEnd {
  void operator()(_PangoLayout* layout) const;
};
using TextLayout = std::unique_ptr<_PangoLayout, LayoutEnd>;
/// A text in the one face that is used; size in the units of the drawing.
TextLayout text_layout(_cairo* on, std::string_view text, double size, bool bold);

struct SurfaceEnd {
  void operator()(_cairo_surface* surface) const;
};
using ImageSurface = std::unique_ptr<_cairo_surface, SurfaceEnd>;
/// Empty when the bytes are no PNG file.
ImageSurface surface_of_png(const std::string& bytes);

}  // namespace hosefit
