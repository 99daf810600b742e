// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "solver/geometry/vec.h"

namespace hosefit {

/// Pages of vector drawings in millimetres, origin at the lower left of the page, Y up. What is drawn comes
/// out at its true size in the PDF's coordinates (1/72 in), to 0.01 mm.
class PdfPages {
 public:
  struct Pen {
    double width_mm = 0.3;
    double grey = 0;     ///< 0 black, 1 white
    double dash_mm = 0;  ///< 0: unbroken
    bool chain = false;  ///< a dot between the dashes
  };
  enum class Anchor { left, middle, right };

  explicit PdfPages(std::string_view title);
  ~PdfPages();
  PdfPages(const PdfPages&) = delete;
  PdfPages& operator=(const PdfPages&) = delete;

  void begin_page(const Vec2& size_mm);
  void end_page();

  /// Everything until drop_field() is drawn at `to` + stretch (p - from), cut off at the field's border.
  void set_field(const Vec2& to_mm, const Vec2& from_mm, const Vec2& field_mm, const Vec2& stretch);
  void drop_field();

  void line(const Vec2& a_mm, const Vec2& b_mm, const Pen& pen);
  /// From the angle over the sweep, counterclockwise when positive.
  void arc(const Vec2& centre_mm, double radius_mm, double from_rad, double sweep_rad, const Pen& pen);
  void box(const Vec2& low_mm, const Vec2& high_mm, const Pen& pen);
  /// Closed, and filled when a grey is given; no stroke when the pen has no width.
  void polygon(std::span<const Vec2> corners_mm, const Pen& pen, std::optional<double> filled_with = {});
  /// One line of text, its base line at `at`; `height_mm` of the font, `turn_rad` counterclockwise. Never
  /// stretched. Grey darkens what is white under it, and leaves black black.
  void text(const Vec2& at_mm, double height_mm, std::string_view words, Anchor anchor = Anchor::left,
            double turn_rad = 0, bool bold = false, double grey = 0);
  /// Width of a line of text.
  double text_width_mm(double height_mm, std::string_view words, bool bold = false);

  /// The whole file; empty when the drawing library failed. Nothing can be drawn afterwards.
  std::optional<std::string> finish();

 private:
  struct Surface;
  std::unique_ptr<Surface> surface_;
};

}  // namespace hosefit
