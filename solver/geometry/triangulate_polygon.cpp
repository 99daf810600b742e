// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/geometry/triangulate_polygon.h"

#include <cassert>
#include <numeric>

namespace hosefit {
namespace {

double twice_area(const Vec2& a, const Vec2& b, const Vec2& c) {
  return (b - a).x() * (c - a).y() - (b - a).y() * (c - a).x();
}

// Corners at the same place as one of the triangle's own do not block it.
bool blocks(const Vec2& p, const Vec2& a, const Vec2& b, const Vec2& c) {
  if (p == a || p == b || p == c) return false;
  return twice_area(a, b, p) >= 0 && twice_area(b, c, p) >= 0 && twice_area(c, a, p) >= 0;
}

bool is_ear(const std::vector<Vec2>& outline, const std::vector<std::uint32_t>& left, std::size_t k) {
  const std::size_t n = left.size();
  const Vec2& a = outline[left[(k + n - 1) % n]];
  const Vec2& b = outline[left[k]];
  const Vec2& c = outline[left[(k + 1) % n]];
  if (twice_area(a, b, c) <= 0) return false;
  for (const std::uint32_t i : left)
    if (blocks(outline[i], a, b, c)) return false;
  return true;
}

// The corner whose triangle is flattest: what is left when rounding, or corners in a row, hide every ear.
std::size_t flattest(const std::vector<Vec2>& outline, const std::vector<std::uint32_t>& left) {
  const std::size_t n = left.size();
  std::size_t best = 0;
  double least = -1;
  for (std::size_t k = 0; k < n; ++k) {
    const double area =
        std::abs(twice_area(outline[left[(k + n - 1) % n]], outline[left[k]], outline[left[(k + 1) % n]]));
    if (least >= 0 && area >= least) continue;
    least = area;
    best = k;
  }
  return best;
}

}  // namespace

std::vector<std::array<std::uint32_t, 3>> triangulate_polygon(const std::vector<Vec2>& outline) {
  assert(outline.size() >= 3);
  std::vector<std::uint32_t> left(outline.size());
  std::iota(left.begin(), left.end(), 0U);
  std::vector<std::array<std::uint32_t, 3>> triangles;
  while (left.size() > 3) {
    std::size_t ear = 0;
    while (ear < left.size() && !is_ear(outline, left, ear)) ++ear;
    if (ear == left.size()) ear = flattest(outline, left);
    const std::size_t n = left.size();
    triangles.push_back({left[(ear + n - 1) % n], left[ear], left[(ear + 1) % n]});
    left.erase(left.begin() + static_cast<std::ptrdiff_t>(ear));
  }
  triangles.push_back({left[0], left[1], left[2]});
  return triangles;
}

}  // namespace hosefit
