// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/tube.h"

#include <algorithm>

#include "solver/verify/piece_measure.h"

namespace hosefit {
namespace {

constexpr double kNoLength_mm = 1e-9;  // shorter stretches are rounding of section and lead boundaries

bool is_on_tee(const Bay& bay, std::size_t neck) {
  return bay.tee && neck >= bay.tee->neck;
}

void mark_on_tee(const Bay& bay, const BayLine& line, Tube& tube) {
  const auto of = [](OwnPart own) {
    return own == OwnPart::does_not_count   ? OnTee::over
           : own == OwnPart::must_not_touch ? OnTee::lead
                                            : OnTee::no;
  };
  for (TubeStretch& stretch : tube.stretches) {
    if (is_on_tee(bay, line.from)) stretch.on_tee = of(stretch.own_from);
    if (is_on_tee(bay, line.to)) stretch.on_tee = of(stretch.own_to);
  }
}

TubeStretch over_neck(const PlacedNeck& neck, double engagement_mm, double outside_mm, double from_s_mm,
                      bool at_start) {
  TubeStretch stretch;
  const Vec3 hose_end = neck.end_mm - engagement_mm * neck.outward;
  stretch.piece = at_start ? Straight{hose_end, neck.end_mm} : Straight{neck.end_mm, hose_end};
  stretch.from_s_mm = from_s_mm;
  stretch.to_s_mm = from_s_mm + engagement_mm;
  stretch.radius_mm = outside_mm / 2;
  (at_start ? stretch.own_from : stretch.own_to) = OwnPart::does_not_count;
  stretch.over_neck = true;
  stretch.box = bounds(stretch.piece);
  return stretch;
}

std::vector<double> boundaries(const Route& route, double length_mm, double lead_from_mm, double lead_to_mm) {
  std::vector<double> s{0, length_mm, lead_from_mm, length_mm - lead_to_mm};
  double at = 0;
  for (const Piece& piece : route.centreline.pieces) s.push_back(at += hosefit::length_mm(piece));
  for (const RouteSection& section : route.sections) {
    s.push_back(section.from_s_mm);
    s.push_back(section.to_s_mm);
  }
  for (double& value : s) value = std::clamp(value, 0.0, length_mm);
  std::sort(s.begin(), s.end());
  return s;
}

}  // namespace

const PlacedNeck& from_neck(const Bay& bay, const Route& route) {
  return bay.necks[bay.lines[route.line].from];
}
const PlacedNeck& to_neck(const Bay& bay, const Route& route) {
  return bay.necks[bay.lines[route.line].to];
}

const Stock* stock_of(const Route& route, std::span<const Stock> stock) {
  const auto it =
      std::find_if(stock.begin(), stock.end(), [&](const Stock& s) { return s.id == route.stock; });
  return it == stock.end() ? nullptr : &*it;
}

double outside_over_neck_mm(const Route& route, const Stock* stock, bool at_start) {
  const RouteSection& section = at_start ? route.sections.front() : route.sections.back();
  double outside = section.outside_diameter_mm;
  if (stock) outside = std::max({outside, stock->outside_diameter.mm(), stock->coupler_outside.mm()});
  return outside;
}

Tube tube_of(const Bay& bay, const Route& route, const Stock* stock) {
  const PlacedNeck& from = from_neck(bay, route);
  const PlacedNeck& to = to_neck(bay, route);
  const double length = length_mm(route.centreline);
  const double lead_from = stock ? least_lead_mm(*stock, from.outside_diameter) : 0;
  const double lead_to = stock ? least_lead_mm(*stock, to.outside_diameter) : 0;
  Tube tube;
  tube.line = route.line;
  if (route.engagement_from_mm > 0)
    tube.stretches.push_back(over_neck(from, route.engagement_from_mm,
                                       outside_over_neck_mm(route, stock, true), -route.engagement_from_mm,
                                       true));
  const std::vector<double> cuts = boundaries(route, length, lead_from, lead_to);
  std::size_t piece = 0, section = 0;
  double piece_from = 0;
  for (std::size_t i = 0; i + 1 < cuts.size(); ++i) {
    if (cuts[i + 1] - cuts[i] <= kNoLength_mm) continue;
    const double middle = 0.5 * (cuts[i] + cuts[i + 1]);
    while (piece + 1 < route.centreline.pieces.size() &&
           middle > piece_from + length_mm(route.centreline.pieces[piece]))
      piece_from += length_mm(route.centreline.pieces[piece++]);
    while (middle > route.sections[section].to_s_mm && section + 1 < route.sections.size()) ++section;
    TubeStretch stretch;
    const double piece_length = length_mm(route.centreline.pieces[piece]);
    stretch.piece = cut(route.centreline.pieces[piece], std::max(0.0, cuts[i] - piece_from),
                        std::min(piece_length, cuts[i + 1] - piece_from));
    stretch.from_s_mm = cuts[i];
    stretch.to_s_mm = cuts[i + 1];
    stretch.radius_mm = route.sections[section].outside_diameter_mm / 2;
    stretch.runner = route.sections[section].runner;
    if (middle < lead_from) stretch.own_from = OwnPart::must_not_touch;
    if (middle > length - lead_to) stretch.own_to = OwnPart::must_not_touch;
    stretch.box = bounds(stretch.piece);
    tube.stretches.push_back(stretch);
  }
  if (route.engagement_to_mm > 0)
    tube.stretches.push_back(
        over_neck(to, route.engagement_to_mm, outside_over_neck_mm(route, stock, false), length, false));
  mark_on_tee(bay, bay.lines[route.line], tube);
  return tube;
}

}  // namespace hosefit
