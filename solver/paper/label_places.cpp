// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/paper/label_places.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>

namespace hosefit {
namespace {

constexpr std::array kDistances_mm{4.0, 6.0, 9.0, 13.0, 18.0, 24.0, 32.0, 42.0, 55.0, 70.0};
constexpr int kWays = 24;
constexpr double kWordsWeigh = 1000;
constexpr double kLinesWeigh = 2;
constexpr double kFarWeighs = 0.3;
constexpr double kAround_mm = 1.0;  // white around a label
constexpr int kLeaderSamples = 24;

LabelPlace candidate(const LabelWish& wish, const Vec2& way, double distance) {
  // The box touches the ring of that distance with the point that faces the target.
  const Vec2 ring = wish.target + (wish.target_radius_mm + distance) * way;
  const Vec2 half = wish.size_mm / 2;
  const Vec2 centre = ring + Vec2(way.x() * half.x(), way.y() * half.y());
  LabelPlace place;
  place.box = Eigen::AlignedBox2d(centre - half, centre + half);
  place.leader_from = wish.target.cwiseMax(place.box.min()).cwiseMin(place.box.max());
  const Vec2 towards = place.leader_from - wish.target;
  place.leader_to = wish.target + wish.target_radius_mm * towards / std::max(1e-9, towards.norm());
  return place;
}

double shared_area(const Eigen::AlignedBox2d& a, const Eigen::AlignedBox2d& b) {
  const Eigen::AlignedBox2d both = a.intersection(b);
  return both.isEmpty() ? 0 : both.volume();
}

double covered_area(const LabelPlace& place, const Eigen::AlignedBox2d& taken) {
  return shared_area(
      {place.box.min() - Vec2::Constant(kAround_mm), place.box.max() + Vec2::Constant(kAround_mm)}, taken);
}

// How much of the leader runs through something that is not its own target.
double crossed_mm(const LabelPlace& place, const Eigen::AlignedBox2d& taken) {
  if (taken.contains(place.leader_to)) return 0;
  const Vec2 way = place.leader_from - place.leader_to;
  int within = 0;
  for (int i = 1; i <= kLeaderSamples; ++i)
    within += taken.contains(place.leader_to + i * way / kLeaderSamples) ? 1 : 0;
  return way.norm() * within / kLeaderSamples;
}

double cost_of(const LabelPlace& place, const TakenRoom& taken) {
  double cost = kFarWeighs * (place.leader_from - place.leader_to).norm();
  for (const Eigen::AlignedBox2d& box : taken.words)
    cost += kWordsWeigh * (covered_area(place, box) + crossed_mm(place, box));
  for (const Eigen::AlignedBox2d& box : taken.lines)
    cost += kLinesWeigh * covered_area(place, box) + crossed_mm(place, box);
  return cost;
}

}  // namespace

std::vector<LabelPlace> label_places(const std::vector<LabelWish>& wishes, TakenRoom taken) {
  std::vector<LabelPlace> out;
  for (const LabelWish& wish : wishes) {
    std::optional<LabelPlace> best;
    double least = 0;
    for (const double distance : kDistances_mm)
      for (int i = 0; i < kWays; ++i) {
        const double angle = std::numbers::pi / 4 + 2 * std::numbers::pi * i / kWays;  // aslant first
        const LabelPlace place = candidate(wish, {std::cos(angle), std::sin(angle)}, distance);
        const double cost = cost_of(place, taken);
        if (best && cost >= least) continue;
        best = place;
        least = cost;
      }
    taken.words.push_back(best->box);
    out.push_back(*best);
  }
  return out;
}

}  // namespace hosefit
