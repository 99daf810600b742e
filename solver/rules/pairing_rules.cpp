// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/rules/part_rules.h"

namespace hosefit {
namespace {

Finding part_finding(RuleId rule, Severity severity, const std::string& subject, const std::string& other) {
  Finding finding;
  finding.rule = rule;
  finding.severity = severity;
  finding.subject = subject;
  finding.other = other;
  return finding;
}

Finding belt_plane_finding(const Pump& pump, const Drive& drive, const RuleLimits& limits) {
  const double offset_mm = std::abs(drive.belt_plane_mm.value - pump.pulley_plane_mm.value);
  const double span_mm = drive.longest_span.mm();
  const auto over_span_mm = [&](const RuleLimit& deg) {
    return span_mm * std::tan(Angle::deg(deg.value).rad());
  };
  const double stop_by_angle_mm = over_span_mm(limits.belt_offset_stop_deg);
  const double flag_mm = over_span_mm(limits.belt_offset_flag_deg);
  const bool angle_binds = stop_by_angle_mm < limits.belt_offset_stop_mm.value;
  const double stop_mm = std::min(stop_by_angle_mm, limits.belt_offset_stop_mm.value);

  Finding finding = part_finding(RuleId::belt_plane, Severity::note, pump.name, drive.name);
  finding.unit = FindingUnit::mm;
  finding.measured = offset_mm;
  finding.limit = stop_mm;
  finding.provenance =
      angle_binds ? limits.belt_offset_stop_deg.provenance : limits.belt_offset_stop_mm.provenance;
  if (angle_binds) finding.parameters["limit_deg"] = fmt::format("{:.2f}", limits.belt_offset_stop_deg.value);
  if (offset_mm > stop_mm) {
    finding.severity = Severity::stop;
  } else if (offset_mm > flag_mm) {
    finding.severity = Severity::flag;
    finding.limit = flag_mm;
    finding.provenance = limits.belt_offset_flag_deg.provenance;
    finding.parameters["limit_deg"] = fmt::format("{:.2f}", limits.belt_offset_flag_deg.value);
  }
  finding.margin = *finding.limit - offset_mm;
  finding.parameters["offset_deg"] =
      fmt::format("{:.2f}", belt_angle(Length::mm(offset_mm), drive.longest_span).deg());
  finding.parameters["span_mm"] = fmt::format("{:.0f}", span_mm);
  finding.parameters["accuracy_mm"] =
      fmt::format("{:.1f}", (drive.belt_plane_mm.accuracy + pump.pulley_plane_mm.accuracy).mm());
  return finding;
}

Rotation opposite(Rotation rotation) {
  return rotation == Rotation::clockwise ? Rotation::counterclockwise : Rotation::clockwise;
}

}  // namespace

Angle belt_angle(Length offset, Length span) {
  return Angle::rad(std::atan2(offset.mm(), span.mm()));
}

std::vector<Finding> pairing_findings(const Job& job, const Candidate& candidate, const RuleLimits& limits) {
  const Pump& pump = job.family.pumps[candidate.pump];
  const Drive& drive = job.family.drives[candidate.drive];
  const Housing& housing = job.family.housings[candidate.housing];
  std::vector<Finding> findings;

  if (pump.seat.flange != housing.flange) {
    Finding finding = part_finding(RuleId::flange_mismatch, Severity::stop, pump.name, housing.name);
    finding.parameters = {{"pump_flange", pump.seat.flange}, {"housing_flange", housing.flange}};
    findings.push_back(std::move(finding));
  }
  if (std::find(housing.places.begin(), housing.places.end(), pump.seat.place) == housing.places.end()) {
    Finding finding = part_finding(RuleId::seat_mismatch, Severity::stop, pump.name, housing.name);
    finding.parameters = {{"place", std::string(word(pump.seat.place))}};
    findings.push_back(std::move(finding));
  }
  findings.push_back(belt_plane_finding(pump, drive, limits));

  const Rotation crank = job.family.engine.crank_clockwise ? Rotation::clockwise : Rotation::counterclockwise;
  const Rotation wanted = drive.pump_contact == BeltContact::grooved_side ? crank : opposite(crank);
  if (pump.rotation != wanted) {
    Finding finding = part_finding(RuleId::rotation, Severity::stop, pump.name, drive.name);
    finding.parameters = {{"wanted", std::string(word(wanted))},
                          {"given", std::string(word(pump.rotation))},
                          {"contact", std::string(word(drive.pump_contact))}};
    finding.provenance = Provenance{Source::handbook, "", "", ""};
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace hosefit
