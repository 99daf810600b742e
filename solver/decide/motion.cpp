// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/motion.h"

#include <algorithm>
#include <set>
#include <utility>

#include "solver/decide/part_gaps.h"
#include "solver/rules/part_rules.h"
#include "solver/verify/line_prover.h"

namespace hosefit {
namespace {

Finding finding_of(const Bay& bay, const PartInMotion& part) {
  Finding finding;
  finding.rule = RuleId::motion_clash;
  finding.severity = Severity::stop;
  finding.undecided = part.answer == PartInMotion::Answer::undecided;
  finding.subject = bay.bodies[part.on_engine.body].body->name;
  finding.other = obstacle(bay, part.on_chassis).name;
  finding.where_mm = part.where_mm;
  finding.provenance = part.provenance;
  finding.parameters = {{"obstacle", obstacle(bay, part.on_engine).name}};
  if (finding.undecided) {
    finding.parameters["reason"] = "boxes_spent";
    return finding;
  }
  finding.measured = part.found_mm;
  finding.limit = part.required_mm;
  finding.margin = part.found_mm - part.required_mm;
  finding.unit = FindingUnit::mm;
  if (part.found_mm <= 0) finding.parameters["overlap"] = "yes";
  finding.undecided = goes_with_a_neck(part.on_engine) || goes_with_a_neck(part.on_chassis);
  return in_motion(std::move(finding), part.place);
}

}  // namespace

bool MotionAnswer::lines_proved() const {
  return std::all_of(lines.begin(), lines.end(), [](const MotionLine& line) { return line.proved; });
}

bool MotionAnswer::proved() const {
  return parts.proved && lines_proved();
}

bool is_of_its_own(const Finding& finding) {
  const auto reason = finding.parameters.find("reason");
  return reason == finding.parameters.end() || reason->second != "takes_no_shape";
}

std::vector<MotionLine> lines_in_motion(const Job& job, const Bay& bay, const ProofBodies& bodies,
                                        std::span<const Route> routes, const ProofReport& at_rest,
                                        const MotionOptions& options) {
  const RuleLimits limits = default_rule_limits();
  std::vector<std::vector<std::vector<ClipPlace>>> clips;
  for (const Route& route : routes)
    clips.push_back(
        clip_choices(bay, bodies, route, longest_free_span(bay, bay.lines[route.line], limits).value));
  return prove_in_motion(bay, bodies, routes, at_rest, clips, job.gaps, job.stock,
                         engine_places(job.motion, engine_pose(job.vehicle)), options);
}

std::vector<MotionLine> lines_in_motion_again(const Job& job, const Bay& bay, const ProofBodies& bodies,
                                              std::span<const Route> routes, const ProofReport& at_rest,
                                              std::span<const MotionLine> answer,
                                              const MotionOptions& options) {
  std::vector<std::vector<std::vector<ClipPlace>>> clips;
  for (const MotionLine& line : answer) clips.push_back({line.clips});
  std::vector<MotionLine> out = prove_in_motion(bay, bodies, routes, at_rest, clips, job.gaps, job.stock,
                                                engine_places(job.motion, engine_pose(job.vehicle)), options);
  for (std::size_t i = 0; i < out.size(); ++i) out[i].clips_wanted = answer[i].clips_wanted;
  return out;
}

MotionOptions without_scans() {
  MotionOptions options;
  options.ask_scans = false;
  return options;
}

PartsInMotion candidates_parts_in_motion(const Job& job, const Bay& bay, ProofStore& store,
                                         const MotionOptions& options) {
  return parts_in_motion(job, bay, store, part_pairs(bay), options);
}

PartsInMotion parts_in_motion(const Job& job, const Bay& bay, ProofStore& store,
                              std::span<const std::pair<std::size_t, std::size_t>> body_pairs,
                              const MotionOptions& options) {
  return prove_parts_in_motion(
      bay, store, job.gaps, body_pairs,
      [&](ObstacleRef a, ObstacleRef b) { return matter_to_each_other(bay, a, b); },
      engine_places(job.motion, engine_pose(job.vehicle)), options);
}

std::vector<Finding> findings_of_parts(const Bay& bay, const PartsInMotion& parts) {
  std::vector<Finding> out;
  std::set<std::pair<std::size_t, std::size_t>> told;
  for (const PartInMotion& part : parts.near)  // tightest first
    if (part.answer != PartInMotion::Answer::holds &&
        told.insert({part.on_engine.body, part.on_chassis.body}).second)
      out.push_back(finding_of(bay, part));
  std::set<std::pair<std::size_t, std::string>> not_seen;
  for (const UnseenPart& part : parts.unseen)
    if (not_seen.insert({part.part.body, obstacle(bay, part.scan).name}).second) {
      out.push_back(unseen_part_finding(bay, part));
      out.back().parameters["in_motion"] = "yes";
    }
  return out;
}

std::vector<Finding> findings_of_lines(const std::vector<MotionLine>& lines) {
  std::vector<Finding> out;
  for (const MotionLine& line : lines)
    for (Finding finding : line.findings) {
      finding.undecided = finding.undecided || finding.severity == Severity::stop;
      out.push_back(std::move(finding));
    }
  return out;
}

}  // namespace hosefit
