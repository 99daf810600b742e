// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/report/json.h"

#include <catch2/catch.hpp>
#include <limits>
#include <nlohmann/json.hpp>

#include "tests/report/told_choice.h"

using namespace hosefit;
using Json = nlohmann::json;

namespace {

Vec3 point(const Json& json) {
  return {json.at(0).get<double>(), json.at(1).get<double>(), json.at(2).get<double>()};
}

// Reads a centreline back by the documented shape alone.
Centreline rebuilt(const Json& pieces) {
  Centreline out;
  for (const Json& piece : pieces) {
    if (piece.contains("straight")) {
      out.pieces.emplace_back(Straight{point(piece["straight"]["from"]), point(piece["straight"]["to"])});
    } else {
      const Json& arc = piece["arc"];
      out.pieces.emplace_back(Arc{point(arc["start"]), point(arc["centre"]), point(arc["normal"]),
                                  arc["angle_rad"].get<double>()});
    }
  }
  return out;
}

Json parsed(const Choice& choice, const std::string& pump = "tall pump") {
  return Json::parse(pick_json(told::job(pump), choice, {"0.1.0", {}}));
}

}  // namespace

TEST_CASE("a centreline read back from JSON has the same ends and length") {
  const Json line = parsed(told::choice())["ranking"][0]["best"]["lines"][0];
  const Centreline there = told::bent_run();
  const Centreline back = rebuilt(line["route"]["centreline"]);
  REQUIRE(back.pieces.size() == there.pieces.size());
  CHECK(length_mm(back) == Approx(length_mm(there)).margin(1e-4));
  CHECK((end_point(back) - end_point(there)).norm() < 1e-4);
  CHECK((start_point(back) - start_point(there)).norm() < 1e-5);
  for (std::size_t i = 1; i < back.pieces.size(); ++i)
    CHECK((point_at(back.pieces[i], 0) - point_at(back.pieces[i - 1], length_mm(back.pieces[i - 1]))).norm() <
          1e-4);
  CHECK(line["route"]["length_mm"].get<double>() == Approx(length_mm(there)).margin(1e-6));
}

TEST_CASE("the JSON names its version, its input and everything a line is judged by") {
  const Json all = parsed(told::choice());
  CHECK(all["hosefit_pick"] == 1);
  CHECK(all["program"] == "0.1.0");
  CHECK(all["input_fingerprint"] == "0123abcd");
  CHECK(all["ranking"].size() == 2);
  const Json best = all["ranking"][0]["best"];
  CHECK(best["fit"] == "fits");
  CHECK(best["lines"][0]["route"]["gaps"][0]["required_mm"] == 12.0);
  CHECK(best["lines"][0]["route"]["gaps"][0]["provenance"]["counts_as"] == "unsourced");
  CHECK(best["lines"][0]["route"]["least_radius_mm"] == 60.0);
  CHECK(best["flow"]["points"][0]["pump"]["curve_source"] == "bench test of a like pump, from memory");
  CHECK(all["ranking"][1]["best"]["findings"][0]["rule"] == "no_passage");
  CHECK(all["ranking"][1]["best"]["findings"][0]["margin"] == -4.0);
}

TEST_CASE("names pass through JSON unchanged, but for bytes that are no text") {
  for (const std::string& name : {std::string("<script>\"'\\"), std::string("=1+1"),
                                  std::string("a\x1b[2J\r\n\tb"), std::string("T\xc3\xbcr")})
    CHECK(parsed(told::choice(), name)["ranking"][0]["pump"] == name);
  CHECK(parsed(told::choice(),
               "a\xff"
               "b")["ranking"][0]["pump"] ==
        "a\xef\xbf\xbd"
        "b");
}

TEST_CASE("figures that are not finite become null and zeros have no sign") {
  Choice choice = told::choice();
  choice.candidates[0].comparison.least_spare_mm = std::numeric_limits<double>::infinity();
  choice.candidates[0].comparison.length_mm = -1e-12;
  const std::string text = pick_json(told::job(), choice, {"0.1.0", {}});
  CHECK(text.find("inf") == std::string::npos);
  CHECK(text.find("-0.0") == std::string::npos);
  const Json comparison = Json::parse(text)["ranking"][0]["best"]["comparison"];
  CHECK(comparison["least_spare_mm"].is_null());
  CHECK(comparison["length_mm"] == 0.0);
}

TEST_CASE("the same answer gives the same bytes, and noise below a nanometre does not show") {
  Choice choice = told::choice();
  const std::string first = pick_json(told::job(), choice, {"0.1.0", {}});
  choice.candidates[0].proof.lines[0].gaps[0].found_mm += 1e-10;
  CHECK(pick_json(told::job(), choice, {"0.1.0", {}}) == first);
  choice.candidates[0].proof.lines[0].gaps[0].found_mm += 1e-3;
  CHECK(pick_json(told::job(), choice, {"0.1.0", {}}) != first);
}

TEST_CASE("height windows in JSON are the windows whole, each reason with the height it was judged at") {
  const ReportExtras extras{
      "0.1.0",
      {{0,
        {{Length::mm(250), Length::mm(300), Fit::does_not_fit, told::stop_on_upper(), Length::mm(275)},
         {Length::mm(300), Length::mm(300.1), Fit::undecided, std::nullopt},
         {Length::mm(300.1), Length::mm(350), Fit::fits, std::nullopt}}}}};
  const Json windows =
      Json::parse(pick_json(told::job(), told::choice(), extras))["height_windows"][0]["windows"];
  REQUIRE(windows.size() == 3);  // the narrow one too, which the text leaves out
  CHECK(windows[0]["fit"] == "does not fit");
  CHECK(windows[0]["binds"]["rule"] == word(told::stop_on_upper().rule));
  CHECK(windows[0]["binds_at_mm"] == 275.0);
  CHECK(windows[1]["fit"] == "undecided");
  CHECK(windows[1]["binds_at_mm"].is_null());
  CHECK(windows[2]["from_mm"] == 300.1);
  CHECK(windows[2]["to_mm"] == 350.0);
}
