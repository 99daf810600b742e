// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/order/reducers.h"

#include <algorithm>
#include <cmath>

namespace hosefit {
namespace {

constexpr double kSameDiameter_mm = 0.5;  // as the loosest grip that holds

NeckGrip grip(Length outside, Length bore) {
  PlacedNeck neck;
  neck.outside_diameter = outside;
  return neck_match(neck, bore).grip;
}
bool good(Length outside, Length bore) {
  return grip(outside, bore) == NeckGrip::good;
}
bool goes_on(Length outside, Length bore) {
  return good(outside, bore) || grip(outside, bore) == NeckGrip::tight;
}

bool matches(const Reducer& reducer, Length wide, Length narrow) {
  if (reducer.kind == ReducerKind::reducing_hose)
    return good(wide, reducer.wide) && good(narrow, reducer.narrow);
  return std::abs((reducer.wide - wide).mm()) <= kSameDiameter_mm &&
         std::abs((reducer.narrow - narrow).mm()) <= kSameDiameter_mm;
}

ReducerNeed need_of(const Job& job, Length from, Length to) {
  ReducerNeed need{from, to, std::nullopt};
  const Length wide = std::max(from, to), narrow = std::min(from, to);
  const auto off_mm = [&](const Reducer& r) {
    return std::abs((r.wide - wide).mm()) + std::abs((r.narrow - narrow).mm());
  };
  for (const Reducer& reducer : job.reducers)
    if (matches(reducer, wide, narrow) && (!need.item || off_mm(reducer) < off_mm(*need.item)))
      need.item = reducer;
  return need;
}

}  // namespace

std::vector<ReducerNeed> reducers_for(const Job& job, const Bay& bay, std::size_t line) {
  const BayLine& wanted = bay.lines[line];
  const Length from = bay.necks[wanted.from].outside_diameter, to = bay.necks[wanted.to].outside_diameter;
  std::vector<ReducerNeed> needs;
  if (wanted.line.stock) {
    for (const Stock& stock : job.stock) {
      if (stock.id != *wanted.line.stock) continue;
      if (!goes_on(from, stock.bore)) needs.push_back(need_of(job, from, stock.bore));
      if (!goes_on(to, stock.bore)) needs.push_back(need_of(job, stock.bore, to));
    }
    return needs;
  }
  const bool one_suits_both = std::any_of(job.stock.begin(), job.stock.end(), [&](const Stock& stock) {
    const std::vector<Make>& makes = wanted.line.makes;
    return std::find(makes.begin(), makes.end(), stock.make) != makes.end() && good(from, stock.bore) &&
           good(to, stock.bore);
  });
  // Necks of one diameter that nothing on file suits want other hose, not a reducer.
  const bool differ = std::abs((from - to).mm()) > kSameDiameter_mm;
  if (!one_suits_both && differ) needs.push_back(need_of(job, from, to));
  return needs;
}

}  // namespace hosefit
