// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/bend_rules.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace hosefit {
namespace {

// Its bends are what they are moulded to: the shapes say it, not these rules. Their tightest radius is what
// an argument about room may use. No length is left out: how long shapes are is no argument about passages.
void leave_bends_to_shapes(const Stock& stock, BendRules& rules) {
  rules.radii_mm = {least_radius(stock).mm()};
  rules.most_bend_rad = std::numbers::pi;
  rules.most_bends = 0;
  for (const MouldedShape& shape : stock.shapes)
    rules.most_bends = std::max(rules.most_bends, static_cast<int>(shape.radii.size()));
}

double engagement_room_mm(const PlacedNeck& neck) {
  return std::max(least_engagement_mm(neck.outside_diameter), neck.straight.mm());
}

}  // namespace

BendRules bend_rules(const Stock& stock, const PlacedNeck& from, const PlacedNeck& to) {
  BendRules rules;
  const bool tube = stock.make == Make::bent_tube;
  rules.make = stock.make;
  rules.outside_diameter_mm = stock.outside_diameter.mm();
  rules.lead_outside_diameter_mm = tube ? stock.coupler_outside.mm() : stock.outside_diameter.mm();
  for (const Length radius : stock.radii) rules.radii_mm.push_back(radius.mm());
  rules.radius_is_least = stock.make == Make::straight_hose || stock.make == Make::corrugated_hose;
  for (const Angle angle : stock.angles) rules.angles_rad.push_back(angle.rad());
  rules.most_bend_rad = std::min(stock.most_bend.rad(), kMostBendOfChain_rad);
  rules.lead_from_mm = least_lead_mm(stock, from.outside_diameter);
  rules.lead_to_mm = least_lead_mm(stock, to.outside_diameter);
  rules.straight_between_mm = stock.straight_between.mm();
  rules.engagement_from_mm = least_engagement_mm(from.outside_diameter);
  rules.engagement_to_mm = least_engagement_mm(to.outside_diameter);
  rules.most_engagement_from_mm = engagement_room_mm(from);
  rules.most_engagement_to_mm = engagement_room_mm(to);
  if (stock.make == Make::moulded_shape) leave_bends_to_shapes(stock, rules);
  const double engaged = rules.engagement_from_mm + rules.engagement_to_mm;
  const double most_engaged = rules.most_engagement_from_mm + rules.most_engagement_to_mm;
  if (stock.make == Make::corrugated_hose)
    for (const Length length : stock.lengths)
      rules.windows.push_back(
          {length.mm(), length.mm() - 2 * stock.cuff_trim.mm() - most_engaged, length.mm() - engaged});
  if (stock.make == Make::straight_hose && !stock.lengths.empty()) {
    const double longest = stock.lengths.back().mm();
    rules.windows.push_back({longest, 0.0, longest - engaged});
  }
  if (!rules.windows.empty()) {
    rules.least_length_mm = rules.windows.front().least_mm;
    rules.most_length_mm = rules.windows.back().most_mm;
  }
  return rules;
}

const LengthWindow* window_of(const BendRules& rules, double length_mm) {
  for (const LengthWindow& window : rules.windows)
    if (length_mm >= window.least_mm && length_mm <= window.most_mm) return &window;
  return nullptr;
}

}  // namespace hosefit
