// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/paper/template.h"

#include <fmt/format.h>

#include <algorithm>
#include <numbers>

#include "solver/paper/paragraph.h"
#include "solver/paper/pdf_pages.h"
#include "solver/paper/plane_drawing.h"
#include "solver/report/text.h"
#include "solver/report/words.h"

namespace hosefit {
namespace {

constexpr double kBar_mm = 100.0;
constexpr double kSmall_mm = 2.8, kText_mm = 3.4, kTitle_mm = 6.0;

using Anchor = PdfPages::Anchor;

const Route* route_of(const CandidateResult& result, std::size_t line) {
  for (const Route& route : result.routes)
    if (route.line == line) return &route;
  return nullptr;
}

bool proved(const CandidateResult& result, std::size_t line) {
  return std::any_of(result.proof.lines.begin(), result.proof.lines.end(),
                     [&](const LineProof& proof) { return proof.line == line && proof.proved; });
}

LineTemplate template_of(const CandidateResult& result, std::size_t line, const TemplateOptions& options) {
  LineTemplate out;
  out.line = line;
  const Route* route = route_of(result, line);
  if (route == nullptr || !proved(result, line)) {
    out.why_not = route == nullptr ? "no hose was found" : "its hose is not proved to clear everything";
    return out;
  }
  for (const RouteSection& section : route->sections)
    out.outside_mm = std::max(out.outside_mm, section.outside_diameter_mm);
  for (const BendPlane& plane : bend_planes(route->centreline))
    out.planes.push_back(tiled(plane, out.outside_mm, options.paper, options.stretch));
  return out;
}

std::size_t sheets_of(const LineTemplate& line) {
  std::size_t sheets = 0;
  for (const Tiling& tiling : line.planes) sheets += tiling.tiles.size();
  return sheets;
}

void draw_bars(PdfPages& pdf, const Vec2& paper, const Stretch& stretch) {
  const PdfPages::Pen bar{0.6, 0, 0};
  const PdfPages::Pen tick{0.25, 0, 0};
  const double across = kBar_mm * stretch.across;
  const Vec2 a(kMargin_mm + 2, kMargin_mm + 4);
  pdf.line(a, a + Vec2(across, 0), bar);
  for (const double x : {0.0, across}) pdf.line(a + Vec2(x, -2), a + Vec2(x, 2), tick);
  pdf.text(a + Vec2(across / 2, 1.5), kSmall_mm, "100 mm (3.937 in) across", Anchor::middle);

  const double down = kBar_mm * stretch.down;
  const Vec2 b(kMargin_mm - 3, paper.y() / 2 - down / 2);
  pdf.line(b, b + Vec2(0, down), bar);
  for (const double y : {0.0, down}) pdf.line(b + Vec2(-2, y), b + Vec2(2, y), tick);
  pdf.text(b + Vec2(-1.5, down / 2), kSmall_mm, "100 mm (3.937 in) down", Anchor::middle,
           std::numbers::pi / 2);
}

// Where this sheet lies among those of its plane.
void draw_map(PdfPages& pdf, const Tiling& tiling, const Tile& tile, const Vec2& corner) {
  const double side = std::min({6.0, 36.0 / std::max(1, tiling.columns), 22.0 / std::max(1, tiling.rows)});
  for (const Tile& other : tiling.tiles) {
    const bool here = other.column == tile.column && other.row == tile.row;
    const Vec2 low = corner - Vec2((tiling.columns - other.column) * side, -other.row * side);
    pdf.box(low, low + Vec2(side - 0.8, side - 0.8), {here ? 0.8 : 0.2, here ? 0.0 : 0.5, 0});
    if (side >= 5)
      pdf.text(low + Vec2((side - 0.8) / 2, (side - 0.8) / 2 - 0.8), 2.2, tile_name(other), Anchor::middle);
  }
}

void draw_marks(PdfPages& pdf, const Tiling& tiling, const Tile& tile) {
  const PdfPages::Pen thin{0.15, 0, 0};
  for (const Vec2& mark : marks_on(tiling, tile)) {
    pdf.line(mark - Vec2(3, 0), mark + Vec2(3, 0), thin);
    pdf.line(mark - Vec2(0, 3), mark + Vec2(0, 3), thin);
    pdf.arc(mark, 1.5, 0, 2 * std::numbers::pi, thin);
  }
}

struct Sheet {
  std::string line, plane, turn;
  std::size_t page = 0, pages = 0;
};

void draw_sheet(PdfPages& pdf, const Tiling& tiling, const Tile& tile, const PlaneWords& words,
                double outside_mm, const Sheet& sheet, const TemplateOptions& options) {
  const Vec2 paper = size_mm(options.paper);
  const Vec2 stretch(options.stretch.across, options.stretch.down);
  const Vec2 field_at(kMargin_mm, kMargin_mm + kFooter_mm);
  pdf.begin_page(paper);
  pdf.set_field(field_at, tile.from_mm, tiling.field_mm, stretch);
  draw_marks(pdf, tiling, tile);
  draw_plane(pdf, tiling.plane, outside_mm, words);
  pdf.drop_field();
  pdf.box(field_at, field_at + tiling.field_mm.cwiseProduct(stretch), {0.1, 0.6, 2});
  draw_bars(pdf, paper, options.stretch);

  const double x = kMargin_mm + 2;
  double y = kMargin_mm + kFooter_mm - 5.5;
  pdf.text({x, y}, kText_mm + 0.6, sheet.line + ", " + sheet.plane + ", sheet " + tile_name(tile),
           Anchor::left, 0, true);
  if (!sheet.turn.empty()) {
    y -= 5;
    pdf.text({x, y}, kText_mm, sheet.turn, Anchor::left, 0, true);
  }
  y -= 5;
  draw_paragraph(
      pdf, {x, y}, paper.x() - 2 * kMargin_mm - 44, kSmall_mm,
      "Print at 100 %, not fitted to the page. Lay sheets so that the ringed crosses meet. If a bar "
      "does not measure 100 mm, print again with --bar-across or --bar-down and what it measured.");
  draw_map(pdf, tiling, tile, {paper.x() - kMargin_mm, kMargin_mm + 4.5});
  pdf.text({paper.x() - kMargin_mm, kMargin_mm}, kSmall_mm,
           fmt::format("page {} of {}", sheet.page, sheet.pages), Anchor::right);
  pdf.end_page();
}

std::string line_words(const Job& job, const CandidateResult& result, const LineTemplate& line,
                       LengthUnit unit) {
  const Line& wanted = job.vehicle.lines[line.line];
  const std::string name = safe_text(wanted.name);
  if (!line.why_not.empty()) return fmt::format("{}: not drawn, {}.", name, line.why_not);
  const Route& route = *route_of(result, line.line);
  return fmt::format("{}: {} to {}, {} {}, outside {}; {} on {}.", name, safe_text(wanted.from),
                     safe_text(wanted.to), title(route.make), safe_text(route.stock),
                     length_words(Length::mm(line.outside_mm), unit),
                     counted(static_cast<long>(line.planes.size()), "plane"),
                     counted(static_cast<long>(sheets_of(line)), "sheet"));
}

void draw_cover(PdfPages& pdf, const Job& job, const CandidateResult& result,
                const std::vector<LineTemplate>& lines, const TemplateOptions& options, std::size_t pages) {
  const Vec2 paper = size_mm(options.paper);
  const double width = paper.x() - 2 * kMargin_mm - 6;
  const double x = kMargin_mm + 4;
  pdf.begin_page(paper);
  double y =
      draw_paragraph(pdf, {x, paper.y() - kMargin_mm - 6}, width, kTitle_mm, "Hoses in true size", true);
  const Candidate& candidate = result.candidate;
  y = draw_paragraph(
      pdf, {x, y - 2}, width, kText_mm + 0.4,
      fmt::format("{}: pump {}, drive {}, housing {}, intake {} at {}", safe_text(job.vehicle.name),
                  safe_text(job.family.pumps[candidate.pump].name),
                  safe_text(job.family.drives[candidate.drive].name),
                  safe_text(job.family.housings[candidate.housing].name),
                  safe_text(job.family.intakes[candidate.intake].name),
                  length_words(candidate.height, options.unit)));
  if (result.verdict.fit != Fit::fits)
    y = draw_paragraph(
        pdf, {x, y - 2}, width, kText_mm + 0.4,
        fmt::format("THIS SET IS NOT PROVED TO FIT ({}). Do not cut from these sheets before it is.",
                    word(result.verdict.fit)),
        true);
  for (const LineTemplate& line : lines)
    y = draw_paragraph(pdf, {x, y - 2.5}, width, kText_mm, line_words(job, result, line, options.unit));
  for (const char* step :
       {"1. Print this page at 100 % and measure both bars with a steel rule. If one is not 100 mm, run the "
        "command again with --bar-across or --bar-down and what you measured; the new bars will be true.",
        "2. Trim or overlap the sheets of one plane so that the ringed crosses meet, and tape them down "
        "flat.",
        "3. The thick line is the centre of the hose or tube, the thin ones its outside. Ticks across it are "
        "where a bend begins and ends; crosses are the points where the straights would meet.",
        "4. Each plane is drawn as it lies: bends in another plane follow on their own sheets, which say how "
        "far to turn. The straight between two planes is drawn on both.",
        "5. The drawing runs from neck end to neck end. What is pushed over the necks comes on top."})
    y = draw_paragraph(pdf, {x, y - 2.5}, width, kText_mm, step);
  y = draw_paragraph(
      pdf, {x, y - 5}, width, kText_mm,
      "CAUTION: hot coolant under pressure scalds. Try a cut hose or tube in place only when the "
      "engine is cold and the fan cannot start.");
  y = draw_paragraph(pdf, {x, y - 2}, width, kText_mm, closing_words());
  draw_paragraph(pdf, {x, y - 2}, width, kSmall_mm, "Input fingerprint " + job.input_fingerprint);
  draw_bars(pdf, paper, options.stretch);
  pdf.text({paper.x() - kMargin_mm, kMargin_mm}, kSmall_mm, fmt::format("page 1 of {}", pages),
           Anchor::right);
  pdf.end_page();
}

// How a plane is turned against the one before.
std::string turn_words(const LineTemplate& line, std::size_t plane) {
  if (plane == 0) return "";
  const double turn_deg = Angle::rad(line.planes[plane].plane.turn_rad).deg();
  return fmt::format("turned {:.1f} deg {} against plane {}, looking along the arrows", std::abs(turn_deg),
                     turn_deg > 0 ? "clockwise" : "counterclockwise", plane);
}

PlaneWords words_for(const Job& job, const LineTemplate& line, std::size_t plane, LengthUnit unit) {
  const Line& wanted = job.vehicle.lines[line.line];
  PlaneWords words;
  words.unit = unit;
  words.begins = plane == 0 ? safe_text(wanted.from) : fmt::format("comes from plane {}", plane);
  words.ends =
      plane + 1 == line.planes.size() ? safe_text(wanted.to) : fmt::format("goes on in plane {}", plane + 2);
  for (std::size_t before = 0; before < plane; ++before)
    for (const FlatPiece& piece : line.planes[before].plane.pieces) words.bends_before += piece.radius_mm > 0;
  return words;
}

}  // namespace

std::vector<LineTemplate> line_templates(const Job& job, const CandidateResult& result,
                                         const TemplateOptions& options) {
  std::vector<LineTemplate> lines;
  for (std::size_t i = 0; i < job.vehicle.lines.size(); ++i) lines.push_back(template_of(result, i, options));
  return lines;
}

Result<std::string> template_pdf(const Job& job, const CandidateResult& result,
                                 const TemplateOptions& options) {
  const std::vector<LineTemplate> lines = line_templates(job, result, options);
  Sheet sheet;
  sheet.pages = 1;
  for (const LineTemplate& line : lines) sheet.pages += sheets_of(line);
  sheet.page = 1;
  PdfPages pdf(safe_text(job.vehicle.name) + ": hoses in true size");
  draw_cover(pdf, job, result, lines, options, sheet.pages);
  for (const LineTemplate& line : lines)
    for (std::size_t plane = 0; plane < line.planes.size(); ++plane) {
      const Tiling& tiling = line.planes[plane];
      sheet.line = safe_text(job.vehicle.lines[line.line].name);
      sheet.plane = fmt::format("plane {} of {}", plane + 1, line.planes.size());
      sheet.turn = turn_words(line, plane);
      const PlaneWords words = words_for(job, line, plane, options.unit);
      for (const Tile& tile : tiling.tiles) {
        ++sheet.page;
        draw_sheet(pdf, tiling, tile, words, line.outside_mm, sheet, options);
      }
    }
  auto bytes = pdf.finish();
  if (!bytes) return Problems{{{}, "", "the drawing library could not make the PDF", ""}};
  return *std::move(bytes);
}

}  // namespace hosefit
