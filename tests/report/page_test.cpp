// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/report/page.h"

#include <catch2/catch.hpp>
#include <sstream>

#include "solver/base/dice.h"

using namespace hosefit;

namespace {

std::vector<std::string> split_words(const std::string& text) {
  std::istringstream in(text);
  std::vector<std::string> out;
  for (std::string word; in >> word;) out.push_back(word);
  return out;
}

}  // namespace

TEST_CASE("wrapping keeps every word in order and every line within the width") {
  for (std::uint64_t task = 0; task < 200; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{3}, task);
    std::string text;
    const std::uint64_t words = dice.below(40);
    for (std::uint64_t w = 0; w < words; ++w)
      text += std::string(1 + dice.below(12), static_cast<char>('a' + dice.below(26))) + " ";
    const int width = 12 + static_cast<int>(dice.below(60));
    std::string joined;
    for (const std::string& line : wrapped(text, width)) {
      CHECK(display_width(line) <= width);
      joined += line + " ";
    }
    CHECK(split_words(joined) == split_words(text));
  }
}

TEST_CASE("a word wider than the line is broken without losing a character") {
  const std::string word = "vehicles_with_a_very_long_name_\xc3\xbc\xc3\xbc\xc3\xbc\xc3\xbc";
  std::string joined;
  for (const std::string& line : wrapped(word, 7)) {
    CHECK(display_width(line) <= 7);
    joined += line;
  }
  CHECK(joined == word);
}

TEST_CASE("without UTF-8 a page is plain ASCII, and without colour it holds no escapes") {
  TextLook look;
  look.utf8 = false;
  Page page(look);
  page.heading("T\xc3\xbcr \u00b1");
  page.line("\x1b[2J", 0, 0, Tint::bad);
  for (const char c : page.text()) CHECK((c == '\n' || (c >= 0x20 && c < 0x7f)));
  CHECK(page.text().find("T?r +-") != std::string::npos);
}

TEST_CASE("colour changes nothing but escapes") {
  const auto laid = [](bool colour) {
    TextLook look;
    look.colour = colour;
    Page page(look);
    page.table({"a", "b"}, {{{{"one"}, Tint::good}, {{"two words"}, Tint::bad}}});
    return page.text();
  };
  std::string stripped = laid(true);
  REQUIRE(stripped.find('\x1b') != std::string::npos);
  for (std::size_t at = stripped.find('\x1b'); at != std::string::npos; at = stripped.find('\x1b'))
    stripped.erase(at, stripped.find('m', at) - at + 1);
  CHECK(stripped == laid(false));
}

TEST_CASE("a line never ends between a figure and its unit") {
  const std::string text = "needs 12.0 mm, found 1-1/2 in (2 deg) at 4.5 N.m, and 3 inner ones of 7";
  for (int width = 10; width < 60; ++width) {
    CAPTURE(width);
    for (const std::string& line : wrapped(text, width)) {
      for (const char* unit : {"mm", "in ", "deg", "N.m"}) CHECK_FALSE(line.starts_with(unit));
      CHECK(line != "in");
    }
  }
}

TEST_CASE("in a table short cells stand on one line while a sentence is wrapped") {
  TextLook look;
  look.width = 60;
  Page page(look);
  page.table({"what", "inside", "for"},
             {{{{"a sentence that goes on for far longer than there is room in it"}},
               {{"38.1 mm"}},
               {{"lower, upper"}}}});
  CHECK(page.text().find("38.1 mm") != std::string::npos);
  CHECK(page.text().find("lower, upper") != std::string::npos);
  std::istringstream in(page.text());
  for (std::string line; std::getline(in, line);) CHECK(display_width(line) <= 60);
}
