// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "solver/input/load_job.h"

namespace hosefit {
namespace {

constexpr std::size_t kWindow =
    110;  // of an offending line that is shown; wider lines wrap and lose the caret

bool continues(std::string_view text, std::size_t at) {
  return at < text.size() && (static_cast<unsigned char>(text[at]) & 0xC0) == 0x80;
}

std::size_t letters(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(
      text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

// The offending line with a caret; a long line is cut to the part around the place.
std::string excerpt(const Problem& problem) {
  const std::string& line = problem.line_text;
  const std::size_t column =
      problem.place.column > 0 ? static_cast<std::size_t>(problem.place.column - 1) : 0;
  if (column > line.size()) return fmt::format("    {}\n", line.substr(0, kWindow));
  std::size_t from = column > kWindow / 2 && line.size() > kWindow ? column - kWindow / 2 : 0;
  while (from < column && continues(line, from)) ++from;
  std::size_t to = std::min(line.size(), from + kWindow);
  while (to < line.size() && continues(line, to)) ++to;
  const std::string_view before = std::string_view(line).substr(from, column - from);
  return fmt::format("    {}\n    {}^\n", line.substr(from, to - from), std::string(letters(before), ' '));
}

}  // namespace

std::string format_problems(const Problems& problems) {
  std::string out;
  for (const Problem& p : problems) {
    out += p.place.file;
    if (p.place.line > 0) out += fmt::format(":{}:{}", p.place.line, p.place.column);
    out += ": ";
    if (!p.path.empty()) out += p.path + ": ";
    out += p.text + "\n";
    if (p.place.line > 0 && !p.line_text.empty()) out += excerpt(p);
  }
  return out;
}

}  // namespace hosefit
