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
#include "solver/verify/unseen_space.h"

namespace hosefit {
namespace {

constexpr int kClocks = 24;
constexpr double kHousingLength_mm = 35.0;  // SAE J1508 type F envelope, second-hand
constexpr double kFar_mm = 20.0;            // more spare than this makes no clock better
constexpr double kReach_mm =
    30.0;  // from the hose's surface to the housing's far corner: hypot(20, 17.5) < 30
constexpr double kOwnHose_mm = 30.0;  // to either side of a clamp its own hose does not count

// One thing the housing must keep clear of.
struct Near {
  std::string name;
  double off_mm;  // required gap + radii
  double required_mm;
  Provenance provenance;
  std::function<double(const Vec3&)> distance_mm;
  bool only_touch = false;  // more room from it than that makes no clock better
};

RequiredGap required_of(const ClampQuestion& asked, const ClampSeat& seat, const Obstacle& obstacle,
                        Carrier on) {
  if (seat.neck)
    return required_gap(asked.gaps, Runner::clamp, asked.bay.necks[*seat.neck].carrier, obstacle, on);
  return required_gap(asked.gaps, Runner::clamp, asked.bay.lines[asked.own.line].carrier, obstacle, on);
}

bool must_only_not_touch(const ClampQuestion& asked, const ClampSeat& seat, ObstacleRef ref) {
  const BayLine& line = asked.bay.lines[asked.own.line];
  if (seat.neck) return is_own_part(asked.bay.necks[*seat.neck], ref);
  const double length = asked.own.stretches.back().over_neck ? asked.own.stretches.back().from_s_mm
                                                             : asked.own.stretches.back().to_s_mm;
  return (seat.s_mm < asked.lead_from_mm && is_own_part(asked.bay.necks[line.from], ref)) ||
         (seat.s_mm > length - asked.lead_to_mm && is_own_part(asked.bay.necks[line.to], ref));
}

void add_obstacles(const ClampQuestion& asked, const ClampSeat& seat, const AxisBox& around,
                   std::vector<Near>& out) {
  for (std::size_t b = 0; b < asked.bay.bodies.size(); ++b) {
    const Body& body = *asked.bay.bodies[b].body;
    for (std::size_t o = 0; o < body.obstacles.size(); ++o) {
      const RequiredGap row = required_of(asked, seat, body.obstacles[o], body.carrier);
      const double required = must_only_not_touch(asked, seat, {b, o}) ? 0.0 : row.gap.mm();
      if (box_distance_mm(around, asked.bodies.box({b, o})) > required + kFar_mm) continue;
      out.push_back({body.obstacles[o].name, required + kClampRadius_mm, required, row.provenance,
                     [&bodies = asked.bodies, b, o](const Vec3& p) {
                       return bodies.distance_mm({b, o}, p);
                     }});
    }
  }
}

const GapRow& row_between(const ClampQuestion& asked, std::size_t other) {
  const LineCarrier here = asked.bay.lines[asked.own.line].carrier;
  const bool same = asked.bay.lines[other].carrier == here && here != LineCarrier::both;
  return asked.gaps.row(Runner::clamp, Hazard::another_hose, same);
}

void add_lines(const ClampQuestion& asked, const AxisBox& around, std::vector<Near>& out) {
  for (const Tube* tube : asked.others) {
    const GapRow& row = row_between(asked, tube->line);
    for (const TubeStretch& stretch : tube->stretches) {
      const double off = row.at_rest.mm() + stretch.radius_mm;
      if (box_distance_mm(around, stretch.box) > off + kFar_mm) continue;
      out.push_back({asked.bay.lines[tube->line].line.name, off + kClampRadius_mm, row.at_rest.mm(),
                     row.provenance,
                     [piece = &stretch.piece](const Vec3& p) { return distance_mm(*piece, p); }});
    }
  }
}

// The line's own hose that is not beside the clamp.
void add_own_line(const ClampQuestion& asked, const ClampSeat& seat, const AxisBox& around,
                  std::vector<Near>& out) {
  const auto add = [&](const TubeStretch& stretch, double from_s_mm, double to_s_mm) {
    if (to_s_mm - from_s_mm <= ProofOptions::kRounding_mm) return;
    const Piece piece = cut(stretch.piece, from_s_mm - stretch.from_s_mm, to_s_mm - stretch.from_s_mm);
    if (box_distance_mm(around, bounds(piece)) > stretch.radius_mm + kFar_mm) return;
    out.push_back({asked.bay.lines[asked.own.line].line.name,
                   stretch.radius_mm + kClampRadius_mm,
                   0.0,
                   {},
                   [piece](const Vec3& p) { return distance_mm(piece, p); }});
  };
  for (const TubeStretch& stretch : asked.own.stretches) {
    add(stretch, stretch.from_s_mm, std::min(stretch.to_s_mm, seat.s_mm - kOwnHose_mm));
    add(stretch, std::max(stretch.from_s_mm, seat.s_mm + kOwnHose_mm), stretch.to_s_mm);
  }
}

void add_clamps(const ClampQuestion& asked, const AxisBox& around, std::vector<Near>& out) {
  for (const PlacedClamp& clamp : asked.clamps) {
    const bool own = clamp.line == asked.own.line;
    const GapRow& row = row_between(asked, clamp.line);
    const double required = own ? 0.0 : row.at_rest.mm();
    const Piece piece = clamp.housing;
    if (box_distance_mm(around, bounds(piece)) > required + kClampRadius_mm + kFar_mm) continue;
    out.push_back({"clamp on " + asked.bay.lines[clamp.line].line.name, required + 2 * kClampRadius_mm,
                   required, own ? Provenance{} : row.provenance,
                   [piece](const Vec3& p) { return distance_mm(piece, p); }, own});
  }
}

std::vector<Near> things_near(const ClampQuestion& asked, const ClampSeat& seat) {
  const Vec3 reach = Vec3::Constant(seat.outside_mm / 2 + kReach_mm);
  const AxisBox around(seat.band_mm - reach, seat.band_mm + reach);
  std::vector<Near> near;
  add_obstacles(asked, seat, around, near);
  add_lines(asked, around, near);
  add_own_line(asked, seat, around, near);
  add_clamps(asked, around, near);
  return near;
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
    if (least.found_mm >= clock.spare_mm || (thing.only_touch && least.found_mm >= 0)) continue;
    clock.spare_mm = least.found_mm;
    clock.tightest = &thing;
    clock.where_mm = point_at(housing, least.s_mm);
  }
  return clock;
}

Finding blocked(const ClockSpare& best, const Bay& bay, std::size_t line, const ClampSeat& seat) {
  const double required = best.tightest->required_mm;
  Finding finding = below_limit(RuleId::clamp_blocked, Severity::stop, bay.lines[line].line.name,
                                required + best.spare_mm, required, FindingUnit::mm);
  finding.other = best.tightest->name;
  finding.where_mm = best.where_mm;
  finding.provenance = best.tightest->provenance;
  if (seat.neck)
    finding.parameters["neck"] = bay.necks[*seat.neck].name;
  else
    finding.parameters["s_mm"] = told(seat.s_mm);
  finding.parameters["piece"] = std::to_string(seat.piece + 1);
  finding.parameters["clock_deg"] = told(Angle::rad(best.clock_rad).deg(), 0);
  return finding;
}

}  // namespace

Straight clamp_housing(const ClampSeat& seat, double clock_rad) {
  const bool vertical = std::abs(seat.axis.z()) > 0.9;
  const Vec3 towards = vertical ? Vec3::UnitX() : Vec3::UnitZ();
  const Pose axes = Pose::from_axes(seat.band_mm, seat.axis, towards);
  const Vec3 radial = axes.direction({std::cos(clock_rad), std::sin(clock_rad), 0});
  const Vec3 tangential = seat.axis.cross(radial);
  const Vec3 centre = seat.band_mm + (seat.outside_mm / 2 + kClampRadius_mm) * radial;
  const double half = kHousingLength_mm / 2 - kClampRadius_mm;
  return {centre - half * tangential, centre + half * tangential};
}

namespace {

// Nobody knows what stands where the scan did not look.
std::vector<Finding> unseen_about(const ClampQuestion& asked, const ClampSeat& seat, double clock_rad) {
  TubeStretch housing;
  housing.piece = clamp_housing(seat, clock_rad);
  housing.to_s_mm = length_mm(housing.piece);
  housing.radius_mm = kClampRadius_mm;
  housing.runner = Runner::clamp;
  housing.box = bounds(housing.piece);
  std::vector<Finding> findings;
  for (const Carrier carrier : {Carrier::chassis, Carrier::engine})
    for (Finding& finding :
         unseen_along(asked.bay, asked.bodies, carrier, std::span(&housing, 1), asked.own.line)) {
      finding.parameters["from_s_mm"] = finding.parameters["to_s_mm"] = told(seat.s_mm);
      finding.parameters["reason"] = "clamp_" + finding.parameters["reason"];
      findings.push_back(std::move(finding));
    }
  return findings;
}

// The clock with the most room; of those with room enough, one that lies where the scans have seen.
ClockSpare choose(const ClampQuestion& asked, const ClampSeat& seat, std::vector<ClockSpare> clocks,
                  std::vector<Finding>& unseen) {
  std::stable_sort(clocks.begin(), clocks.end(),
                   [](const ClockSpare& a, const ClockSpare& b) { return a.spare_mm > b.spare_mm; });
  unseen = unseen_about(asked, seat, clocks.front().clock_rad);
  if (unseen.empty()) return clocks.front();
  for (const ClockSpare& clock : clocks) {
    if (clock.spare_mm < -ProofOptions::kRounding_mm) break;
    if (!unseen_about(asked, seat, clock.clock_rad).empty()) continue;
    unseen.clear();
    return clock;
  }
  return clocks.front();
}

}  // namespace

ClampMeasured best_clamp(const ClampQuestion& asked, const ClampSeat& seat) {
  const std::vector<Near> near = things_near(asked, seat);
  ClampMeasured measured;
  std::vector<ClockSpare> clocks;
  for (int k = 0; k < kClocks; ++k) {
    const double clock = 2 * std::numbers::pi * k / kClocks;
    clocks.push_back(spare_at_clock(near, clamp_housing(seat, clock), clock, asked.options.tolerance_mm,
                                    measured.distance_queries));
  }
  const ClockSpare best = choose(asked, seat, std::move(clocks), measured.findings);
  measured.record = {seat.neck,
                     seat.piece,
                     seat.at_start,
                     seat.from_end_mm,
                     seat.s_mm,
                     best.clock_rad,
                     best.spare_mm,
                     best.tightest ? best.tightest->name : "",
                     clamp_housing(seat, best.clock_rad)};
  if (best.spare_mm < -ProofOptions::kRounding_mm)
    measured.findings.push_back(blocked(best, asked.bay, asked.own.line, seat));
  return measured;
}

}  // namespace hosefit
