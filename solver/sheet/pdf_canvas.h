// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "solver/model/verdict.h"
#include "solver/sheet/pdf.h"

/// What is put on the pages of the PDF, in points, y down.
namespace hosefit {

struct PdfFont {
  double size = 9.5;
  bool bold = false;
};

struct PdfText {
  double left = 0, top = 0;
  PdfFont font;
  std::string text;
  double grey = 0;
};
/// Filled with a grey, or with the pattern of a fit, with its frame.
struct PdfBox {
  double left = 0, top = 0, width = 0, height = 0;
  double grey = 0;
  std::optional<Fit> pattern = std::nullopt;
};
struct PdfPng {
  double left = 0, top = 0, width = 0, height = 0;
  const std::string* png = nullptr;
};

/// A piece of the sheet that no page break tears apart; places are from its upper left corner.
struct Strip {
  double height = 0;
  bool keep_with_next = false;
  std::vector<PdfBox> boxes;  ///< below the texts
  std::vector<PdfPng> pictures;
  std::vector<PdfText> texts;
  std::vector<Strip> again;  ///< what a new page begins with when this strip is the first torn over to it
};

class PdfCanvas {
 public:
  PdfCanvas(std::string_view title, double width, double height);
  ~PdfCanvas();
  PdfCanvas(const PdfCanvas&) = delete;
  PdfCanvas& operator=(const PdfCanvas&) = delete;

  double text_width(std::string_view text, PdfFont font) const;
  static double line_height(PdfFont font) { return 1.36 * font.size; }
  /// Lines no wider than `width`, broken between words, inside a word only where that word is wider.
  std::vector<std::string> wrapped(std::string_view text, PdfFont font, double width) const;

  void draw(const Strip& strip, double left, double top);
  void end_page();
  /// The whole file; empty when the drawing library failed.
  std::optional<std::string> finish();

 private:
  struct Surface;
  std::unique_ptr<Surface> surface_;
};

}  // namespace hosefit
