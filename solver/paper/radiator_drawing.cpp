// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/paper/radiator_drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <numbers>

#include "solver/paper/paragraph.h"
#include "solver/paper/pdf_pages.h"
#include "solver/paper/radiator_views.h"
#include "solver/paper/radiator_words.h"
#include "solver/report/text.h"
#include "solver/report/words.h"

namespace hosefit {
namespace {

using Anchor = PdfPages::Anchor;

constexpr double kEdge_mm = 8;  // white around the frame
constexpr double kColumn_mm = 63;
constexpr double kPad_mm = 2;
constexpr double kBanner_mm = 8;
constexpr double kSmall_mm = 2.1, kText_mm = 2.4, kTitle_mm = 3.8;
constexpr double kWhat_mm = 18;  // of the table's first column
constexpr std::size_t kNecksAbreast = 2;
constexpr PdfPages::Pen kFrame{0.5, 0, 0};
constexpr PdfPages::Pen kRule{0.18, 0, 0};
constexpr PdfPages::Pen kFaint{0.13, 0.6, 0};

/// The frame on the page, and the column of words at its right.
struct Page {
  Vec2 size, low, high;
  double column_x() const { return high.x() - kColumn_mm; }
};

Page page_of(Paper paper) {
  const Vec2 upright = size_mm(paper);
  const Vec2 size(upright.y(), upright.x());
  return {size, Vec2::Constant(kEdge_mm), size - Vec2::Constant(kEdge_mm)};
}

struct Drawing {
  PdfPages& pdf;
  const Job& job;
  const CandidateResult& result;
  const DrawingOptions& options;
  const RadiatorMatter& matter;
  Page page;
  TextWidth width_of, bold_width_of;
  int pages = 1;
};

std::vector<NeckRow> rows_of(const Drawing& d, std::size_t first) {
  return neck_rows(d.matter, first, std::min(first + kNecksAbreast, d.matter.necks.size()), d.options.unit);
}

constexpr double kFigures_mm = (kColumn_mm - kWhat_mm) / kNecksAbreast - kPad_mm;

double row_height(const Drawing& d, const NeckRow& row, bool head) {
  std::size_t lines = 1;
  for (const std::string& figure : row.figures)
    lines = std::max(
        lines, broken_lines(figure, kFigures_mm, kSmall_mm, head ? d.bold_width_of : d.width_of).size());
  return kLineStep * kSmall_mm * static_cast<double>(lines) + 0.9;
}

double block_height(const Drawing& d, std::size_t first) {
  double height = 0;
  bool head = true;
  for (const NeckRow& row : rows_of(d, first)) {
    height += row_height(d, row, head);
    head = false;
  }
  return height;
}

double table_height(const Drawing& d) {
  double height = 0;
  for (std::size_t first = 0; first < d.matter.necks.size(); first += kNecksAbreast)
    height += block_height(d, first) + kPad_mm;
  return height;
}

void draw_block(const Drawing& d, std::size_t first, Vec2 top) {
  bool head = true;
  for (const NeckRow& row : rows_of(d, first)) {
    const double base = top.y() - kSmall_mm - 0.5;
    d.pdf.text({top.x() + kPad_mm, base}, kSmall_mm, row.what, Anchor::left, 0, head);
    for (std::size_t i = 0; i < row.figures.size(); ++i)
      draw_paragraph(d.pdf, {top.x() + kWhat_mm + static_cast<double>(i) * (kFigures_mm + kPad_mm), base},
                     kFigures_mm, kSmall_mm, row.figures[i], head);
    top.y() -= row_height(d, row, head);
    d.pdf.line(top, top + Vec2(kColumn_mm, 0), head ? kRule : kFaint);
    head = false;
  }
}

// From `top` down.
void draw_table(const Drawing& d, double x, double top) {
  for (std::size_t first = 0; first < d.matter.necks.size(); first += kNecksAbreast) {
    draw_block(d, first, {x, top});
    top -= block_height(d, first);
    d.pdf.line({x, top}, {x + kColumn_mm, top}, kRule);
    top -= kPad_mm;
  }
}

struct Words {
  std::string words;
  double height = kText_mm;
  bool bold = false;
};

double height_of(const Drawing& d, const std::vector<Words>& all) {
  double height = 0;
  for (const Words& w : all) {
    const TextWidth& width = w.bold ? d.bold_width_of : d.width_of;
    const auto lines = broken_lines(w.words, kColumn_mm - 2 * kPad_mm, w.height, width).size();
    height += kLineStep * w.height * static_cast<double>(lines) + 0.8;
  }
  return height;
}

void draw_words(const Drawing& d, double top, const std::vector<Words>& all) {
  for (const Words& w : all)
    top = draw_paragraph(d.pdf, {d.page.column_x() + kPad_mm, top - w.height}, kColumn_mm - 2 * kPad_mm,
                         w.height, w.words, w.bold) +
          w.height - 0.8;
}

std::vector<Words> notes_of(const Drawing& d) {
  std::vector<Words> out;
  for (const std::string& note : note_words(d.matter)) out.push_back({note, kSmall_mm});
  const std::vector<std::string> cautions = caution_words();
  for (const std::string& caution : cautions)
    out.push_back({caution, kSmall_mm, &caution == &cautions.front()});
  return out;
}

std::vector<Words> title_of(const Drawing& d) {
  const Candidate& c = d.result.candidate;
  const Family& family = d.job.family;
  return {{safe_text(d.job.vehicle.name), kTitle_mm, true},
          {"Radiator: places of its necks", kText_mm + 0.3, true},
          {standing_words(d.job, d.matter)},
          {fmt::format("Pump {}, drive {}, housing {}, intake {} at {}", safe_text(family.pumps[c.pump].name),
                       safe_text(family.drives[c.drive].name), safe_text(family.housings[c.housing].name),
                       safe_text(family.intakes[c.intake].name), length_words(c.height, d.options.unit))},
          {fmt::format("Input fingerprint begins {}", d.job.input_fingerprint.substr(0, 16)), kSmall_mm}};
}

constexpr double kFoot_mm = 9;  // of the title's last line: scale, sign, sheet

void draw_foot(const Drawing& d, int scale, int sheet) {
  const double x = d.page.column_x();
  const double y = d.page.low.y();
  const double base = y + kFoot_mm / 2 - 0.36 * kText_mm;
  d.pdf.line({x, y + kFoot_mm}, {d.page.high.x(), y + kFoot_mm}, kRule);
  d.pdf.text({x + kPad_mm, base}, kText_mm, fmt::format("Scale 1:{}", scale), Anchor::left, 0, true);
  draw_projection_sign(d.pdf, {x + 27, y + kFoot_mm / 2});
  d.pdf.text({x + 35.5, base + 1.3}, kSmall_mm, "third angle");
  d.pdf.text({x + 35.5, base - 1.7}, kSmall_mm, d.options.unit == LengthUnit::mm ? "all in mm" : "mm [in]");
  d.pdf.text({d.page.high.x() - kPad_mm, base + 1.3}, kSmall_mm,
             fmt::format("sheet {} of {}", sheet, d.pages), Anchor::right);
  d.pdf.text({d.page.high.x() - kPad_mm, base - 1.7}, kSmall_mm, "hosefit " + safe_text(d.options.version),
             Anchor::right);
}

void draw_column(const Drawing& d, int scale, bool table_here) {
  const std::vector<Words> notes = notes_of(d);
  const std::vector<Words> title = title_of(d);
  const double x = d.page.column_x();
  d.pdf.line({x, d.page.low.y()}, {x, d.page.high.y()}, kFrame);
  const double title_top = d.page.low.y() + kFoot_mm + height_of(d, title) + 2 * kPad_mm;
  d.pdf.line({x, title_top}, {d.page.high.x(), title_top}, kFrame);
  draw_words(d, title_top - kPad_mm, title);
  draw_foot(d, scale, 1);
  const double top = d.page.high.y() - kPad_mm;
  if (table_here)
    draw_table(d, x, top);
  else
    draw_words(d, top, {{"Table of necks: next sheet", kText_mm, true}});
  draw_words(d, title_top + height_of(d, notes) + kPad_mm, notes);
}

bool table_fits(const Drawing& d) {
  const double room = d.page.high.y() - d.page.low.y() - kFoot_mm - height_of(d, title_of(d)) -
                      height_of(d, notes_of(d)) - 6 * kPad_mm;
  return table_height(d) <= room;
}

void draw_frame(const Drawing& d, const std::string& warning) {
  d.pdf.box(d.page.low, d.page.high, kFrame);
  if (warning.empty()) return;
  const double right = d.page.column_x();
  const double y = d.page.high.y() - kBanner_mm;
  d.pdf.line({d.page.low.x(), y}, {right, y}, kFrame);
  d.pdf.text({(d.page.low.x() + right) / 2, y + kBanner_mm / 2 - 1.2}, 3.4, warning, Anchor::middle, 0, true);
}

// Across the views, so that a part of the sheet that is cut out still says it.
void draw_ground(const Drawing& d) {
  const double right = d.page.column_x();
  const Vec2 middle((d.page.low.x() + right) / 2, (d.page.low.y() + d.page.high.y()) / 2);
  for (const double off : {-45.0, 0.0, 45.0})
    d.pdf.text(middle + Vec2(0, off), 15, "NOT PROVED", Anchor::middle, std::numbers::pi / 9, true, 0.88);
}

void draw_first(const Drawing& d, const RadiatorLayout& layout, const Vec2& field, bool table_here) {
  const std::string warning = not_proved_words(d.result);
  d.pdf.begin_page(d.page.size);
  const Vec2 free = field - layout.size;
  draw_radiator_views(d.pdf, layout, d.page.low + Vec2::Constant(kPad_mm) + Vec2(0, kScaleBar_mm) + free / 2);
  if (!warning.empty()) draw_ground(d);
  draw_frame(d, warning);
  draw_column(d, layout.scale, table_here);
  d.pdf.end_page();
}

/// Where the blocks of the table stand on sheets of their own.
struct BlockPlace {
  std::size_t first = 0;  ///< neck
  int sheet = 0;          ///< 0 is the first of these
  Vec2 top;
};
std::vector<BlockPlace> spread(const Drawing& d) {
  std::vector<BlockPlace> out;
  const double top = d.page.high.y() - kBanner_mm - kPad_mm;
  const double bottom = d.page.low.y() + kFoot_mm;
  Vec2 at(d.page.low.x() + kPad_mm, top);
  int sheet = 0;
  for (std::size_t first = 0; first < d.matter.necks.size(); first += kNecksAbreast) {
    const double height = block_height(d, first) + kPad_mm;
    if (at.y() - height < bottom) at = {at.x() + kColumn_mm + kPad_mm, top};
    if (at.x() + kColumn_mm > d.page.high.x()) {
      ++sheet;
      at = {d.page.low.x() + kPad_mm, top};
    }
    out.push_back({first, sheet, at});
    at.y() -= height;
  }
  return out;
}

void draw_table_sheets(const Drawing& d, int scale, const std::vector<BlockPlace>& places) {
  for (int sheet = 0; sheet <= places.back().sheet; ++sheet) {
    d.pdf.begin_page(d.page.size);
    draw_frame(d, not_proved_words(d.result));
    for (const BlockPlace& place : places)
      if (place.sheet == sheet) draw_block(d, place.first, place.top);
    draw_foot(d, scale, sheet + 2);
    d.pdf.end_page();
  }
}

}  // namespace

Result<RadiatorDrawing> radiator_drawing(const Job& job, const CandidateResult& result,
                                         const DrawingOptions& options) {
  const Result<RadiatorMatter> matter = radiator_matter(job, result);
  if (!matter) return matter.problems();
  PdfPages pdf(safe_text(job.vehicle.name) + ": radiator");
  const TextWidth width_of = [&](double height, std::string_view words) {
    return pdf.text_width_mm(height, words);
  };
  const TextWidth bold_width_of = [&](double height, std::string_view words) {
    return pdf.text_width_mm(height, words, true);
  };
  Drawing d{pdf, job, result, options, *matter, page_of(options.paper), width_of, bold_width_of};
  Vec2 field = d.page.high - d.page.low - Vec2(kColumn_mm + 2 * kPad_mm, kScaleBar_mm + 2 * kPad_mm);
  if (!not_proved_words(result).empty()) field.y() -= kBanner_mm;
  const auto layout = largest_layout(*matter, field, options.unit, width_of);
  if (!layout)
    return Problems{{job.vehicle.place,
                     "radiator",
                     "the radiator is too large, or has too many necks, for one sheet of this paper; try "
                     "--paper a4 or --units mm",
                     {}}};
  const bool table_here = table_fits(d);
  const std::vector<BlockPlace> spread_out = table_here ? std::vector<BlockPlace>{} : spread(d);
  if (!table_here) d.pages += spread_out.back().sheet + 1;
  draw_first(d, *layout, field, table_here);
  if (!table_here) draw_table_sheets(d, layout->scale, spread_out);
  auto bytes = pdf.finish();
  if (!bytes) return Problems{{{}, "", "the drawing library could not make the PDF", ""}};
  return RadiatorDrawing{*std::move(bytes), layout->scale, d.pages};
}

}  // namespace hosefit
