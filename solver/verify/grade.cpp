// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "solver/verify/place_rules.h"
#include "solver/verify/refusal.h"

namespace hosefit {
namespace {

constexpr double kHump_mm = 5.0;  // common practice, no source; see Grade
constexpr std::array kPitches_deg{-5.0, 0.0, 5.0};

struct HeightAt {
  double height_mm, s_mm;
};

// Heights along `up` at piece ends and at the tops and bottoms of arcs: between neighbours the height is
// monotone.
std::vector<HeightAt> turning_heights(const Centreline& centreline, const Vec3& up) {
  std::vector<HeightAt> out{{up.dot(start_point(centreline)), 0}};
  double s = 0;
  for (const Piece& piece : centreline.pieces) {
    if (const auto* arc = std::get_if<Arc>(&piece)) {
      const Vec3 to_start = arc->start_mm - arc->centre_mm;
      const double top = std::atan2(up.dot(arc->normal.cross(to_start)), up.dot(to_start));
      std::array<double, 4> angles{top - std::numbers::pi, top, top + std::numbers::pi,
                                   top + 2 * std::numbers::pi};
      for (const double angle : angles) {
        if (angle <= 0 || angle >= arc->angle_rad) continue;
        const double along = arc->radius_mm() * angle;
        out.push_back({up.dot(point_at(piece, along)), s + along});
      }
    }
    const double length = length_mm(piece);
    s += length;
    out.push_back({up.dot(point_at(piece, length)), s});
  }
  return out;
}

// How far the height runs down after a place, at most, and where that place is; sign -1: how far it runs up.
HeightAt wrong_way(const std::vector<HeightAt>& heights, double sign) {
  HeightAt worst{0, heights.front().s_mm};
  HeightAt top = heights.front();
  for (const HeightAt& h : heights) {
    if (sign * h.height_mm > sign * top.height_mm) top = h;
    if (sign * (top.height_mm - h.height_mm) > worst.height_mm)
      worst = {sign * (top.height_mm - h.height_mm), top.s_mm};
  }
  return worst;
}

HeightAt broken_by(Grade grade, const std::vector<HeightAt>& heights) {
  const HeightAt against_rise = wrong_way(heights, 1);
  const HeightAt against_fall = wrong_way(heights, -1);
  switch (grade) {
    case Grade::rise:
      return against_rise;
    case Grade::fall:
      return against_fall;
    case Grade::one_way:
      return against_rise.height_mm < against_fall.height_mm ? against_rise : against_fall;
    case Grade::free:
      break;
  }
  return {0, 0};
}

// The place that stands highest above the lower of what lies before and what lies after it.
HeightAt trapped_air(const std::vector<HeightAt>& heights) {
  std::vector<double> lowest_after(heights.size());
  double low = heights.back().height_mm;
  for (std::size_t i = heights.size(); i-- > 0;) lowest_after[i] = low = std::min(low, heights[i].height_mm);
  HeightAt worst{0, 0};
  double lowest_before = heights.front().height_mm;
  for (std::size_t i = 0; i < heights.size(); ++i) {
    lowest_before = std::min(lowest_before, heights[i].height_mm);
    const double stands = heights[i].height_mm - std::max(lowest_before, lowest_after[i]);
    if (stands > worst.height_mm) worst = {stands, heights[i].s_mm};
  }
  return worst;
}

Finding grade_finding(Severity severity, const BayLine& line, const Route& route, const HeightAt& hump,
                      double pitch_deg) {
  Finding finding =
      above_limit(RuleId::grade, severity, line.line.name, hump.height_mm, kHump_mm, FindingUnit::mm);
  finding.where_mm = point_at(route.centreline, hump.s_mm);
  finding.provenance = Provenance{Source::common_practice, {}, {}, {}};
  finding.parameters["s_mm"] = told(hump.s_mm);
  finding.parameters["pitch_deg"] = told(pitch_deg, 0);
  finding.parameters["grade"] = std::string(word(line.line.grade));
  return finding;
}

}  // namespace

std::vector<Finding> check_grade(const Bay& bay, const Route& route) {
  const BayLine& line = bay.lines[route.line];
  std::vector<Finding> findings;
  HeightAt worst{kHump_mm, 0};
  double worst_pitch_deg = 0;
  for (const double pitch_deg : kPitches_deg) {
    const double pitch = Angle::deg(pitch_deg).rad();
    const Vec3 up(std::sin(pitch), 0, std::cos(pitch));
    const HeightAt broken = broken_by(line.line.grade, turning_heights(route.centreline, up));
    if (broken.height_mm <= worst.height_mm) continue;
    worst = broken;
    worst_pitch_deg = pitch_deg;
  }
  if (worst.height_mm > kHump_mm)
    findings.push_back(grade_finding(Severity::stop, line, route, worst, worst_pitch_deg));
  const HeightAt air = trapped_air(turning_heights(route.centreline, Vec3::UnitZ()));
  if (line.line.duty == Duty::hot && air.height_mm > kHump_mm) {
    findings.push_back(grade_finding(Severity::flag, line, route, air, 0));
    findings.back().parameters["reason"] = "high_point_without_vent";
  }
  return findings;
}

}  // namespace hosefit
