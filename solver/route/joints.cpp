// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/joints.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>

namespace hosefit {
namespace {

constexpr double kHalfJoiner_mm = kLeastJoined_mm / 2;
constexpr double kJoinerOffNeck_mm = 2.0;  // so that joiner and neck do not touch inside the hose

/// Places of joiners on one straight, from its start.
struct Straightway {
  std::vector<double> joiners_mm;
};

// Straight part of a leg as sold, behind the bend.
double leg_straight(const Stock& stock, double angle_rad) {
  return stock.leg.mm() - stock.radii.front().mm() * std::tan(angle_rad / 2);
}

// From a neck to the first arc: one leg, or straight hose, joiner, leg.
std::optional<Straightway> at_neck(double straight, double engagement, double leg) {
  if (straight + engagement <= leg) return Straightway{};
  const double joiner = std::max(kHalfJoiner_mm + kJoinerOffNeck_mm, straight - leg + kJoinerGap_mm / 2);
  if (straight - joiner < kHalfJoiner_mm) return std::nullopt;
  return Straightway{{joiner}};
}

// Between two arcs: leg, joiner, leg; or leg, joiner, straight hose, joiner, leg.
std::optional<Straightway> between(double straight, double leg_before, double leg_after) {
  const double half_gap = kJoinerGap_mm / 2;
  const double latest = std::min(leg_before + half_gap, straight - kHalfJoiner_mm);
  const double earliest = std::max(kHalfJoiner_mm, straight - leg_after - half_gap);
  if (earliest <= latest) return Straightway{{(earliest + latest) / 2}};
  if (straight < 2 * kLeastJoined_mm + kJoinerGap_mm) return std::nullopt;
  const double first =
      std::min(leg_before + half_gap, kHalfJoiner_mm + (straight - 2 * kLeastJoined_mm - kJoinerGap_mm) / 2);
  const double second = straight - std::min(leg_after + half_gap, first);
  if (first < kHalfJoiner_mm || straight - second < kHalfJoiner_mm ||
      second - first < kLeastJoined_mm + kJoinerGap_mm)
    return std::nullopt;
  return Straightway{{first, second}};
}

std::optional<std::vector<Straightway>> straightways(const Stock& stock, const BendRules& rules,
                                                     const ElbowChain& chain) {
  assert(chain.straights_mm.size() == chain.angles_rad.size() + 1);
  std::vector<Straightway> out;
  const std::size_t n = chain.angles_rad.size();
  for (std::size_t i = 0; i <= n; ++i) {
    const double straight = chain.straights_mm[i];
    if (straight < 0) return std::nullopt;
    std::optional<Straightway> way;
    if (i == 0) {
      way = at_neck(straight, rules.engagement_from_mm, leg_straight(stock, chain.angles_rad.front()));
    } else if (i == n) {
      way = at_neck(straight, rules.engagement_to_mm, leg_straight(stock, chain.angles_rad.back()));
      if (way && !way->joiners_mm.empty()) way->joiners_mm.front() = straight - way->joiners_mm.front();
    } else {
      way = between(straight, leg_straight(stock, chain.angles_rad[i - 1]),
                    leg_straight(stock, chain.angles_rad[i]));
    }
    if (!way) return std::nullopt;
    out.push_back(*way);
  }
  return out;
}

std::vector<double> turns_of(const BendTable& table) {
  std::vector<double> turns;
  for (const BendRow& row : table.rows) turns.push_back(row.rotate_rad);
  return turns;
}

Assembly with_least_engagement(const BendRules& rules) {
  Assembly assembly;
  assembly.engagement_from_mm = rules.engagement_from_mm;
  assembly.engagement_to_mm = rules.engagement_to_mm;
  return assembly;
}

Assembly elbows(const Stock& stock, const BendRules& rules, const Centreline& centreline) {
  const BendTable table = bend_table(centreline);
  ElbowChain chain;
  for (const BendRow& row : table.rows) {
    chain.straights_mm.push_back(row.feed_mm);
    chain.angles_rad.push_back(row.bend_rad);
  }
  chain.straights_mm.push_back(table.last_straight_mm);
  const std::optional<std::vector<Straightway>> ways = straightways(stock, rules, chain);
  assert(ways);
  const std::vector<double> turns = turns_of(table);

  Assembly assembly = with_least_engagement(rules);
  double cut_from = -rules.engagement_from_mm;
  double at = 0;
  std::optional<std::size_t> elbow;
  const auto close_piece = [&](double to) {
    StockPiece piece{stock.id, "straight hose", to - cut_from, 0, std::nullopt};
    if (elbow) {
      piece.what = fmt::format("elbow {:.0f} deg", Angle::rad(chain.angles_rad[*elbow]).deg());
      if (*elbow > 0) piece.clock_rad = turns[*elbow];
    }
    assembly.pieces.push_back(piece);
    elbow.reset();
  };
  for (std::size_t i = 0; i < ways->size(); ++i) {
    for (const double joiner : (*ways)[i].joiners_mm) {
      close_piece(at + joiner - kJoinerGap_mm / 2);
      assembly.pieces.push_back({"joiner", "joiner", kLeastJoined_mm, 0, std::nullopt});
      assembly.joints += 2;
      cut_from = at + joiner + kJoinerGap_mm / 2;
    }
    at += chain.straights_mm[i];
    if (i < chain.angles_rad.size()) {
      elbow = i;
      at += chain.angles_rad[i] * stock.radii.front().mm();
    }
  }
  close_piece(at + rules.engagement_to_mm);
  return assembly;
}

Assembly tube(const Stock& stock, const BendRules& rules, double length) {
  Assembly assembly = with_least_engagement(rules);
  const double gap = stock.coupler_gap.mm();
  const double coupler = gap + stock.cuff.mm();
  const double coupler_od = rules.lead_outside_diameter_mm;
  assembly.joints = 4;
  assembly.pieces = {{stock.id, "coupler", rules.engagement_from_mm + coupler, 0, std::nullopt},
                     {stock.id, "tube", length - 2 * gap, 0, std::nullopt},
                     {stock.id, "coupler", coupler + rules.engagement_to_mm, 0, std::nullopt}};
  assembly.sections = {{0, coupler, coupler_od, Runner::hose},
                       {coupler, length - coupler, stock.outside_diameter.mm(), Runner::hose},
                       {length - coupler, length, coupler_od, Runner::hose}};
  return assembly;
}

// One hose from neck to neck; pushed further over the necks where the length on sale asks for it.
Assembly one_hose(const Stock& stock, BendRules rules, double length) {
  Assembly assembly;
  const LengthWindow* window = window_of(rules, length);
  double bought = window ? window->bought_mm : 0;
  double cut = length + rules.engagement_from_mm + rules.engagement_to_mm;
  if (stock.make == Make::corrugated_hose && window) {
    double short_by = window->bought_mm - 2 * stock.cuff_trim.mm() - cut;
    const double more_from =
        std::clamp(short_by, 0.0, rules.most_engagement_from_mm - rules.engagement_from_mm);
    const double more_to =
        std::clamp(short_by - more_from, 0.0, rules.most_engagement_to_mm - rules.engagement_to_mm);
    rules.engagement_from_mm += more_from;
    rules.engagement_to_mm += more_to;
    cut += more_from + more_to;
  }
  if (stock.make == Make::straight_hose)  // the shortest stick that is long enough
    for (const Length stick : stock.lengths)
      if (stick.mm() >= cut && stick.mm() < bought) bought = stick.mm();
  const char* what = stock.make == Make::corrugated_hose ? "corrugated hose"
                     : stock.make == Make::moulded_shape ? "moulded shape"
                                                         : "straight hose";
  assembly.pieces = {{stock.id, what, cut, bought, std::nullopt}};
  assembly.engagement_from_mm = rules.engagement_from_mm;
  assembly.engagement_to_mm = rules.engagement_to_mm;
  return assembly;
}

}  // namespace

std::optional<int> joiners_needed(const Stock& stock, const BendRules& rules, const ElbowChain& chain) {
  const std::optional<std::vector<Straightway>> ways = straightways(stock, rules, chain);
  if (!ways) return std::nullopt;
  std::size_t joiners = 0;
  for (const Straightway& way : *ways) joiners += way.joiners_mm.size();
  return static_cast<int>(joiners);
}

Assembly assembly_of(const Stock& stock, const BendRules& rules, const Centreline& centreline) {
  const double length = length_mm(centreline);
  Assembly assembly;
  switch (stock.make) {
    case Make::bent_tube:
      assembly = tube(stock, rules, length);
      break;
    case Make::elbows_and_straights:
      assembly = elbows(stock, rules, centreline);
      break;
    case Make::straight_hose:
    case Make::corrugated_hose:
    case Make::moulded_shape:
      assembly = one_hose(stock, rules, length);
      break;
  }
  if (assembly.sections.empty()) assembly.sections = {{0, length, rules.outside_diameter_mm, Runner::hose}};
  return assembly;
}

}  // namespace hosefit
