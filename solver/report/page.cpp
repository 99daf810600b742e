// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/report/page.h"

#include <algorithm>
#include <array>
#include <cstdint>
#include <numeric>
#include <optional>
#include <span>

#include "solver/report/words.h"

namespace hosefit {
namespace {

constexpr int kLeastWidth = 40;
constexpr int kColumnGap = 2;
// A row taller than this is read more easily as a block of its own.
constexpr std::size_t kTallestRow = 9;
// A longer word does not claim a column's width for itself; it is broken.
constexpr int kLongestWord = 18;

struct StandIn {
  std::string_view drawn, plain;
};
constexpr std::array kStandIns{StandIn{"\u00b1", "+-"}, StandIn{"\u2500", "-"}, StandIn{"\u2588", "#"},
                               StandIn{"\u2591", "-"}, StandIn{"\u00b7", "."}};

bool starts_character(char c) {
  return (static_cast<std::uint8_t>(c) & 0xc0U) != 0x80U;
}

std::size_t character_bytes(std::string_view text) {
  std::size_t n = 1;
  while (n < text.size() && !starts_character(text[n])) ++n;
  return n;
}

char32_t decoded(std::string_view character) {
  const auto lead = static_cast<std::uint8_t>(character.front());
  if (character.size() == 1) return lead;
  char32_t value = lead & (0xffU >> (character.size() + 1));
  for (const char c : character.substr(1)) value = (value << 6U) | (static_cast<std::uint8_t>(c) & 0x3fU);
  return value;
}

int character_width(std::string_view character) {
  const char32_t c = decoded(character);
  if ((c >= 0x300 && c <= 0x36f) || (c >= 0x200b && c <= 0x200d) || (c >= 0xfe00 && c <= 0xfe0f)) return 0;
  const bool wide = (c >= 0x1100 && c <= 0x115f) || (c >= 0x2e80 && c <= 0xa4cf) ||
                    (c >= 0xac00 && c <= 0xd7a3) || (c >= 0xf900 && c <= 0xfaff) ||
                    (c >= 0xfe30 && c <= 0xfe6f) || (c >= 0xff00 && c <= 0xff60) ||
                    (c >= 0x1f300 && c <= 0x1faff) || (c >= 0x20000 && c <= 0x3fffd);
  return wide ? 2 : 1;
}

// The part of a word that fits; at least one character, so that the caller moves on.
std::string_view fitting(std::string_view word, int width) {
  std::size_t used = 0;
  int columns = 0;
  while (used < word.size()) {
    const std::size_t bytes = character_bytes(word.substr(used));
    columns += character_width(word.substr(used, bytes));
    if (columns > width && used > 0) break;
    used += bytes;
  }
  return word.substr(0, used);
}

constexpr std::array<std::string_view, 12> kUnits{"mm",    "in", "deg", "N.m", "lb-in", "kPa",
                                                  "L/min", "US", "rpm", "bar", "W",     "kW"};

// Where the unit ends that follows a figure after one blank; `at` when none does.
std::size_t end_with_unit(std::string_view text, std::size_t at) {
  if (at == 0 || at + 1 >= text.size() || text[at - 1] < '0' || text[at - 1] > '9') return at;
  const std::size_t end = std::min(text.find(' ', at + 1), text.size());
  std::string_view unit = text.substr(at + 1, end - at - 1);
  while (!unit.empty() && std::string_view(",;:.)").find(unit.back()) != std::string_view::npos)
    unit.remove_suffix(1);
  return std::find(kUnits.begin(), kUnits.end(), unit) != kUnits.end() ? end : at;
}

// A figure and its unit are one word: a line never ends between them.
std::vector<std::string_view> words_in(std::string_view text) {
  std::vector<std::string_view> out;
  while (!text.empty()) {
    const std::size_t start = text.find_first_not_of(' ');
    if (start == std::string_view::npos) break;
    text.remove_prefix(start);
    const std::size_t end = end_with_unit(text, std::min(text.find(' '), text.size()));
    out.push_back(text.substr(0, end));
    text.remove_prefix(end);
  }
  return out;
}

struct Widths {
  int least = 1, natural = 1;
};

Widths widths_of(std::string_view title, std::span<const std::vector<Cell>> rows, std::size_t column) {
  Widths out;
  const auto take = [&](std::string_view text) {
    out.natural = std::max(out.natural, display_width(text));
    for (const std::string_view word : words_in(text))
      out.least = std::max(out.least, std::min(display_width(word), kLongestWord));
  };
  take(title);
  for (const std::vector<Cell>& row : rows)
    for (const std::string& paragraph : row[column].paragraphs) take(paragraph);
  return out;
}

// Least widths first; the rest goes to those that want little before it goes to those that want much, so that
// figures stand on one line and sentences are wrapped.
std::optional<std::vector<int>> column_widths(const std::vector<Widths>& wanted, int room) {
  room -= kColumnGap * (static_cast<int>(wanted.size()) - 1);
  std::vector<int> out;
  std::vector<std::size_t> by_want(wanted.size());
  std::iota(by_want.begin(), by_want.end(), std::size_t{0});
  const auto want = [&](std::size_t i) { return wanted[i].natural - wanted[i].least; };
  std::stable_sort(by_want.begin(), by_want.end(),
                   [&](std::size_t a, std::size_t b) { return want(a) < want(b); });
  for (const Widths& w : wanted) {
    out.push_back(w.least);
    room -= w.least;
  }
  if (room < 0) return std::nullopt;
  for (std::size_t k = 0; k < by_want.size(); ++k) {
    const int share = room / static_cast<int>(by_want.size() - k);
    const int more = std::min(want(by_want[k]), share);
    out[by_want[k]] += more;
    room -= more;
  }
  return out;
}

std::vector<std::string> cell_lines(const Cell& cell, int width) {
  std::vector<std::string> out;
  for (const std::string& paragraph : cell.paragraphs)
    for (std::string& line : wrapped(paragraph, width)) out.push_back(std::move(line));
  return out;
}

std::string spaces(int n) {
  return std::string(static_cast<std::size_t>(std::max(0, n)), ' ');
}

}  // namespace

int display_width(std::string_view text) {
  int out = 0;
  while (!text.empty()) {
    const std::size_t bytes = character_bytes(text);
    out += character_width(text.substr(0, bytes));
    text.remove_prefix(bytes);
  }
  return out;
}

std::vector<std::string> wrapped(std::string_view text, int width, int first_width) {
  std::vector<std::string> out(1);
  const auto room = [&] { return std::max(1, out.size() == 1 && first_width > 0 ? first_width : width); };
  for (std::string_view word : words_in(text)) {
    const int used = display_width(out.back());
    if (used > 0 && used + 1 + display_width(word) <= room()) {
      out.back() += ' ';
      out.back() += word;
      continue;
    }
    if (used > 0) out.emplace_back();
    while (display_width(word) > room()) {
      const std::string_view part = fitting(word, room());
      out.back() = part;
      out.emplace_back();
      word.remove_prefix(part.size());
    }
    out.back() = word;
  }
  return out;
}

Page::Page(const TextLook& look) : look_(look) {
  look_.width = std::max(look_.width, kLeastWidth);
}

std::string Page::shown(std::string_view words) const {
  std::string safe = safe_text(words);
  if (look_.utf8) return safe;
  for (const StandIn& stand_in : kStandIns)
    for (std::size_t at = safe.find(stand_in.drawn); at != std::string::npos;
         at = safe.find(stand_in.drawn, at))
      safe.replace(at, stand_in.drawn.size(), stand_in.plain);
  std::string out;
  for (std::size_t i = 0; i < safe.size(); i += character_bytes(std::string_view(safe).substr(i)))
    out += static_cast<std::uint8_t>(safe[i]) < 0x80 ? safe[i] : '?';
  return out;
}

std::string Page::tinted(std::string_view words, Tint tint) const {
  std::string_view code;
  switch (tint) {
    case Tint::none:
      break;
    case Tint::good:
      code = "\x1b[32m";
      break;
    case Tint::doubtful:
      code = "\x1b[33m";
      break;
    case Tint::bad:
      code = "\x1b[31m";
      break;
    case Tint::strong:
      code = "\x1b[1m";
      break;
  }
  if (!look_.colour || code.empty() || words.empty()) return std::string(words);
  return std::string(code) + std::string(words) + "\x1b[0m";
}

void Page::put(std::string_view words, int indent, Tint tint) {
  if (!words.empty()) text_ += spaces(indent) + tinted(words, tint);
  text_ += '\n';
}

void Page::blank() {
  if (!text_.empty() && !text_.ends_with("\n\n")) text_ += '\n';
}

void Page::heading(std::string_view text) {
  blank();
  const std::vector<std::string> lines = wrapped(shown(text), look_.width);
  int longest = 0;
  for (const std::string& line : lines) {
    put(line, 0, Tint::strong);
    longest = std::max(longest, display_width(line));
  }
  std::string rule;
  for (int i = 0; i < longest; ++i) rule += look_.utf8 ? "\u2500" : "-";
  put(rule, 0, Tint::none);
}

void Page::line(std::string_view text, int indent, int hang, Tint tint) {
  const int first_width = look_.width - indent;
  const std::vector<std::string> lines = wrapped(shown(text), first_width - hang, first_width);
  for (std::size_t i = 0; i < lines.size(); ++i) put(lines[i], indent + (i == 0 ? 0 : hang), tint);
}

void Page::table(const std::vector<std::string>& titles, const std::vector<std::vector<Cell>>& given,
                 int indent) {
  std::vector<std::vector<Cell>> rows = given;
  for (std::vector<Cell>& row : rows)
    for (Cell& cell : row)
      for (std::string& paragraph : cell.paragraphs) paragraph = shown(paragraph);
  std::vector<Widths> wanted;
  wanted.reserve(titles.size());
  for (std::size_t c = 0; c < titles.size(); ++c) wanted.push_back(widths_of(titles[c], rows, c));
  const auto widths = column_widths(wanted, look_.width - indent);
  if (!widths) return blocks(titles, rows, indent);
  std::vector<std::vector<std::vector<std::string>>> laid;
  std::vector<Cell> head;
  head.reserve(titles.size());
  for (const std::string& title : titles) head.push_back({{title}, Tint::strong});
  rows.insert(rows.begin(), head);
  for (const std::vector<Cell>& row : rows) {
    auto& lines = laid.emplace_back();
    for (std::size_t c = 0; c < row.size(); ++c) {
      lines.push_back(cell_lines(row[c], (*widths)[c]));
      if (lines.back().size() > kTallestRow) return blocks(titles, {rows.begin() + 1, rows.end()}, indent);
    }
  }
  bool tall = false;
  for (std::size_t r = 0; r < rows.size(); ++r) {
    std::size_t height = 0;
    for (const auto& lines : laid[r]) height = std::max(height, lines.size());
    // Rows of several lines run into each other without a blank line between.
    if (r > 1 && (tall || height > 1)) text_ += '\n';
    tall = height > 1;
    for (std::size_t l = 0; l < height; ++l) {
      std::string out = spaces(indent);
      int pad = 0;
      for (std::size_t c = 0; c < rows[r].size(); ++c) {
        const std::string cell = l < laid[r][c].size() ? laid[r][c][l] : std::string{};
        if (!cell.empty()) out += spaces(pad) + tinted(cell, rows[r][c].tint);
        pad = (cell.empty() ? pad : 0) + (*widths)[c] - display_width(cell) + kColumnGap;
      }
      text_ += out + '\n';
    }
  }
}

void Page::blocks(const std::vector<std::string>& titles, const std::vector<std::vector<Cell>>& rows,
                  int indent) {
  for (const std::vector<Cell>& row : rows) {
    if (&row != &rows.front()) blank();
    for (std::size_t c = 0; c < row.size(); ++c) {
      std::string text;
      for (const std::string& paragraph : row[c].paragraphs) {
        if (paragraph.empty()) continue;
        text += (text.empty() ? "" : "; ") + paragraph;
      }
      if (!text.empty()) line(titles[c] + ": " + text, indent + (c == 0 ? 0 : 2), 2, row[c].tint);
    }
  }
}

}  // namespace hosefit
