// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/sheet/pdf.h"

#include <fmt/format.h>

#include "solver/sheet/pdf_strips.h"

namespace hosefit {
namespace {

constexpr double kPoints_per_mm = 72.0 / 25.4;
constexpr double kMargin = 45, kFoot = 22;
constexpr double kMostRepeated = 0.2;
constexpr double kKept = 0.55;  // of a page: taller cards may be broken, or pages stay half empty

struct PlacedStrip {
  Strip strip;
  double top = 0;
};
using Pages = std::vector<std::vector<PlacedStrip>>;

/// Puts strips on pages, one below the other.
class PageFiller {
 public:
  explicit PageFiller(double height) : height_(height) {}

  /// All on one page when they are not too tall for that; else broken between strips that need not stay
  /// together, with what says on the new page whose strips they are.
  void put(const std::vector<Strip>& strips) {
    double whole = 0;
    for (const Strip& strip : strips) whole += strip.height;
    if (whole <= kKept * height_ && whole > left()) turn();
    for (std::size_t i = 0; i < strips.size(); ++i) {
      if (bound(strips, i) > left()) {
        turn();
        if (i > 0) repeat(strips[i].again);
      }
      place(strips[i]);
    }
  }
  const Pages& pages() const { return pages_; }

 private:
  void place(const Strip& strip) {
    pages_.back().push_back({strip, top_});
    top_ += strip.height;
  }
  // Not what would crowd out the rest: a heading may be as long as a name in a file.
  void repeat(const std::vector<Strip>& strips) {
    double tall = 0;
    for (const Strip& strip : strips) tall += strip.height;
    if (tall > kMostRepeated * height_) return;
    for (const Strip& strip : strips) place(strip);
  }
  double left() const { return height_ - top_; }
  void turn() {
    if (pages_.back().empty()) return;
    pages_.emplace_back();
    top_ = 0;
  }
  // Height of a strip with all that must follow it; of the strip alone where that is more than a page.
  double bound(const std::vector<Strip>& strips, std::size_t i) const {
    double sum = strips[i].height;
    for (std::size_t k = i; k + 1 < strips.size() && strips[k].keep_with_next; ++k)
      sum += strips[k + 1].height;
    return sum > height_ ? strips[i].height : sum;
  }

  double height_, top_ = 0;
  Pages pages_{1};
};

Pages laid_out(const CustomerSheet& sheet, const PdfCanvas& canvas, double width, double height) {
  const StripMaker maker(canvas, width, height);
  PageFiller filler(height);
  filler.put(maker.title(sheet));
  filler.put(maker.answer(sheet));
  for (const SheetSection& section : sheet.sections) {
    std::vector<Strip> strips = maker.heading(section.heading);
    for (const SheetCard& card : section.cards) {
      const std::vector<Strip> more = maker.card(card);
      strips.insert(strips.end(), more.begin(), more.end());
      filler.put(strips);  // the heading goes with the first card
      strips.clear();
    }
  }
  filler.put(maker.closing(sheet));
  return filler.pages();
}

void record(SheetPdf& out, const PdfCanvas& canvas, const PlacedStrip& placed, int page) {
  const double top = kMargin + placed.top;
  for (const PdfPng& p : placed.strip.pictures)
    out.boxes.push_back({page, kMargin + p.left, top + p.top, p.width, p.height, ""});
  for (const PdfText& t : placed.strip.texts)
    if (!t.text.empty())
      out.boxes.push_back({page, kMargin + t.left, top + t.top, canvas.text_width(t.text, t.font),
                           PdfCanvas::line_height(t.font), t.text});
}

PlacedStrip foot(const CustomerSheet& sheet, const PdfCanvas& canvas, const SheetPdf& out, std::size_t page) {
  const PdfFont font{7.5, false};
  const double width = out.page_width - 2 * kMargin;
  const std::string number = fmt::format("page {} of {}", page + 1, out.pages);
  const double number_width = canvas.text_width(number, font);
  const std::string date = sheet.date.empty() ? std::string("undated") : sheet.date;
  std::string name = fmt::format("{}, {}", sheet.title, date);
  if (canvas.text_width(name, font) > width - number_width - 12) name = date;  // the title stands on page 1
  PlacedStrip placed;
  placed.top = out.page_height - 2 * kMargin + 12;
  placed.strip.texts = {{0, 0, font, name, 0.28}, {width - number_width, 0, font, number, 0.28}};
  return placed;
}

}  // namespace

Result<SheetPdf> sheet_pdf(const CustomerSheet& sheet, Paper paper) {
  SheetPdf out;
  const Vec2 size = size_mm(paper) * kPoints_per_mm;
  out.page_width = size.x();
  out.page_height = size.y();
  out.margin = kMargin;
  PdfCanvas canvas(sheet.title, size.x(), size.y());
  const Pages pages = laid_out(sheet, canvas, size.x() - 2 * kMargin, size.y() - 2 * kMargin - kFoot);
  out.pages = static_cast<int>(pages.size());
  for (std::size_t i = 0; i < pages.size(); ++i) {
    std::vector<PlacedStrip> strips = pages[i];
    strips.push_back(foot(sheet, canvas, out, i));
    for (const PlacedStrip& placed : strips) {
      canvas.draw(placed.strip, kMargin, kMargin + placed.top);
      record(out, canvas, placed, static_cast<int>(i));
    }
    canvas.end_page();
  }
  auto bytes = canvas.finish();
  if (!bytes) return Problems{{{}, "", "the drawing library could not make the PDF", ""}};
  out.bytes = *std::move(bytes);
  return out;
}

}  // namespace hosefit
