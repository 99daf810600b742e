// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/rules/hose_bores.h"
#include "solver/rules/part_rules.h"

namespace hosefit {
namespace {

struct LineEnd {
  const PlacedNeck& neck;
  const Line& line;
};

Finding end_finding(RuleId rule, Severity severity, const LineEnd& end) {
  Finding finding;
  finding.rule = rule;
  finding.severity = severity;
  finding.subject = end.line.name;
  finding.other = end.neck.name;
  finding.where_mm = end.neck.end_mm;
  return finding;
}

void add_iso_1307(Finding& finding, double bore_mm) {
  const std::optional<BoreLimits> limits = iso_1307_limits(Length::mm(bore_mm));
  if (!limits) return;
  finding.parameters["hose_id_least_mm"] = fmt::format("{:.1f}", limits->least.mm());
  finding.parameters["hose_id_most_mm"] = fmt::format("{:.1f}", limits->most.mm());
}

void match_neck(const LineEnd& end, const Stock& stock, const RuleLimits& limits,
                std::vector<Finding>& findings) {
  constexpr double kRounding_mm = 1e-9;
  const double bore_mm = stock.bore.mm();
  const double over_mm = end.neck.outside_diameter.mm() - bore_mm;
  Finding finding = end_finding(RuleId::neck_match, Severity::stop, end);
  if (over_mm < -limits.neck_loose_mm.value - kRounding_mm) {
    finding.limit = -limits.neck_loose_mm.value;
    finding.margin = over_mm - *finding.limit;
    finding.provenance = limits.neck_loose_mm.provenance;
    finding.parameters["kind"] = "loose";
  } else if (over_mm > limits.neck_tight_share.value * bore_mm + kRounding_mm) {
    const bool softened = over_mm <= limits.neck_tight_flag_share.value * bore_mm + kRounding_mm;
    const RuleLimit& limit = softened ? limits.neck_tight_share : limits.neck_tight_flag_share;
    if (softened) finding.severity = Severity::flag;
    finding.limit = limit.value * bore_mm;
    finding.margin = *finding.limit - over_mm;
    finding.provenance = limit.provenance;
    finding.parameters["kind"] = "tight";
  } else {
    return;
  }
  finding.measured = over_mm;
  finding.unit = FindingUnit::mm;
  finding.parameters["hose_id_mm"] = fmt::format("{:.1f}", bore_mm);
  finding.parameters["neck_od_mm"] = fmt::format("{:.1f}", end.neck.outside_diameter.mm());
  finding.parameters["tight_percent"] = fmt::format("{:.1f}", 100.0 * over_mm / bore_mm);
  add_iso_1307(finding, bore_mm);
  findings.push_back(std::move(finding));
}

void check_end(const LineEnd& end, std::vector<Finding>& findings) {
  if (!end.neck.bead) {
    Finding finding = end_finding(RuleId::neck_bead, Severity::flag, end);
    finding.provenance = Provenance{Source::common_practice, "", "", ""};
    findings.push_back(std::move(finding));
  }
  const double least_mm = least_engagement_mm(end.neck.outside_diameter);
  if (end.neck.straight.mm() < least_mm) {
    Finding finding = end_finding(RuleId::engagement, Severity::flag, end);
    finding.measured = end.neck.straight.mm();
    finding.limit = least_mm;
    finding.margin = end.neck.straight.mm() - least_mm;
    finding.unit = FindingUnit::mm;
    finding.provenance = Provenance{Source::derived, "", "", ""};
    findings.push_back(std::move(finding));
  }
}

Finding line_finding(RuleId rule, Severity severity, const Line& line, const Provenance& provenance) {
  Finding finding;
  finding.rule = rule;
  finding.severity = severity;
  finding.subject = line.name;
  finding.provenance = provenance;
  return finding;
}

void check_joints_and_span(const Line& line, const Route& route, const RuleLimit& span,
                           const RuleLimits& limits, std::vector<Finding>& findings) {
  if (route.joints > limits.joints_flag_per_line.value) {
    Finding finding =
        line_finding(RuleId::joint_count, Severity::flag, line, limits.joints_flag_per_line.provenance);
    finding.measured = route.joints;
    finding.limit = limits.joints_flag_per_line.value;
    finding.margin = limits.joints_flag_per_line.value - route.joints;
    finding.unit = FindingUnit::count;
    findings.push_back(std::move(finding));
  }
  const double free_mm = length_mm(route.centreline);
  if (free_mm > span.value) {
    Finding finding = line_finding(RuleId::span_support, Severity::note, line, span.provenance);
    finding.measured = free_mm;
    finding.limit = span.value;
    finding.margin = span.value - free_mm;
    finding.unit = FindingUnit::mm;
    findings.push_back(std::move(finding));
  }
}

bool flattens_under_suction(const Line& line, const Stock& stock) {
  return line.duty == Duty::suction &&
         (stock.make == Make::straight_hose || stock.make == Make::elbows_and_straights ||
          stock.make == Make::moulded_shape);
}

void check_stock(const Line& line, const Stock& stock, std::vector<Finding>& findings) {
  if (flattens_under_suction(line, stock)) {
    Finding finding =
        line_finding(RuleId::suction_collapse, Severity::note, line, Provenance{Source::derived, "", "", ""});
    finding.limit = collapse_pressure(stock.bore, stock.wall).kpa();
    finding.unit = FindingUnit::kpa;
    findings.push_back(std::move(finding));
  }
  // Of a moulded shape nothing is bent that is not moulded so: what it gives is told at its cut sheet.
  const bool bent = stock.make != Make::moulded_shape;
  if (bent && !is_sourced(stock.provenance) && !is_signed(stock.provenance)) {
    Finding finding = line_finding(RuleId::stock_radius_unsourced, Severity::note, line, stock.provenance);
    finding.parameters["stock"] = stock.id;
    findings.push_back(std::move(finding));
  }
}

Finding motion_finding(const Job& job, const Bay& bay, std::span<const Route> routes) {
  Finding finding;
  finding.rule = RuleId::motion_assumed;
  finding.severity = Severity::note;
  finding.provenance = job.motion.provenance;
  const auto mm = [](Length length) { return fmt::format("{:.3f}", length.mm()); };
  finding.parameters["roll_deg"] = fmt::format("{:.1f}", job.motion.roll.deg());
  finding.parameters["lift_mm"] = mm(job.motion.lift);
  finding.parameters["forward_mm"] = mm(job.motion.forward);
  finding.parameters["rearward_mm"] = mm(job.motion.rearward);
  finding.parameters["sideways_mm"] = mm(job.motion.sideways);
  finding.parameters["mounts"] = std::string(word(job.vehicle.mounts));
  std::string lines;
  for (const Route& route : routes) {
    const BayLine& line = bay.lines[route.line];
    if (line.carrier == LineCarrier::both) lines += (lines.empty() ? "" : ", ") + line.line.name;
  }
  finding.parameters["lines"] = lines;
  return finding;
}

}  // namespace

Pressure collapse_pressure(Length bore, Length wall) {
  constexpr double kHotRubber_pa = 4.0e6;
  constexpr double kPoisson = 0.5;
  const double mid_radius_mm = (bore + wall).mm() / 2.0;
  return Pressure::pa(kHotRubber_pa / (4.0 * (1.0 - kPoisson * kPoisson)) *
                      std::pow(wall.mm() / mid_radius_mm, 3));
}

const RuleLimit& longest_free_span(const Bay& bay, const BayLine& line, const RuleLimits& limits) {
  const Length widest = std::max(bay.necks[line.from].outside_diameter, bay.necks[line.to].outside_diameter);
  return widest.mm() >= kLargeBoreFrom_mm ? limits.span_support_large_mm : limits.span_support_small_mm;
}

std::vector<Finding> line_findings(const Job& job, const Bay& bay, std::span<const Route> routes,
                                   const RuleLimits& limits) {
  std::vector<Finding> findings;
  for (const Route& route : routes) {
    const BayLine& wanted = bay.lines[route.line];
    const LineEnd from{bay.necks[wanted.from], wanted.line};
    const LineEnd to{bay.necks[wanted.to], wanted.line};
    for (const LineEnd& end : {from, to}) check_end(end, findings);
    check_joints_and_span(wanted.line, route, longest_free_span(bay, wanted, limits), limits, findings);
    const auto stock =
        std::find_if(job.stock.begin(), job.stock.end(), [&](const Stock& s) { return s.id == route.stock; });
    if (stock == job.stock.end()) continue;
    for (const LineEnd& end : {from, to}) match_neck(end, *stock, limits, findings);
    check_stock(wanted.line, *stock, findings);
  }
  if (!routes.empty()) findings.push_back(motion_finding(job, bay, routes));
  return findings;
}

}  // namespace hosefit
