// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/order/fittings.h"

#include <algorithm>
#include <cmath>

namespace hosefit {
namespace {

constexpr double kSpringOffClamp_mm = 5.0;
constexpr double kLeastSpring_mm = 30.0;
constexpr double kBareWanted_mm = 100.0, kShieldedWanted_mm = 60.0;
constexpr double kSleeveStep_mm = 5.0;
constexpr double kSleeveOverlap_mm = 25.0;

const Finding* finding_of(std::span<const Finding> findings, RuleId rule, const std::string& line) {
  for (const Finding& finding : findings)
    if (finding.rule == rule && finding.subject == line) return &finding;
  return nullptr;
}

const RouteSection* section_at(const Route& route, double s_mm) {
  for (const RouteSection& section : route.sections)
    if (s_mm >= section.from_s_mm && s_mm <= section.to_s_mm) return &section;
  return nullptr;
}

// Inside the couplers' reach for bent tube; everywhere for hose.
bool is_hose_at(const CutSheet& sheet, double s_mm) {
  if (sheet.route->make != Make::bent_tube) return true;
  return std::any_of(sheet.pieces.begin(), sheet.pieces.end(), [&](const CutPiece& piece) {
    return piece.kind == PieceKind::coupler && s_mm >= piece.from_s_mm && s_mm <= piece.to_s_mm;
  });
}

struct Stretch {
  double from_mm = 0, to_mm = 0, least_gap_mm = 0;
};

std::optional<Stretch> hot_stretch(const CutSheet& sheet, const PlacedBody& body, const Obstacle& exhaust,
                                   double wanted_mm) {
  const Route& route = *sheet.route;
  const double length = length_mm(route.centreline);
  const int steps = static_cast<int>(std::ceil(length / kSleeveStep_mm));
  std::optional<Stretch> out;
  for (int k = 0; k <= steps; ++k) {
    const double s_mm = std::min(length, k * kSleeveStep_mm);
    const RouteSection* section = section_at(route, s_mm);
    if (section == nullptr || !is_hose_at(sheet, s_mm)) continue;
    const Vec3 p_body_mm = body.pose.point_inverse(point_at(route.centreline, s_mm));
    const double gap_mm = signed_distance_mm(exhaust.shape, p_body_mm) - section->outside_diameter_mm / 2;
    if (gap_mm >= wanted_mm) continue;
    if (!out) out = Stretch{s_mm, s_mm, gap_mm};
    out->to_mm = s_mm;
    out->least_gap_mm = std::min(out->least_gap_mm, gap_mm);
  }
  if (!out) return out;
  out->from_mm = std::max(0.0, out->from_mm - kSleeveOverlap_mm);
  out->to_mm = std::min(length, out->to_mm + kSleeveOverlap_mm);
  return out;
}

std::optional<Stretch> recorded_stretch(const CutSheet& sheet, const LineProof* proof, ObstacleRef ref,
                                        double wanted_mm) {
  if (proof == nullptr) return std::nullopt;
  for (const GapRecord& gap : proof->gaps)
    if (gap.ref && *gap.ref == ref && gap.found_mm < wanted_mm)
      return Stretch{0, length_mm(sheet.route->centreline), gap.found_mm};
  return std::nullopt;
}

Length widest_hose(const CutSheet& sheet) {
  Length widest;
  for (const CutPiece& piece : sheet.pieces)
    if (piece.kind != PieceKind::tube && piece.kind != PieceKind::joiner)
      widest = std::max(widest, piece.outside);
  return widest;
}

}  // namespace

std::vector<Spring> springs_for(const CutSheet& sheet, const Line& line, std::span<const Finding> findings) {
  std::vector<Spring> springs;
  if (finding_of(findings, RuleId::suction_collapse, line.name) == nullptr) return springs;
  for (std::size_t i = 0; i < sheet.pieces.size(); ++i) {
    const CutPiece& piece = sheet.pieces[i];
    if (piece.kind != PieceKind::straight && piece.kind != PieceKind::elbow &&
        piece.kind != PieceKind::moulded)
      continue;
    const double free_mm = (piece.cut - piece.push_from - piece.push_to).mm() - 2 * kSpringOffClamp_mm;
    if (free_mm >= kLeastSpring_mm) springs.push_back({i, piece.bore, Length::mm(free_mm)});
  }
  return springs;
}

std::vector<Sleeve> sleeves_for(const CutSheet& sheet, const Bay& bay, const LineProof* proof) {
  std::vector<Sleeve> sleeves;
  for (std::size_t b = 0; b < bay.bodies.size(); ++b) {
    const PlacedBody& body = bay.bodies[b];
    for (std::size_t o = 0; o < body.body->obstacles.size(); ++o) {
      const Obstacle& exhaust = body.body->obstacles[o];
      const bool shielded = exhaust.hazard == Hazard::shielded_exhaust;
      if (!shielded && exhaust.hazard != Hazard::bare_exhaust) continue;
      const double wanted_mm = shielded ? kShieldedWanted_mm : kBareWanted_mm;
      const auto stretch = has_closed_form(exhaust.shape) ? hot_stretch(sheet, body, exhaust, wanted_mm)
                                                          : recorded_stretch(sheet, proof, {b, o}, wanted_mm);
      if (stretch)
        sleeves.push_back({exhaust.name, shielded, Length::mm(stretch->least_gap_mm), Length::mm(wanted_mm),
                           Length::mm(stretch->from_mm), Length::mm(stretch->to_mm), widest_hose(sheet)});
    }
  }
  return sleeves;
}

std::vector<Clip> clips_for(const Bay& bay, std::span<const ClipPlace> places) {
  std::vector<Clip> clips;
  for (const ClipPlace& place : places)
    clips.push_back({Length::mm(place.s_mm), Length::mm(place.outside_diameter_mm), place.carrier,
                     place.to ? obstacle(bay, *place.to).name : std::string{},
                     Length::mm(std::max(0.0, place.reach_mm))});
  return clips;
}

}  // namespace hosefit
