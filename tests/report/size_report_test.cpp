// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/report/size_report.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "tests/support/sized_box_job.h"

using namespace hosefit;

namespace {

struct Told {
  Job job;
  CandidateResult result;
  std::vector<CutSheet> sheets;
  OrderList list;
  SizeReport report() const { return {job, result, sheets, list, "test"}; }
};

Told told(Job job, const CandidateResult& result) {
  Told out{std::move(job), result, {}, {}};
  out.sheets = cut_sheets(out.job, out.result);
  out.list = order_list(out.job, out.result, out.sheets);
  return out;
}

Told fitting(const Job& job = box_job::sized()) {
  return told(job, box_job::elbows_and_tube(job));
}

std::string text(const Told& t, int width = 100) {
  TextLook look;
  look.width = width;
  return size_text(t.report(), look);
}

// RFC 4180, strictly: rows of equal length, CRLF at their ends, quotes only doubled.
std::vector<std::vector<std::string>> cells_of(const std::string& csv) {
  std::vector<std::vector<std::string>> rows(1, std::vector<std::string>(1));
  bool quoted = false;
  for (std::size_t i = 0; i < csv.size(); ++i) {
    const char c = csv[i];
    if (quoted) {
      if (c != '"')
        rows.back().back() += c;
      else if (i + 1 < csv.size() && csv[i + 1] == '"')
        rows.back().back() += csv[++i];
      else
        quoted = false;
    } else if (c == '"') {
      REQUIRE(rows.back().back().empty());
      quoted = true;
    } else if (c == ',') {
      rows.back().emplace_back();
    } else if (c == '\r') {
      REQUIRE(csv.at(++i) == '\n');
      if (i + 1 < csv.size()) rows.emplace_back(1);
    } else {
      REQUIRE(c != '\n');
      rows.back().back() += c;
    }
  }
  REQUIRE_FALSE(quoted);
  return rows;
}

Told hostile() {
  Job job = box_job::sized();
  job.vehicle.name = "\x1b[2J=1+1";
  job.vehicle.lines[0].name = "=cmd|' /C calc'!A0";
  job.vehicle.lines[1].name = " @SUM(1,\"2\")\r\n<script>";
  job.stock[1].description = "+silicone \"quoted\", comma";
  return fitting(job);
}

}  // namespace

TEST_CASE("the CSV is RFC 4180 and no cell is a formula, whatever the names are") {
  const auto rows = cells_of(size_csv(hostile().report()));
  REQUIRE(rows.size() > 10);
  REQUIRE(rows[0].size() == 19);
  for (const auto& row : rows) {
    REQUIRE(row.size() == rows[0].size());
    for (const std::string& cell : row) {
      CAPTURE(cell);
      for (const char c : cell) CHECK(static_cast<unsigned char>(c) >= 0x20);
      const auto first = cell.find_first_not_of(' ');
      if (first == std::string::npos) continue;
      const bool numeric = cell.find_first_not_of("0123456789.-") == std::string::npos;
      if (!numeric) CHECK(std::string("=+-@").find(cell[first]) == std::string::npos);
    }
  }
  CHECK(
      std::any_of(rows.begin(), rows.end(), [](const auto& row) { return row[1] == "'=cmd|' /C calc'!A0"; }));
}

TEST_CASE("the text holds no control byte of a name and every dimension in both units") {
  const std::string out = text(hostile());
  CHECK(out.find('\x1b') == std::string::npos);
  CHECK(out.find('\r') == std::string::npos);
  CHECK(out.find("DO NOT ORDER") == std::string::npos);
  CHECK(out.find("38.0 mm (1-1/2 in)") != std::string::npos);
  CHECK(out.find("CAUTION") != std::string::npos);
}

TEST_CASE("what is not proved says loudly that nothing is to be ordered") {
  Told t = fitting();
  CandidateResult undecided = t.result;
  undecided.verdict.fit = Fit::undecided;
  undecided.proof.lines[1].proved = false;
  const Told doubtful = told(t.job, undecided);
  const std::string out = text(doubtful, 200);
  CHECK(out.find("DO NOT ORDER FROM THIS: undecided") < out.find("Order list (NOT to be ordered"));
  CHECK(out.find("Left out: lower") != std::string::npos);
  CHECK(out.find("DO NOT ORDER FROM THIS LINE: it is proved by itself") != std::string::npos);
  CHECK(out.find("DO NOT ORDER FROM THIS LINE: not proved") != std::string::npos);
  const auto rows = cells_of(size_csv(doubtful.report()));
  CHECK(rows[1][5].starts_with("DO NOT ORDER FROM THIS"));
  for (const auto& row : rows)
    if (row[0] == "order" || row[0] == "cut") CHECK(row[2] != "order");

  CandidateResult no_route = t.result;
  no_route.routes.clear();
  no_route.proof.lines.clear();
  no_route.verdict.fit = Fit::does_not_fit;
  const std::string none = text(told(t.job, no_route));
  CHECK(none.find("NO NUMBERS, DO NOT ORDER") != std::string::npos);
  CHECK(none.find("cut length") == std::string::npos);
  CHECK(none.find("Nothing can be ordered") != std::string::npos);
}

TEST_CASE("a fitting combination with a line that is not proved is not ordered as a whole") {
  Told t = fitting();
  CandidateResult half = t.result;
  half.proof.lines[0].proved = false;
  CHECK(text(told(t.job, half)).find("DO NOT ORDER ALL OF IT") != std::string::npos);
}

TEST_CASE("unknown prices are told beside the sum") {
  const std::string out = text(fitting(), 200);
  CHECK(out.find("have no price and are NOT in that sum") != std::string::npos);
  CHECK(out.find("unknown") != std::string::npos);
}

TEST_CASE("the JSON holds the list and says whether to order") {
  const nlohmann::json json = nlohmann::json::parse(size_json(fitting().report()));
  CHECK(json["hosefit_size"] == 1);
  CHECK(json["order_now"] == true);
  CHECK(json["lines"].size() == 2);
  CHECK(json["lines"][0]["standing"] == "order");
  double clamps = 0, placed = 0;
  for (const auto& row : json["order"])
    if (row["item"] == "clamp") clamps += row["needed"].get<double>();
  for (const auto& line : json["lines"])
    for (const auto& clamp : line["clamps"]) placed += clamp["count"].get<double>();
  CHECK(clamps == placed);
  for (const auto& row : json["order"])
    if (row["item"] == "joiner") CHECK(row["price"].is_null());
  CHECK(nlohmann::json::parse(size_json(hostile().report()))["lines"][0]["name"] == "=cmd|' /C calc'!A0");
}

TEST_CASE("narrow paper loses nothing") {
  for (const int width : {40, 60, 140}) {
    const std::string out = text(fitting(), width);
    CHECK(out.find("intersection") != std::string::npos);
    for (std::size_t at = 0, end = 0; at < out.size(); at = end + 1) {
      end = std::min(out.find('\n', at), out.size());
      CHECK(display_width(std::string_view(out).substr(at, end - at)) <= width);
    }
  }
}
