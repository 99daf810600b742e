// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/clamp_proof.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <numbers>

#include "solver/verify/march.h"
#include "solver/verify/piece_measure.h"
#include "solver/verify/refusal.h"

namespace hosefit {
namespace {

constexpr int kClocks = 24;
constexpr double kBandBehindEnd_mm =
    12.0;  // bead zone 6 + 3 + a part of the band (derived, as the least engagement)
constexpr double kHousingLength_mm = 35.0;  // SAE J1508 type F envelope, second-hand
constexpr double kFar_mm = 20.0;            // more spare than this makes no clock better
constexpr double kReach_mm =
    30.0;  // from the hose's surface to the housing's far corner: hypot(20, 17.5) < 30

// One thing the housing must keep clear of.
struct Near {
  std::string name;
  double off_mm;  // required gap + radii
  double required_mm;
  Provenance provenance;
  std::function<double(const Vec3&)> distance_mm;
};

std::vector<Near> obstacles_near(const Bay& bay, const ProofBodies& bodies, const PlacedNeck& neck,
                                 const AxisBox& around, const GapTable& gaps) {
  std::vector<Near> out;
  for (std::size_t b = 0; b < bay.bodies.size(); ++b) {
    const Body& body = *bay.bodies[b].body;
    for (std::size_t o = 0; o < body.obstacles.size(); ++o) {
      const RequiredGap row =
          required_gap(gaps, Runner::clamp, neck.carrier, body.obstacles[o], body.carrier);
      const bool own =
          neck.body == b && std::find(neck.own_part.begin(), neck.own_part.end(), o) != neck.own_part.end();
      const double required = own ? 0.0 : row.gap.mm();
      if (box_distance_mm(around, bodies.box({b, o})) > required + kFar_mm) continue;
      out.push_back({body.obstacles[o].name, required + kClampRadius_mm, required, row.provenance,
                     [&bodies, b, o](const Vec3& p) {
                       return bodies.distance_mm({b, o}, p);
                     }});
    }
  }
  return out;
}

std::vector<Near> tubes_near(const Bay& bay, const BayLine& line, std::span<const Tube* const> others,
                             const AxisBox& around, const GapTable& gaps) {
  std::vector<Near> out;
  for (const Tube* tube : others) {
    const BayLine& other = bay.lines[tube->line];
    const bool same = other.carrier == line.carrier && line.carrier != LineCarrier::both;
    const GapRow& row = gaps.row(Runner::clamp, Hazard::another_hose, same);
    for (const TubeStretch& stretch : tube->stretches) {
      const double off = row.at_rest.mm() + stretch.radius_mm;
      if (box_distance_mm(around, stretch.box) > off + kFar_mm) continue;
      out.push_back({other.line.name, off + kClampRadius_mm, row.at_rest.mm(), row.provenance,
                     [piece = &stretch.piece](const Vec3& p) { return distance_mm(*piece, p); }});
    }
  }
  return out;
}

struct ClockSpare {
  double clock_rad = 0, spare_mm = -std::numeric_limits<double>::infinity();
  const Near* tightest = nullptr;
  Vec3 where_mm = Vec3::Zero();
};

ClockSpare spare_at_clock(const std::vector<Near>& near, const Piece& housing, double clock_rad,
                          double tolerance_mm, std::int64_t& queries) {
  ClockSpare clock{clock_rad, kFar_mm, nullptr, point_at(housing, 0.5 * length_mm(housing))};
  for (const Near& thing : near) {
    const auto spare = [&](double s) { return thing.distance_mm(point_at(housing, s)) - thing.off_mm; };
    const LeastSpare least = least_spare(spare, 0, length_mm(housing), {tolerance_mm, clock.spare_mm});
    queries += least.samples;
    if (least.found_mm >= clock.spare_mm) continue;
    clock.spare_mm = least.found_mm;
    clock.tightest = &thing;
    clock.where_mm = point_at(housing, least.s_mm);
  }
  return clock;
}

Finding blocked(const ClockSpare& best, const BayLine& line, const PlacedNeck& neck) {
  const double required = best.tightest->required_mm;
  Finding finding = below_limit(RuleId::clamp_blocked, Severity::stop, line.line.name,
                                required + best.spare_mm, required, FindingUnit::mm);
  finding.other = best.tightest->name;
  finding.where_mm = best.where_mm;
  finding.provenance = best.tightest->provenance;
  finding.parameters["neck"] = neck.name;
  finding.parameters["clock_deg"] = told(Angle::rad(best.clock_rad).deg(), 0);
  return finding;
}

}  // namespace

Straight clamp_housing(const PlacedNeck& neck, double outside_mm, double clock_rad) {
  const bool vertical = std::abs(neck.outward.z()) > 0.9;
  const Vec3 towards = vertical ? Vec3::UnitX() : Vec3::UnitZ();
  const Pose axes = Pose::from_axes(neck.end_mm, neck.outward, towards);
  const Vec3 radial = axes.direction({std::cos(clock_rad), std::sin(clock_rad), 0});
  const Vec3 tangential = neck.outward.cross(radial);
  const Vec3 centre =
      neck.end_mm - kBandBehindEnd_mm * neck.outward + (outside_mm / 2 + kClampRadius_mm) * radial;
  const double half = kHousingLength_mm / 2 - kClampRadius_mm;
  return {centre - half * tangential, centre + half * tangential};
}

ClampMeasured best_clamp(const Bay& bay, const ProofBodies& bodies, std::size_t line_index,
                         std::size_t neck_index, double outside_mm, std::span<const Tube* const> others,
                         const GapTable& gaps, const ProofOptions& options) {
  const BayLine& line = bay.lines[line_index];
  const PlacedNeck& neck = bay.necks[neck_index];
  const Vec3 band = neck.end_mm - kBandBehindEnd_mm * neck.outward;
  const Vec3 reach = Vec3::Constant(outside_mm / 2 + kReach_mm);
  const AxisBox around(band - reach, band + reach);
  std::vector<Near> near = obstacles_near(bay, bodies, neck, around, gaps);
  for (Near& thing : tubes_near(bay, line, others, around, gaps)) near.push_back(std::move(thing));
  ClampMeasured measured;
  ClockSpare best;
  for (int k = 0; k < kClocks; ++k) {
    const double clock = 2 * std::numbers::pi * k / kClocks;
    const ClockSpare spare = spare_at_clock(near, clamp_housing(neck, outside_mm, clock), clock,
                                            options.tolerance_mm, measured.distance_queries);
    if (spare.spare_mm > best.spare_mm) best = spare;
  }
  measured.record = {neck_index, best.clock_rad, best.spare_mm, best.tightest ? best.tightest->name : ""};
  if (best.spare_mm < -ProofOptions::kRounding_mm) measured.findings.push_back(blocked(best, line, neck));
  return measured;
}

}  // namespace hosefit
