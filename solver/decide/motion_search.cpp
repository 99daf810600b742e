// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/motion_search.h"

#include <algorithm>

#include "solver/decide/motion.h"
#include "solver/route/joints.h"

namespace hosefit {
namespace {

constexpr int kAskedPerMake = 4;
constexpr double kMoreLength_share = 0.03;  // to bend with, besides what is missing outright
constexpr double kWider = 1.3;  // the elastic shape has tighter places than the arcs planned for it
constexpr double kMoreReserve_mm = 2.0;
constexpr double kMostReserve_mm = 40.0;

bool has(const std::vector<Finding>& findings, RuleId rule) {
  return std::any_of(findings.begin(), findings.end(), [&](const Finding& f) { return f.rule == rule; });
}

double missing_mm(const Finding& finding) {
  return finding.unit == FindingUnit::mm ? std::max(0.0, -finding.margin.value_or(0.0)) : 0.0;
}

}  // namespace

bool MotionWishes::ask(const Route& route, const MotionLine& motion) {
  LineWish& wish = wishes_[route.line];
  Asked& asked = lines_[route.line];
  if (has(motion.findings, RuleId::motion_coupler) || asked.of_this_make >= kAskedPerMake) {
    std::vector<Make> without = wish.without;
    if (std::find(without.begin(), without.end(), route.make) != without.end())
      return false;  // no other does
    without.push_back(route.make);
    const std::vector<Make>& makes = bay_.lines[route.line].line.makes;
    const bool any_left = std::any_of(makes.begin(), makes.end(), [&](Make make) {
      return std::find(without.begin(), without.end(), make) == without.end();
    });
    if (!any_left) return false;
    wish = LineWish{std::move(without)};
    asked.of_this_make = 0;
    return true;
  }
  ++asked.of_this_make;
  // Of the same make first: elbows hold nearly always, at the price of their joints.
  wish.few_joints = route.joints <= kFewJoints;
  const double length = length_mm(route.centreline);
  double too_near = 0;
  for (const Finding& finding : motion.findings) {
    if (!is_of_its_own(finding)) continue;
    if (finding.rule == RuleId::motion_gap) {
      too_near = std::max(too_near, missing_mm(finding) + kMoreReserve_mm);
      continue;
    }
    const double short_by = finding.rule == RuleId::motion_shape ? missing_mm(finding) : 0.0;
    wish.least_length_mm = std::max(wish.least_length_mm, length + short_by + kMoreLength_share * length);
    if (short_by == 0) wish.radius_factor *= kWider;
  }
  wish.more_reserve_mm = std::min(wish.more_reserve_mm + too_near, kMostReserve_mm);
  return true;
}

std::vector<std::size_t> MotionWishes::next(std::span<const Route> routes,
                                            std::span<const MotionLine> motion) {
  std::vector<std::size_t> again;
  for (std::size_t i = 0; i < routes.size(); ++i) {
    const std::vector<Finding>& findings = motion[i].findings;
    if (motion[i].proved || std::none_of(findings.begin(), findings.end(), is_of_its_own)) continue;
    if (ask(routes[i], motion[i])) again.push_back(routes[i].line);
  }
  return again;
}

}  // namespace hosefit
