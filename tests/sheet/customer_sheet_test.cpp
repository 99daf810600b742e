// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <map>

#include "solver/sheet/html.h"
#include "solver/sheet/pdf.h"
#include "tests/sheet/made_sheet.h"

using namespace hosefit;

namespace {

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

SheetPdf pdf_of(const CustomerSheet& sheet, Paper paper = Paper::a4) {
  auto pdf = sheet_pdf(sheet, paper);
  REQUIRE(pdf);
  return *std::move(pdf);
}

std::string words_of(const SheetPdf& pdf) {
  std::string out;
  for (const PlacedBox& box : pdf.boxes) out += box.text + " ";
  return out;
}

void lies_on_its_pages(const SheetPdf& pdf) {
  for (std::size_t i = 0; i < pdf.boxes.size(); ++i) {
    const PlacedBox& a = pdf.boxes[i];
    CAPTURE(a.page, a.text, a.left, a.top, a.width);
    CHECK(a.page < pdf.pages);
    CHECK(a.left >= pdf.margin - 0.1);
    CHECK(a.left + a.width <= pdf.page_width - pdf.margin + 0.6);
    CHECK(a.top >= pdf.margin - 0.1);
    CHECK(a.top + a.height <= pdf.page_height - 15);
    for (std::size_t k = 0; k < i; ++k) {
      const PlacedBox& b = pdf.boxes[k];
      if (a.page != b.page) continue;
      const bool apart = a.left >= b.left + b.width - 0.1 || b.left >= a.left + a.width - 0.1 ||
                         a.top >= b.top + b.height - 0.1 || b.top >= a.top + a.height - 0.1;
      INFO("against " << b.text);
      CHECK(apart);
    }
  }
}

const std::vector<std::string> kHeadings{"Which pump, and why",
                                         "The other pumps",
                                         "Intake heights",
                                         "Coolant flow",
                                         "What was checked, and what was not",
                                         "Exceptions accepted",
                                         "Parts to order",
                                         "Fill and bleed card",
                                         "First service card",
                                         "Who measured, and how well"};

}  // namespace

TEST_CASE("the HTML and the PDF hold every section, the date, the fingerprint and the cautions") {
  const made::Made made;
  const CustomerSheet sheet = made.sheet();
  const std::string html = sheet_html(sheet), pdf = words_of(pdf_of(sheet));
  for (const std::string& heading : kHeadings) {
    CAPTURE(heading);
    CHECK(has(html, ">" + heading + "</h2>"));
    CHECK(has(pdf, heading));
  }
  for (const char* word : {"2026-03-14", "0123abcd", "CAUTION: hot coolant under pressure scalds",
                           "CAUTION: a hose against steering", "CAUTION: fan and belts", "common practice",
                           "poisonous", "Measured by, date", "bench test of a like pump", "short pump"}) {
    CAPTURE(word);
    CHECK((has(html, word) || has(html, "Common practice")));
    CHECK(has(html + pdf, word));
  }
}

TEST_CASE("glycol is called poisonous only when the coolant is a glycol") {
  made::Made made;
  made.job.vehicle.coolant.fluid = CoolantFluid::ethylene_glycol;
  CHECK(has(sheet_html(made.sheet()), "poisonous"));
  made.job.vehicle.coolant.fluid = CoolantFluid::water;
  CHECK_FALSE(has(sheet_html(made.sheet()), "poisonous"));
  CHECK_FALSE(has(sheet_html(made.sheet()), "glycol"));
}

TEST_CASE("a set that is not proved to fit is told loudly, with its mm, and nothing is ordered from it") {
  made::Made made;
  made.choice.candidates = {told::refused(0), told::refused(1)};
  const CustomerSheet nothing = made.sheet();
  CHECK(nothing.answer.tone == Tone::bad);
  CHECK(nothing.answer.text.starts_with("NOTHING IS PROVED TO FIT"));
  const std::string html = sheet_html(nothing);
  CHECK(has(html, "ORDER NOTHING FROM THIS SHEET"));
  CHECK_FALSE(has(html, "It fits"));
  CHECK(has(html, "4.0 mm (0.16 in) short; needs 12.0 mm (0.47 in), found 8.0 mm (5/16 in)"));

  const made::Made other;
  const CustomerSheet named = other.sheet({1, true});
  CHECK(named.answer.text.starts_with("THE PARTS NAMED ARE NOT PROVED TO FIT"));
  CHECK(has(named.answer_more[1], "Another set is proved to fit: pump tall pump"));
}

TEST_CASE("undecided and passage without stock are never told as fitting") {
  for (const Fit fit : {Fit::undecided, Fit::passage_no_stock, Fit::does_not_fit}) {
    made::Made made;
    for (CandidateResult& result : made.choice.candidates) result.verdict.fit = fit;
    const CustomerSheet sheet = made.sheet();
    CHECK(sheet.answer.tone == Tone::bad);
    CHECK_FALSE(has(sheet_html(sheet), "t fits"));
    CHECK(has(sheet_html(sheet), "ORDER NOTHING"));
  }
}

TEST_CASE("a line without proof is called so and has no gap") {
  made::Made made;
  made.choice.candidates[0].proof.lines[0].proved = false;
  const std::string html = sheet_html(made.sheet());
  CHECK(has(html, "NOT PROVED"));
}

TEST_CASE("exceptions tell who signed and why") {
  made::Made made;
  CHECK(has(sheet_html(made.sheet()), "None: no gap was set by the shop"));
  auto body = std::make_shared<Body>(*made.job.vehicle.chassis);
  body->obstacles[0].own_gap = OwnGap{Length::mm(25), {Source::shop, "", "R. Ockley", "live post"}};
  made.job.vehicle.chassis = body;
  made.job.vehicle.gaps = {{Runner::hose,
                            Hazard::smooth_metal,
                            std::nullopt,
                            Length::mm(9),
                            {Source::shop, "", "M. Tarn", "lined clips"}}};
  made.job.vehicle.lines[1].stock = "tube_38";
  made.job.vehicle.lines[1].stock_reason = "lies on the shelf";
  const std::string html = sheet_html(made.sheet());
  for (const char* word : {"R. Ockley", "live post", "25.0 mm", "M. Tarn", "lined clips", "9.0 mm",
                           "hose past smooth metal", "tube_38", "lies on the shelf"}) {
    CAPTURE(word);
    CHECK(has(html, word));
  }
}

TEST_CASE("hostile names are data in the HTML and in the PDF") {
  made::Made made(made::kHostileName);
  made.job.vehicle.name = made::kHostileName;
  made.windows = made::two_windows();
  const CustomerSheet sheet = made.sheet();
  const std::string html = sheet_html(sheet);
  CHECK_FALSE(has(html, "<script"));
  CHECK_FALSE(has(html, "onload=\""));
  CHECK(has(html, "&#60;script&#62;"));
  for (const char c : html) CHECK_FALSE((static_cast<unsigned char>(c) < 0x20 && c != '\n'));
  lies_on_its_pages(pdf_of(sheet));
}

TEST_CASE("texts of the PDF lie within the page and never overlap, on both papers and with long names") {
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    made::Made made;
    made.windows = made::two_windows();
    lies_on_its_pages(pdf_of(made.sheet(), paper));
    made.job.vehicle.name = std::string(400, 'W');
    made.job.family.pumps[0].name = std::string(3000, 'x') + " end";
    made.job.family.pumps[1].name = std::string(9000, 'y') + " end";
    const SheetPdf pdf = pdf_of(made.sheet(), paper);
    lies_on_its_pages(pdf);
    std::size_t letters = 0;
    for (const PlacedBox& box : pdf.boxes)
      letters += static_cast<std::size_t>(std::count(box.text.begin(), box.text.end(), 'y'));
    CHECK(letters >= 9000);  // nothing was cut off
  }
}

TEST_CASE("a card that is broken over pages says on each whose rows they are, with the table's titles") {
  const made::Made made;
  CustomerSheet sheet = made.sheet();
  SheetTable table;
  table.caption = "Many rows.";
  table.titles = {"number", "told"};
  for (int i = 0; i < 150; ++i) table.rows.push_back({std::to_string(i), "a row"});
  sheet.sections = {
      {"tables", "Tables", {{"Tall card", {table}}, {"Short card", {Paragraph{Tone::plain, "last"}}}}}};
  const SheetPdf pdf = pdf_of(sheet);
  lies_on_its_pages(pdf);
  std::map<int, std::vector<std::string>> pages;
  for (const PlacedBox& box : pdf.boxes) pages[box.page].push_back(box.text);
  int torn = 0;
  for (const auto& [page, texts] : pages) {
    const bool rows = std::count(texts.begin(), texts.end(), "a row") > 0;
    if (!rows) continue;
    CAPTURE(page);
    CHECK(std::count(texts.begin(), texts.end(), "told") == 1);
    const auto again = std::count(texts.begin(), texts.end(), "Tall card (continued)");
    CHECK(std::count(texts.begin(), texts.end(), "Tall card") + again == 1);
    torn += int(again);
  }
  CHECK(torn >= 2);
}

TEST_CASE("a set without any hose asks for no count of clamped ends") {
  made::Made made;
  for (CandidateResult& result : made.choice.candidates) result.comparison.joints = 0;
  const std::string html = sheet_html(made.sheet());
  CHECK_FALSE(has(html, "all 0 clamped"));
  CHECK(has(html, "this sheet settles no hose"));
  for (CandidateResult& result : made.choice.candidates) result.comparison.joints = 8;
  CHECK(has(sheet_html(made.sheet()), "all 8 clamped hose ends"));
}

TEST_CASE("the same sheet gives the same bytes") {
  const made::Made made;
  CHECK((pdf_of(made.sheet()).bytes == pdf_of(made.sheet()).bytes));
  CHECK((sheet_html(made.sheet()) == sheet_html(made.sheet())));
  CHECK_FALSE((pdf_of(made.sheet({}, "2026-03-15")).bytes == pdf_of(made.sheet()).bytes));
  CHECK_FALSE(has(pdf_of(made.sheet()).bytes, "CreationDate"));
}

TEST_CASE("height windows are told as bars and in words, or how to get them") {
  made::Made made;
  CHECK(has(sheet_html(made.sheet()), "--windows"));
  made.windows = made::two_windows();
  const std::string html = sheet_html(made.sheet());
  CHECK(has(html, "250.0 mm (9.84 in) to 300.0 mm (11-13/16 in): fits."));
  CHECK(has(html, "<span class=\"not\" style=\"width:49.000%\"><b>no</b></span>"));
  CHECK(has(html, "left:62.000%"));  // 312 mm in 250 to 350
}

TEST_CASE("base64 gives the test vectors of RFC 4648, section 10") {
  CHECK(base64("").empty());
  CHECK(base64("f") == "Zg==");
  CHECK(base64("fo") == "Zm8=");
  CHECK(base64("foo") == "Zm9v");
  CHECK(base64("foob") == "Zm9vYg==");
  CHECK(base64("foobar") == "Zm9vYmFy");
}
