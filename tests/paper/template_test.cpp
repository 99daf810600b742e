// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/paper/template.h"

#include <algorithm>
#include <catch2/catch.hpp>

#include "tests/paper/pdf_strokes.h"
#include "tests/support/box_job.h"

using namespace hosefit;

namespace {

// The box bay with its two hoses as found, and a third dimension in one of them.
struct Drawn {
  Job job = box_job::make();
  CandidateResult result;
};
Drawn drawn() {
  Drawn out;
  FilletChain bent;
  bent.points_mm = {{220, 100, 700}, {120, 100, 700}, {60, 250, 760}, {-250, 300, 700}};
  bent.radii_mm = {60, 45};
  out.result.candidate.height = Length::mm(300);
  out.result.verdict.fit = Fit::fits;
  out.result.lines_tried = true;
  for (std::size_t line = 0; line < 2; ++line) {
    Route route;
    route.line = line;
    route.stock = "straight 38";
    route.centreline =
        line == 0 ? *centreline_of(bent) : Centreline{{Straight{{40, -100, 400}, {200, -100, 400}}}};
    route.sections = {{0, length_mm(route.centreline), 48, Runner::hose}};
    out.result.routes.push_back(route);
    LineProof proof;
    proof.line = line;
    proof.proved = true;
    out.result.proof.lines.push_back(proof);
  }
  return out;
}

std::string pdf_of(const Drawn& drawn, const TemplateOptions& options) {
  Result<std::string> pdf = template_pdf(drawn.job, drawn.result, options);
  REQUIRE(pdf);
  return *std::move(pdf);
}

constexpr double kTrue_mm = 0.05;

void check_bars(const PdfStrokes& pdf, double across_mm, double down_mm) {
  for (std::size_t page = 1; page <= pdf.pages.size(); ++page) {
    CAPTURE(page);
    int across = 0;
    int down = 0;
    for (const PdfStroke& s : pdf.strokes) {
      if (s.page != static_cast<int>(page) || std::abs(s.pen - 0.6) > 0.01) continue;
      const Vec2 d = (s.to - s.from).cwiseAbs();
      across += std::abs(d.x() - across_mm) < kTrue_mm && d.y() < kTrue_mm;
      down += std::abs(d.y() - down_mm) < kTrue_mm && d.x() < kTrue_mm;
    }
    CHECK(across == 1);
    CHECK(down == 1);
  }
}

// Every straight and arc of every tile at its true place on the page.
void check_centrelines(const Drawn& drawn, const TemplateOptions& options, const PdfStrokes& pdf) {
  int page = 1;
  int ends_seen = 0;
  const Vec2 stretch(options.stretch.across, options.stretch.down);
  for (const LineTemplate& line : line_templates(drawn.job, drawn.result, options))
    for (const Tiling& tiling : line.planes)
      for (const Tile& tile : tiling.tiles) {
        ++page;
        CAPTURE(page);
        const auto on_page = [&](const Vec2& p) {
          return Vec2(Vec2(12, 12 + 34) + (p - tile.from_mm).cwiseProduct(stretch));
        };
        for (const FlatPiece& piece : tiling.plane.pieces) {
          const Vec2 from = on_page(point_at(piece, 0));
          const Vec2 to = on_page(point_at(piece, 1));
          // What lies outside the field is left out of the file.
          const Eigen::AlignedBox2d field(tile.from_mm, tile.from_mm + tiling.field_mm);
          const auto stands = [&](Vec2 PdfStroke::*end, const Vec2& at) {
            return std::any_of(pdf.strokes.begin(), pdf.strokes.end(), [&](const PdfStroke& s) {
              return s.page == page && (s.*end - at).norm() < kTrue_mm && s.curve == (piece.radius_mm > 0) &&
                     std::abs(s.pen - 0.4) < 0.02;
            });
          };
          if (field.contains(point_at(piece, 0))) CHECK(stands(&PdfStroke::from, from));
          if (field.contains(point_at(piece, 1))) CHECK(stands(&PdfStroke::to, to));
          ends_seen += field.contains(point_at(piece, 0));
        }
      }
  CHECK(page == static_cast<int>(pdf.pages.size()));
  CHECK(ends_seen >= 6);
}

}  // namespace

TEST_CASE("bars and centrelines are true on paper to 0.05 mm") {
  const Drawn set = drawn();
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    TemplateOptions options;
    options.paper = paper;
    const PdfStrokes pdf = pdf_strokes(pdf_of(set, options));
    REQUIRE(pdf.pages.size() > 3);
    for (const Vec2& page : pdf.pages) CHECK((page - size_mm(paper)).norm() < kTrue_mm);
    check_bars(pdf, 100, 100);
    check_centrelines(set, options, pdf);
  }
}

TEST_CASE("what the bars measured when printed makes the next print true") {
  // A printer that draws 2 % small across and 1 % large down.
  TemplateOptions options;
  options.stretch = {100.0 / 98.0, 100.0 / 101.0};
  const Drawn set = drawn();
  const PdfStrokes pdf = pdf_strokes(pdf_of(set, options));
  check_bars(pdf, 100 * 100.0 / 98.0, 100 * 100.0 / 101.0);
  check_centrelines(set, options, pdf);
}

TEST_CASE("a hose that is not proved is not drawn, and the paper says why") {
  Drawn set = drawn();
  set.result.proof.lines[0].proved = false;
  set.result.routes.pop_back();
  const std::vector<LineTemplate> lines = line_templates(set.job, set.result, {});
  REQUIRE(lines.size() == 2);
  for (const LineTemplate& line : lines) CHECK(line.planes.empty());
  CHECK(lines[0].why_not.find("not proved") != std::string::npos);
  CHECK(lines[1].why_not.find("no hose") != std::string::npos);
  CHECK(pdf_strokes(pdf_of(set, {})).pages.size() == 1);
}

TEST_CASE("the same question gives the same bytes on paper") {
  CHECK(pdf_of(drawn(), {}) == pdf_of(drawn(), {}));
}
