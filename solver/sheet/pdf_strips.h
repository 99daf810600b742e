// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/sheet/pdf_canvas.h"

/// Blocks of the sheet turned into strips of a width; for pdf.cpp only.
namespace hosefit {

class StripMaker {
 public:
  StripMaker(const PdfCanvas& canvas, double width, double page_height)
      : canvas_(canvas), width_(width), page_height_(page_height) {}

  std::vector<Strip> title(const CustomerSheet& sheet) const;
  std::vector<Strip> answer(const CustomerSheet& sheet) const;
  /// A rule above the text; stays with what follows.
  std::vector<Strip> heading(const std::string& text) const;
  std::vector<Strip> card(const SheetCard& card) const;
  std::vector<Strip> closing(const CustomerSheet& sheet) const;

 private:
  struct Lines;
  void add_text(std::vector<Strip>& out, const std::string& text, const Lines& lines) const;
  void add(std::vector<Strip>& out, const Paragraph& paragraph) const;
  void add(std::vector<Strip>& out, const SheetList& list) const;
  void add(std::vector<Strip>& out, const JobSteps& job) const;
  void add(std::vector<Strip>& out, const SheetTable& table) const;
  void add(std::vector<Strip>& out, const SheetPicture& picture) const;
  void add(std::vector<Strip>& out, const HeightChart& chart) const;
  void add(std::vector<Strip>& out, const SignLine& line) const;
  void add_row(std::vector<Strip>& out, const std::vector<std::string>& cells,
               const std::vector<double>& widths, bool head) const;
  std::vector<double> column_widths(const SheetTable& table) const;
  bool beside_picture(std::vector<Strip>& out, const SheetCard& card) const;

  const PdfCanvas& canvas_;
  double width_, page_height_;
};

}  // namespace hosefit
