// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include "solver/decide/flow.h"

namespace hosefit {
namespace {

// 20 to 30 kPa over the vapour pressure is usual (from memory): the lower end.
constexpr double kLeastSuctionMargin_kpa = 20.0;

Finding memory_finding(RuleId rule, const std::string& subject, const std::string& other) {
  Finding finding;
  finding.rule = rule;
  finding.severity = Severity::flag;
  finding.subject = subject;
  finding.other = other;
  finding.provenance = Provenance{Source::from_memory, "", "", ""};
  return finding;
}

Finding bounded(Finding finding, double measured, double limit, double margin, FindingUnit unit) {
  finding.measured = measured;
  finding.limit = limit;
  finding.margin = margin;
  finding.unit = unit;
  return finding;
}

// The fastest working point of each line that runs above the limit.
void add_velocity(const FlowAnswer& flow, std::vector<Finding>& findings) {
  if (flow.points.empty()) return;
  for (std::size_t i = 0; i < flow.points.front().lines.size(); ++i) {
    const auto slower = [&](const OperatingPoint& a, const OperatingPoint& b) {
      return a.lines[i].velocity_m_s < b.lines[i].velocity_m_s;
    };
    const OperatingPoint& at = *std::max_element(flow.points.begin(), flow.points.end(), slower);
    const LineReport& line = at.lines[i];
    if (line.velocity != VelocityGrade::above_limit) continue;
    const double limit = velocity_guide(line.duty).limit_m_s;
    Finding finding = memory_finding(RuleId::velocity, line.name, "");
    finding.parameters["working_point"] = at.duty;
    findings.push_back(
        bounded(std::move(finding), line.velocity_m_s, limit, limit - line.velocity_m_s, FindingUnit::m_s));
  }
}

void add_suction_margin(const std::string& pump, const FlowAnswer& flow, std::vector<Finding>& findings) {
  const auto less = [](const OperatingPoint& a, const OperatingPoint& b) {
    return a.suction_margin.nominal < b.suction_margin.nominal;
  };
  const auto worst = std::min_element(flow.points.begin(), flow.points.end(), less);
  if (worst == flow.points.end()) return;
  const double margin_kpa = worst->suction_margin.nominal.kpa();
  if (margin_kpa >= kLeastSuctionMargin_kpa) return;
  Finding finding = memory_finding(RuleId::suction_margin, pump, "");
  finding.parameters["working_point"] = worst->duty;
  findings.push_back(bounded(std::move(finding), margin_kpa, kLeastSuctionMargin_kpa,
                             margin_kpa - kLeastSuctionMargin_kpa, FindingUnit::kpa));
}

}  // namespace

std::vector<Finding> flow_findings(const Job& job, const Candidate& candidate, const FlowAnswer& flow) {
  const Pump& pump = job.family.pumps[candidate.pump];
  std::vector<Finding> findings;
  add_velocity(flow, findings);
  add_suction_margin(pump.name, flow, findings);
  const Provenance& curve = pump.curve.provenance;
  if (!is_sourced(curve) && !is_signed(curve))
    for (Finding& finding : findings) finding.severity = Severity::note;
  if (!flow.warm_up_loop) {
    Finding finding = memory_finding(RuleId::bypass_loop, pump.name, "");
    finding.provenance = Provenance{Source::common_practice, "", "", ""};
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace hosefit
