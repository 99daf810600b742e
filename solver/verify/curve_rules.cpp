// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/curve_rules.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "solver/verify/refusal.h"
#include "solver/verify/tube.h"

namespace hosefit {
namespace {

constexpr double kMeets_mm = 1e-6;  // ten times more shows in no gap; less would refuse rounding at bay size
constexpr double kMeets_rad = 1e-6;
constexpr double kNoPiece_mm = 1e-9;

bool is_sound(const Straight& straight) {
  return straight.from_mm.allFinite() && straight.to_mm.allFinite() &&
         (straight.to_mm - straight.from_mm).norm() > kNoPiece_mm;
}

bool is_sound(const Arc& arc) {
  if (!arc.start_mm.allFinite() || !arc.centre_mm.allFinite() || !arc.normal.allFinite() ||
      !std::isfinite(arc.angle_rad))
    return false;
  const double radius = arc.radius_mm();
  return radius > kNoPiece_mm && arc.angle_rad > 0 && arc.angle_rad < 2 * std::numbers::pi &&
         radius * arc.angle_rad > kNoPiece_mm && std::abs(arc.normal.norm() - 1) <= kMeets_rad &&
         std::abs(arc.normal.dot(arc.start_mm - arc.centre_mm)) <= kMeets_rad * radius;
}

Finding at_place(Finding finding, const Vec3& where_mm, double s_mm) {
  finding.where_mm = where_mm;
  finding.parameters["s_mm"] = told(s_mm);
  return finding;
}

std::vector<Finding> check_joints(const Centreline& centreline, const std::string& name) {
  std::vector<Finding> findings;
  double s = 0;
  for (std::size_t i = 0; i + 1 < centreline.pieces.size(); ++i) {
    const Piece& before = centreline.pieces[i];
    const Piece& after = centreline.pieces[i + 1];
    s += length_mm(before);
    const Vec3 end = point_at(before, length_mm(before));
    const double step = (point_at(after, 0) - end).norm();
    const double kink = angle_between(direction_at(before, length_mm(before)), direction_at(after, 0));
    if (step > kMeets_mm)
      findings.push_back(
          at_place(above_limit(RuleId::tangent_break, Severity::stop, name, step, kMeets_mm, FindingUnit::mm),
                   end, s));
    if (kink > kMeets_rad)
      findings.push_back(
          at_place(above_limit(RuleId::tangent_break, Severity::stop, name, Angle::rad(kink).deg(),
                               Angle::rad(kMeets_rad).deg(), FindingUnit::deg),
                   end, s));
  }
  return findings;
}

bool sections_cover(const Route& route) {
  double at = 0;
  for (const RouteSection& section : route.sections) {
    if (!std::isfinite(section.from_s_mm) || !std::isfinite(section.to_s_mm) ||
        !std::isfinite(section.outside_diameter_mm) || section.outside_diameter_mm <= 0)
      return false;
    if (std::abs(section.from_s_mm - at) > kMeets_mm || section.to_s_mm < section.from_s_mm) return false;
    at = section.to_s_mm;
  }
  return !route.sections.empty() && std::abs(at - length_mm(route.centreline)) <= kMeets_mm;
}

}  // namespace

std::vector<Finding> check_curve(const Bay& bay, const Route& route) {
  const std::string& name = bay.lines[route.line].line.name;
  const auto& pieces = route.centreline.pieces;
  if (pieces.empty()) return {refused(RuleId::tangent_break, name, "no_centreline")};
  if (!std::all_of(pieces.begin(), pieces.end(), [](const Piece& piece) {
        return std::visit([](const auto& p) { return is_sound(p); }, piece);
      }))
    return {refused(RuleId::tangent_break, name, "no_curve")};
  std::vector<Finding> findings = check_joints(route.centreline, name);
  if (!sections_cover(route))
    findings.push_back(refused(RuleId::tangent_break, name, "sections_do_not_cover"));
  if (!std::isfinite(route.engagement_from_mm) || !std::isfinite(route.engagement_to_mm))
    findings.push_back(refused(RuleId::engagement, name, "not_finite"));
  return findings;
}

namespace {

std::vector<Finding> check_end(const std::string& line, const PlacedNeck& neck, const Vec3& end_mm,
                               const Vec3& outward, double s_mm) {
  std::vector<Finding> findings;
  const auto add = [&](Finding finding) {
    finding.other = neck.name;
    findings.push_back(at_place(std::move(finding), neck.end_mm, s_mm));
  };
  const double off_mm = (end_mm - neck.end_mm).norm();
  const double off_rad = angle_between(outward, neck.outward);
  if (!(off_mm <= kMeets_mm))
    add(above_limit(RuleId::end_mismatch, Severity::stop, line, off_mm, kMeets_mm, FindingUnit::mm));
  if (!(off_rad <= kMeets_rad))
    add(above_limit(RuleId::end_mismatch, Severity::stop, line, Angle::rad(off_rad).deg(),
                    Angle::rad(kMeets_rad).deg(), FindingUnit::deg));
  return findings;
}

std::vector<Finding> check_engagement(const std::string& line, const PlacedNeck& neck, double engagement_mm) {
  std::vector<Finding> findings;
  const auto add = [&](Severity severity, double measured, double limit, const char* reason) {
    Finding finding = below_limit(RuleId::engagement, severity, line, measured, limit, FindingUnit::mm);
    finding.other = neck.name;
    finding.where_mm = neck.end_mm;
    finding.parameters["reason"] = reason;
    findings.push_back(std::move(finding));
  };
  const double least = least_engagement_mm(neck.outside_diameter);
  const double spigot = neck.straight.mm();
  if (engagement_mm < std::min(least, spigot) - kMeets_mm || !(engagement_mm > 0))
    add(Severity::stop, engagement_mm, std::min(least, spigot), "hose_not_pushed_on");
  if (engagement_mm > spigot + kMeets_mm)
    add(Severity::flag, spigot, engagement_mm, "spigot_shorter_than_engagement");
  if (spigot < least - kMeets_mm) add(Severity::flag, spigot, least, "spigot_short");
  return findings;
}

std::vector<Finding> check_thickness(const std::string& line, const Route& route, const Stock& stock) {
  const double length = length_mm(route.centreline);
  const double in_coupler_mm = stock.make == Make::bent_tube ? stock.coupler_gap.mm() + stock.cuff.mm() : 0;
  const double coupler_mm = std::max(stock.outside_diameter, stock.coupler_outside).mm();
  std::vector<Finding> findings;
  for (const RouteSection& section : route.sections) {
    const bool in_coupler =
        section.from_s_mm < in_coupler_mm - kMeets_mm || section.to_s_mm > length - in_coupler_mm + kMeets_mm;
    const double least = in_coupler ? coupler_mm : stock.outside_diameter.mm();
    if (section.outside_diameter_mm < least - kMeets_mm) {
      findings.push_back(below_limit(RuleId::no_stock, Severity::stop, line, section.outside_diameter_mm,
                                     least, FindingUnit::mm));
      findings.back().parameters["reason"] = "section_thinner_than_stock";
    }
    if (section.runner == Runner::rigid_part && stock.make != Make::bent_tube)
      findings.push_back(refused(RuleId::no_stock, line, "hose_measured_as_rigid_part"));
  }
  return findings;
}

}  // namespace

std::vector<Finding> check_ends(const Bay& bay, const Route& route) {
  const std::string& name = bay.lines[route.line].line.name;
  const Centreline& c = route.centreline;
  std::vector<Finding> findings =
      check_end(name, from_neck(bay, route), start_point(c), start_direction(c), 0);
  for (Finding& finding : check_end(name, to_neck(bay, route), end_point(c), -end_direction(c), length_mm(c)))
    findings.push_back(std::move(finding));
  return findings;
}

std::vector<Finding> check_hose_ends(const Bay& bay, const Route& route, const Stock& stock) {
  const std::string& name = bay.lines[route.line].line.name;
  std::vector<Finding> findings = check_engagement(name, from_neck(bay, route), route.engagement_from_mm);
  for (Finding& finding : check_engagement(name, to_neck(bay, route), route.engagement_to_mm))
    findings.push_back(std::move(finding));
  for (Finding& finding : check_thickness(name, route, stock)) findings.push_back(std::move(finding));
  return findings;
}

}  // namespace hosefit
