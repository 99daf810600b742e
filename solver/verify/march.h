// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <functional>
#include <limits>
#include <vector>

namespace hosefit {

/// What is known of the least value of a function along a stretch.
struct LeastSpare {
  double found_mm = std::numeric_limits<double>::infinity();   ///< least value measured
  double proved_mm = std::numeric_limits<double>::infinity();  ///< no value anywhere is below this
  double s_mm = 0;                                             ///< where the least value was measured
  std::int64_t samples = 0;
};

struct MarchLimits {
  double tolerance_mm = 0.05;
  double stop_above_mm = std::numeric_limits<double>::infinity();  ///< values above this do not matter
};

/// Least value of a spare gap that changes by at most 1 mm per mm of s, from `from_mm` to `to_mm`: the
/// interval with the lowest bound is halved (S. A. Piyavskii, USSR Comput. Math. Math. Phys. 12 (1972) 57; B.
/// O. Shubert, SIAM J. Numer. Anal. 9 (1972) 379) until found - proved <= max(tolerance, |found| / 10) or
/// proved >= stop_above. So with found >= 0 every value is at least -tolerance, which is what a proof needs;
/// wide gaps cost little. Not-a-number counts as minus infinity.
template <class Spare>
LeastSpare least_spare(const Spare& spare_at, double from_mm, double to_mm, const MarchLimits& limits) {
  struct Interval {
    double bound, from, to, at_from, at_to;
    bool operator<(const Interval& o) const { return bound > o.bound; }
  };
  LeastSpare least;
  const auto measure = [&](double s) {
    double value = spare_at(s);
    if (std::isnan(value)) value = -std::numeric_limits<double>::infinity();
    ++least.samples;
    if (value < least.found_mm) {
      least.found_mm = value;
      least.s_mm = s;
    }
    return value;
  };
  std::vector<Interval> open;
  const auto add = [&](double from, double to, double at_from, double at_to) {
    const double bound = std::min({at_from, at_to, 0.5 * (at_from + at_to - (to - from))});
    open.push_back({bound, from, to, at_from, at_to});
    std::push_heap(open.begin(), open.end());
  };
  const double at_from = measure(from_mm);
  add(from_mm, to_mm, at_from, measure(to_mm));
  while (true) {
    const Interval lowest = open.front();
    least.proved_mm = lowest.bound;
    const double slack = std::max(limits.tolerance_mm, 0.1 * std::abs(least.found_mm));
    if (lowest.bound >= limits.stop_above_mm || !(least.found_mm - lowest.bound > slack)) return least;
    std::pop_heap(open.begin(), open.end());
    open.pop_back();
    const double middle = 0.5 * (lowest.from + lowest.to);
    const double at_middle = measure(middle);
    add(lowest.from, middle, lowest.at_from, at_middle);
    add(middle, lowest.to, at_middle, lowest.at_to);
  }
}

}  // namespace hosefit
