// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/paper/paragraph.h"

#include <algorithm>

namespace hosefit {

std::vector<std::string> broken_lines(const std::string& words, double width_mm, double height_mm,
                                      const TextWidth& width_of) {
  std::vector<std::string> lines;
  std::string line;
  std::size_t from = 0;
  while (from < words.size()) {
    const std::size_t blank = std::min(words.find(' ', from), words.size());
    const std::string word = words.substr(from, blank - from);
    std::string longer = line;
    if (!longer.empty()) longer += ' ';
    longer += word;
    if (!line.empty() && width_of(height_mm, longer) > width_mm) {
      lines.push_back(line);
      line = word;
    } else {
      line = longer;
    }
    from = blank + 1;
  }
  if (!line.empty()) lines.push_back(line);
  return lines;
}

double draw_paragraph(PdfPages& pdf, const Vec2& top, double width_mm, double height_mm,
                      const std::string& words, bool bold) {
  Vec2 at = top;
  const TextWidth width_of = [&](double height, std::string_view text) {
    return pdf.text_width_mm(height, text, bold);
  };
  for (const std::string& line : broken_lines(words, width_mm, height_mm, width_of)) {
    pdf.text(at, height_mm, line, PdfPages::Anchor::left, 0, bold);
    at.y() -= kLineStep * height_mm;
  }
  return at.y();
}

}  // namespace hosefit
