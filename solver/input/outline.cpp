// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/outline.h"

#include <fmt/format.h>

#include <algorithm>

namespace hosefit {
namespace {

constexpr double kLeastSideMm = 0.01;

double turn(const Vec2& a, const Vec2& b, const Vec2& c) {
  return (b - a).x() * (c - a).y() - (b - a).y() * (c - a).x();
}
bool in_box(const Vec2& a, const Vec2& b, const Vec2& p) {
  return p.x() >= std::min(a.x(), b.x()) && p.x() <= std::max(a.x(), b.x()) &&
         p.y() >= std::min(a.y(), b.y()) && p.y() <= std::max(a.y(), b.y());
}
int sign(double v) {
  return (v > 0) - (v < 0);
}

bool touch(const Vec2& a, const Vec2& b, const Vec2& c, const Vec2& d) {
  const int abc = sign(turn(a, b, c)), abd = sign(turn(a, b, d)), cda = sign(turn(c, d, a)),
            cdb = sign(turn(c, d, b));
  if (abc * abd < 0 && cda * cdb < 0) return true;
  return (abc == 0 && in_box(a, b, c)) || (abd == 0 && in_box(a, b, d)) || (cda == 0 && in_box(c, d, a)) ||
         (cdb == 0 && in_box(c, d, b));
}

}  // namespace

std::optional<OutlineFault> fault_of(const std::vector<Vec2>& p) {
  const std::size_t n = p.size();
  if (n < 3) return OutlineFault{0, "want at least three corners"};
  double twice_area = 0;
  for (std::size_t i = 0; i < n; ++i) {
    const Vec2& a = p[i];
    const Vec2& b = p[(i + 1) % n];
    const Vec2& c = p[(i + 2) % n];
    if ((b - a).norm() < kLeastSideMm)
      return OutlineFault{(i + 1) % n, "this corner stands twice; the outline closes by itself"};
    if (turn(a, b, c) == 0 && (b - a).dot(c - b) < 0)
      return OutlineFault{(i + 1) % n, "the outline turns back on itself at this corner"};
    twice_area += a.x() * b.y() - b.x() * a.y();
  }
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t j = i + 2; j < n; ++j)
      if (!(i == 0 && j == n - 1) && touch(p[i], p[i + 1], p[j], p[(j + 1) % n]))
        return OutlineFault{j, fmt::format("the side from this corner crosses or touches the side from "
                                           "corner {}; want an outline that does not cross itself",
                                           i)};
  if (twice_area < 0)
    return OutlineFault{0, "the outline runs clockwise; write its corners in the other order"};
  return std::nullopt;
}

}  // namespace hosefit
