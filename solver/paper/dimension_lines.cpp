// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/paper/dimension_lines.h"

#include <algorithm>
#include <cmath>

namespace hosefit {
namespace {

constexpr double kBeside_mm = 1.5;              // least between what stands beside each other on one level
constexpr double kTail_mm = 2 * kArrowHead_mm;  // of a dimension line beyond arrows that point inward
constexpr double kWordsUp_mm = 0.8;             // of the words above their line

bool same(const Dimension& a, const Dimension& b) {
  return std::abs(a.from - b.from) < 1e-6 && std::abs(a.to - b.to) < 1e-6 && a.words == b.words;
}

// How many extension lines of others run through a stretch of the line.
long crossings(const std::vector<Dimension>& all, const Dimension& self, double from, double to) {
  return std::count_if(all.begin(), all.end(), [&](const Dimension& other) {
    const auto inside = [&](double at) {
      const bool own = std::abs(at - self.from) < 1e-6 || std::abs(at - self.to) < 1e-6;
      return !own && at > from - kBeside_mm && at < to + kBeside_mm;
    };
    return inside(other.from) || inside(other.to);
  });
}

void place_words(const std::vector<Dimension>& all, const ViewEdge& edge, double width, DimensionLine& line) {
  const double span = line.high() - line.low();
  line.arrows_outside = span < width + 2 * kArrowHead_mm + 1;
  if (span >= width + 1) {
    line.words_from = (line.low() + line.high() - width) / 2;
    line.words_to = line.words_from + width;
    return;
  }
  const double off = kArrowHead_mm + 1;
  const double above = line.high() + off;
  const double below = line.low() - off - width;
  const bool to_high = line.dimension.to >= line.dimension.from;
  constexpr long kBeyond = 100;  // worse than any number of crossings
  const long cost_above =
      crossings(all, line.dimension, above, above + width) + (above + width > edge.high ? kBeyond : 0);
  const long cost_below =
      crossings(all, line.dimension, below, below + width) + (below < edge.low ? kBeyond : 0);
  const bool go_high = cost_above == cost_below ? to_high : cost_above < cost_below;
  line.words_from = go_high ? above : below;
  line.words_to = line.words_from + width;
}

struct Along {
  double from, to;
};
Along drawn_along(const DimensionLine& line) {
  const double tail = line.arrows_outside ? kTail_mm : 0;
  return {std::min(line.low() - tail, line.words_from), std::max(line.high() + tail, line.words_to)};
}

bool beside(const DimensionLine& a, const DimensionLine& b) {
  const Along x = drawn_along(a);
  const Along y = drawn_along(b);
  return x.to + kBeside_mm <= y.from || y.to + kBeside_mm <= x.from;
}

}  // namespace

Vec2 DimensionLine::line_from() const {
  return at(drawn_along(*this).from, across);
}
Vec2 DimensionLine::line_to() const {
  return at(drawn_along(*this).to, across);
}

Eigen::AlignedBox2d DimensionLine::words_box() const {
  const double up = is_level(side) ? 1 : -1;  // words on an upright line are read from the right
  Eigen::AlignedBox2d box(at(words_from, across + up * kWordsUp_mm));
  box.extend(at(words_to, across + up * (kWordsUp_mm + kFigure_mm)));
  return box;
}

Eigen::AlignedBox2d DimensionLine::box() const {
  Eigen::AlignedBox2d box = words_box();
  box.extend(line_from());
  box.extend(line_to());
  const double out = side == Side::above || side == Side::right ? kExtensionOver_mm : -kExtensionOver_mm;
  box.extend(at(low(), across + out));
  return box;
}

std::vector<DimensionLine> stacked(std::vector<Dimension> wanted, Side side, const ViewEdge& edge,
                                   const TextWidth& width_of) {
  std::stable_sort(wanted.begin(), wanted.end(), [](const Dimension& a, const Dimension& b) {
    return std::abs(a.to - a.from) < std::abs(b.to - b.from);
  });
  std::vector<Dimension> once;
  for (Dimension& d : wanted)
    if (std::none_of(once.begin(), once.end(), [&](const Dimension& o) { return same(o, d); }))
      once.push_back(std::move(d));
  const double out = side == Side::above || side == Side::right ? 1 : -1;
  std::vector<DimensionLine> lines;
  for (const Dimension& d : once) {
    DimensionLine line;
    line.dimension = d;
    line.side = side;
    place_words(once, edge, width_of(kFigure_mm, d.words), line);
    for (const DimensionLine& before : lines)
      if (!beside(before, line)) line.level = std::max(line.level, before.level + 1);
    line.across = edge.across + out * (kFirstLine_mm + line.level * kNextLine_mm);
    lines.push_back(std::move(line));
  }
  return lines;
}

}  // namespace hosefit
