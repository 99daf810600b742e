// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/picture/labels.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace hosefit {
namespace {

constexpr int kDirections = 24;
constexpr std::array kReaches{2.0, 3.5, 5.5, 8.0, 11.0, 15.0, 20.0, 26.0};  // spacings from anchor to box
constexpr double kClutterCost = 60;  // spacings of leader that full cover of the gravest clutter is worth
constexpr double kAnchorCost = 25;

struct Segment {
  Vec2 a, b;
};

double cross(const Vec2& a, const Vec2& b) {
  return a.x() * b.y() - a.y() * b.x();
}
bool crosses(const Segment& s, const Segment& t) {
  const double d1 = cross(s.b - s.a, t.a - s.a), d2 = cross(s.b - s.a, t.b - s.a);
  const double d3 = cross(t.b - t.a, s.a - t.a), d4 = cross(t.b - t.a, s.b - t.a);
  return d1 * d2 < 0 && d3 * d4 < 0;
}
bool crosses(const Segment& s, const PixelBox& box) {
  // Clipped against the four sides (Liang and Barsky, ACM Trans. Graph. 3 (1984) 1).
  double from = 0, to = 1;
  const Vec2 d = s.b - s.a;
  const std::array<std::pair<double, double>, 4> sides{{{-d.x(), s.a.x() - box.left},
                                                        {d.x(), box.right - s.a.x()},
                                                        {-d.y(), s.a.y() - box.top},
                                                        {d.y(), box.bottom - s.a.y()}}};
  for (const auto& [p, q] : sides) {
    if (p == 0 && q < 0) return false;
    if (p < 0) from = std::max(from, q / p);
    if (p > 0) to = std::min(to, q / p);
  }
  return from < to;
}

PixelBox grown(const PixelBox& box, double by) {
  return {box.left - by, box.top - by, box.right + by, box.bottom + by};
}

double mean_clutter(const Clutter& clutter, const PixelBox& box) {
  if (clutter.columns == 0) return 0;
  const auto cell = [&](double px, int count) {
    return std::clamp(static_cast<int>(px / clutter.cell_px), 0, count - 1);
  };
  const int left = cell(box.left, clutter.columns), right = cell(box.right, clutter.columns);
  const int top = cell(box.top, clutter.rows), bottom = cell(box.bottom, clutter.rows);
  double sum = 0;
  for (int row = top; row <= bottom; ++row)
    for (int column = left; column <= right; ++column)
      sum += clutter.weight[static_cast<std::size_t>(row) * static_cast<std::size_t>(clutter.columns) +
                            static_cast<std::size_t>(column)];
  return sum / ((right - left + 1) * (bottom - top + 1));
}

// Whose place and leader leave the placed labels alone.
bool is_free(const PlacedLabel& label, const std::vector<PlacedLabel>& placed,
             const std::vector<PixelBox>& taken, double spacing) {
  const Segment leader{label.from_px, label.to_px};
  const PixelBox roomy = grown(label.box, 0.4 * spacing);
  for (const PixelBox& box : taken)
    if (overlap(roomy, box) || crosses(leader, box)) return false;
  for (const PlacedLabel& other : placed) {
    const Segment theirs{other.from_px, other.to_px};
    if (overlap(roomy, other.box) || crosses(leader, other.box) || crosses(theirs, roomy) ||
        crosses(leader, theirs))
      return false;
  }
  return true;
}

// The box beyond the anchor in a direction, touched by the leader at the middle of the side that faces it.
PlacedLabel candidate(const LabelWish& wish, double angle, double reach_px) {
  const Vec2 way(std::cos(angle), std::sin(angle));
  const Vec2 touch = wish.anchor_px + reach_px * way;
  PlacedLabel out;
  out.from_px = touch;
  out.to_px = wish.anchor_px + std::min(wish.clear_px, reach_px) * way;
  if (std::abs(way.x()) > 0.5) {
    out.box.left = way.x() > 0 ? touch.x() : touch.x() - wish.width_px;
    out.box.top = touch.y() - wish.height_px / 2;
  } else {
    out.box.left = touch.x() - wish.width_px / 2;
    out.box.top = way.y() > 0 ? touch.y() : touch.y() - wish.height_px;
  }
  out.box.right = out.box.left + wish.width_px;
  out.box.bottom = out.box.top + wish.height_px;
  return out;
}

}  // namespace

std::vector<PlacedLabel> place_labels(const std::vector<LabelWish>& wishes, const PixelBox& area,
                                      const std::vector<PixelBox>& taken, const Clutter& clutter,
                                      double spacing_px) {
  std::vector<PlacedLabel> placed;
  for (std::size_t w = 0; w < wishes.size(); ++w) {
    std::optional<PlacedLabel> best;
    double best_cost = 0;
    for (const double reach : kReaches)
      for (int k = 0; k < kDirections; ++k) {
        PlacedLabel label =
            candidate(wishes[w], 2 * std::numbers::pi * (k + 0.5) / kDirections, reach * spacing_px);
        label.wish = w;
        if (!holds(area, label.box) || !is_free(label, placed, taken, spacing_px)) continue;
        double cost = reach + kClutterCost * mean_clutter(clutter, label.box);
        for (std::size_t other = 0; other < wishes.size(); ++other)
          if (other != w &&
              holds(grown(label.box, spacing_px), {wishes[other].anchor_px.x(), wishes[other].anchor_px.y(),
                                                   wishes[other].anchor_px.x(), wishes[other].anchor_px.y()}))
            cost += kAnchorCost;
        if (best && cost >= best_cost) continue;
        best = label;
        best_cost = cost;
      }
    if (best) placed.push_back(*best);
  }
  return placed;
}

}  // namespace hosefit
