// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <memory>
#include <string>
#include <vector>

#include "solver/picture/render.h"

namespace hosefit {

struct Font {
  double size_px = 15;
  bool bold = false;
};

enum class Dash { whole, dashed };

/// A picture being drawn on. Text is DejaVu Sans where that is installed; texts are safe_text already.
class Drawing {
 public:
  explicit Drawing(const Image& image);
  ~Drawing();
  Drawing(const Drawing&) = delete;
  Drawing& operator=(const Drawing&) = delete;

  /// Width and height of one line of text.
  Vec2 text_size(const std::string& text, Font font) const;
  /// One line, its upper left corner at (x, y); ends in an ellipsis where it would be wider than `most_px`
  /// (0: no limit). `halo`: white round the letters.
  void text(const std::string& text, Font font, double x, double y, double most_px, const Colour& colour,
            double halo_px);
  void line(const Vec2& a, const Vec2& b, const Colour& colour, double width_px, Dash dash);
  void ring(const Vec2& centre, double radius_px, const Colour& colour, double width_px, Dash dash);
  void disc(const Vec2& centre, double radius_px, const Colour& colour);
  void box(const PixelBox& box, const Colour& fill, double opacity, double corner_px);
  void frame(const PixelBox& box, const Colour& colour, double width_px, double corner_px);
  /// A line that ends in an arrow head at b.
  void arrow(const Vec2& a, const Vec2& b, const Colour& colour, double width_px);

  Image image() const;
  std::string png() const;  ///< the bytes of a PNG file

 private:
  struct Surface;
  std::unique_ptr<Surface> surface_;
};

/// Reads back what png() wrote, or any other PNG; empty when the bytes are none.
std::optional<Image> image_of_png(const std::string& bytes);

}  // namespace hosefit
