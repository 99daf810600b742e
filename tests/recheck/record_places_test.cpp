// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/recheck/record_places.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

using namespace hosefit;
using nlohmann::json;

namespace {

std::string at(const std::string& text, const std::string& path) {
  const Place place = recheck::place_of_path("f", text, path);
  return std::to_string(place.line) + ":" + std::to_string(place.column);
}

}  // namespace

TEST_CASE("the place of a value in a JSON text is its first byte, whatever stands before it") {
  const std::string text =
      "{\n \"a\\\"]{\": [1, {\"b\": \"}]\"}],\n \"c\" : [ [ ], {\"d\": -2e3}, \"e\" ]\n}";
  REQUIRE(json::accept(text));
  CHECK(at(text, "") == "1:1");
  CHECK(at(text, "c") == "3:8");
  CHECK(at(text, "c[0]") == "3:10");
  CHECK(at(text, "c[1].d") == "3:21");
  CHECK(at(text, "c[2]") == "3:28");
  CHECK(at(text, "c[1].none") == "3:15");  // as far as there is one
  CHECK(at(text, "c[7]") == "3:8");
  CHECK(at(text, "none.of[3].it") == "1:1");
}

TEST_CASE("every value of a record is found where the library that writes it puts it") {
  json record = {{"files", json::array()}, {"lines", json::array()}};
  for (int i = 0; i < 5; ++i)
    record["lines"].push_back({{"at", {0.5 * i, "x", nullptr}}, {"deep", {{"er", json::array({true})}}}});
  for (const int indent : {-1, 1, 3}) {
    for (std::size_t i = 0; i < 5; ++i) {
      json marked = record;
      marked["lines"][i]["deep"]["er"][0] = "HERE";
      const std::string text = marked.dump(indent);
      const Place found = recheck::place_of_path("f", text, "lines[" + std::to_string(i) + "].deep.er[0]");
      CHECK(found == recheck::place_of("f", text, text.find("\"HERE\"")));
    }
  }
}
