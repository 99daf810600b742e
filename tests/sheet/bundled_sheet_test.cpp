// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <cmath>

#include "solver/sheet/html.h"
#include "solver/sheet/pdf.h"
#include "solver/sheet/sheet_matter.h"
#include "tests/scenario/bundled.h"

using namespace hosefit;

namespace {

// Every finding about a length in mm: its three figures stand on the sheet as the finding holds them.
void holds_figures(const std::string& html, const Finding& finding) {
  if (finding.unit != FindingUnit::mm || !finding.limit || !finding.margin) return;
  CAPTURE(word(finding.rule), finding.subject, finding.other);
  CHECK(html.find(fmt::format("{:.1f} mm", *finding.limit)) != std::string::npos);
  CHECK(html.find(fmt::format("{:.1f} mm", std::abs(*finding.margin))) != std::string::npos);
  if (finding.measured && !finding.parameters.contains("overlap"))
    CHECK(html.find(fmt::format("{:.1f} mm", std::abs(*finding.measured))) != std::string::npos);
}

void sheet_is_whole(const std::string& vehicle) {
  const Prepared prepared(bundled_job(vehicle));
  const Job& job = prepared.job();
  const Choice choice = choice_at(prepared, question_of(job).height.mm());
  const SheetQuestion question{choice.ranking.at(0).best, false};
  const SheetPictures pictures = sheet_pictures(prepared, choice, question, job.vehicle.shown_in, Threads{2});
  REQUIRE(pictures.whole);
  CHECK(pictures.whole->alt.find(" mm") != std::string::npos);
  CHECK(pictures.others.size() + 1 == job.family.pumps.size());
  const CustomerSheet sheet = customer_sheet(
      SheetMatter{job, choice, question, pictures, {}, job.vehicle.shown_in, "0.1.0", "2026-03-14"});
  const std::string html = sheet_html(sheet);
  CHECK(html.size() < 5'000'000);
  const CandidateResult& chosen = choice.candidates[question.chosen];
  for (const Finding& finding : chosen.findings) holds_figures(html, finding);
  for (const OtherPump& other : pictures.others) {
    CHECK(other.picture);
    for (const Finding& finding : choice.candidates[other.candidate].findings)
      if (finding.severity == Severity::stop) {
        holds_figures(html, finding);
        break;
      }
  }
  for (const Pump& pump : job.family.pumps) CHECK(html.find(pump.name) != std::string::npos);
  const auto pdf = sheet_pdf(sheet, Paper::a4);
  REQUIRE(pdf);
  CHECK(pdf->pages >= 5);
  CHECK(pdf->pages <= 20);
}

}  // namespace

TEST_CASE("the sheet of the pickup holds every pump and every finding's mm, under 5 MB", "[whole]") {
  sheet_is_whole("harrow_half_ton");
}

TEST_CASE("the sheet of the coupe holds every pump and every finding's mm, under 5 MB", "[whole]") {
  sheet_is_whole("linnet_coupe");
}
