// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/scalar.h"

#include <catch2/catch.hpp>
#include <regex>

namespace hosefit {
namespace {
YamlNode plain(std::string text) {
  YamlNode node;
  node.kind = YamlNode::Kind::scalar;
  node.text = std::move(text);
  node.plain = true;
  return node;
}
YamlNode quoted(std::string text) {
  YamlNode node = plain(std::move(text));
  node.plain = false;
  return node;
}
}  // namespace

TEST_CASE("numbers are read as JSON writes them") {
  CHECK(read_number(plain("0")).value == 0.0);
  CHECK(read_number(plain("-12.50")).value == -12.5);
  CHECK(read_number(plain("1.5e3")).value == 1500.0);
  CHECK(read_number(plain("5E-1")).value == 0.5);
  for (const char* text :
       {"1e309", "-1e309", "nan", ".nan", "inf", ".inf", "-.inf", "0x10", "010", "-010", "00",
        "0o7",   "1_000",  "1,5", "+5",   ".5",  "5.",   "1e",    "1 2",  "",    "-",    "12 mm"}) {
    CAPTURE(text);
    CHECK_FALSE(read_number(plain(text)).value);
  }
  CHECK_FALSE(read_number(quoted("5")).value);
}

TEST_CASE("lengths carry their unit or take the file's") {
  using L = std::optional<double>;
  const auto mm = [](const YamlNode& node, LengthUnit units) -> L {
    const auto length = read_length(node, units).value;
    return length ? L(length->mm()) : L();
  };
  CHECK(mm(plain("38.1"), LengthUnit::mm) == L(38.1));
  CHECK(mm(plain("2"), LengthUnit::inch) == L(50.8));
  CHECK(mm(plain("38mm"), LengthUnit::inch) == L(38));
  CHECK(mm(quoted("38 mm"), LengthUnit::inch) == L(38));
  CHECK(mm(plain("1-1/2 in"), LengthUnit::mm) == L(1.5 * 25.4));
  CHECK(mm(plain("1 1/2 in"), LengthUnit::mm) == L(1.5 * 25.4));
  CHECK(mm(plain("-3/4in"), LengthUnit::mm) == L(-0.75 * 25.4));
  for (const char* text : {"38 cm", "1-1/2", "1-1/2 mm", "038 mm", "3/0 in", "1-01/2 in", "1e309 mm",
                           "nan mm", "mm", " in", "38  mm", "38 mm ", "0x10 mm", "1.5.2 in", "1/2/3 in"}) {
    CAPTURE(text);
    CHECK_FALSE(read_length(plain(text), LengthUnit::mm).value);
  }
}

TEST_CASE("the schema's pattern takes the same texts for lengths as the reader") {
  const std::regex pattern{std::string(length_pattern())};
  for (const char* text :
       {"38 mm", "38mm",   "1.5 in",   "1-1/2 in", "1 1/2in", "-3/4 in",   "1e2 mm",
        "38 cm", "1-1/2",  "1-1/2 mm", "038 mm",   "3/0 in",  "1-01/2 in", "nan mm",
        "mm",    "38  mm", "38 mm ",   "+38 mm",   ".5 in",   "5. in",     "1234567/2 in"}) {
    CAPTURE(text);
    CHECK(std::regex_match(text, pattern) == read_length(quoted(text), LengthUnit::mm).value.has_value());
  }
}

TEST_CASE("only true and false are booleans") {
  CHECK(read_boolean(plain("true")).value == true);
  CHECK(read_boolean(plain("false")).value == false);
  for (const char* text : {"yes", "no", "on", "off", "True", "TRUE", "1", "y", ""})
    CHECK_FALSE(read_boolean(plain(text)).value);
  CHECK_FALSE(read_boolean(quoted("true")).value);
}

}  // namespace hosefit
