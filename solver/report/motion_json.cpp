// SPDX-License-Identifier: GPL-3.0-or-later
#include <array>

#include "solver/report/json_values.h"

namespace hosefit {
namespace {

Json engine_place_json(const EnginePlace& place) {
  return {{"roll_rad", number(place[roll_way])},
          {"up_mm", number(place[lift_way])},
          {"rearward_mm", number(place[rearward_way])},
          {"right_mm", number(place[right_way])}};
}

Json motion_line_json(const Job& job, const Bay& bay, const MotionLine& line) {
  Json gaps = Json::array();
  for (const MotionGap& gap : line.gaps)
    gaps.push_back({{"other", gap.other},
                    {"runner", hosefit::word(gap.runner)},
                    {"required_mm", number(gap.required_mm)},
                    {"found_mm", number(gap.found_mm)},
                    {"s_mm", number(gap.s_mm)},
                    {"where", place(gap.where_mm)},
                    {"engine", engine_place_json(gap.place)}});
  Json clips = Json::array();
  for (const ClipPlace& clip : line.clips)
    clips.push_back({{"s_mm", number(clip.s_mm)},
                     {"carrier", hosefit::word(clip.carrier)},
                     {"to", obstacle(bay, *clip.to).name},
                     {"reach_mm", number(clip.reach_mm)}});
  return {{"name", job.vehicle.lines[line.line].name},
          {"clips", clips},
          {"proved", line.proved},
          {"findings", findings_json(line.findings)},
          {"gaps", gaps},
          {"tightest_bend_mm", number(line.tightest_bend_mm)},
          {"least_slack", number(line.least_slack)}};
}

Json parts_json(const Bay& bay, const PartsInMotion& parts) {
  constexpr std::array kAnswers{"proved", "does not hold", "undecided"};
  Json out = Json::array();
  for (const PartInMotion& part : parts.near)
    out.push_back({{"on_engine", obstacle(bay, part.on_engine).name},
                   {"on_chassis", obstacle(bay, part.on_chassis).name},
                   {"answer", kAnswers[static_cast<std::size_t>(part.answer)]},
                   {"required_mm", number(part.required_mm)},
                   {"found_mm", number(part.found_mm)},
                   {"where", place(part.where_mm)},
                   {"engine", engine_place_json(part.place)}});
  for (const UnseenPart& part : parts.unseen)
    out.push_back({{"on_engine", obstacle(bay, part.on_engine(bay)).name},
                   {"on_chassis", obstacle(bay, part.on_chassis(bay)).name},
                   {"answer", kAnswers[2]},
                   {"required_mm", Json()},
                   {"found_mm", Json()},
                   {"where", place(part.where_mm)},
                   {"engine", Json()}});
  return out;
}

}  // namespace

Json motion_json(const Job& job, const Choice& choice) {
  const EngineMotion& m = job.motion;
  const BodyStore bodies(job);
  Json pumps = Json::array();
  for (const PumpAnswer& pump : choice.ranking) {
    const CandidateResult& result = choice.candidates[pump.best];
    if (!result.motion) continue;
    const MotionAnswer& answer = *result.motion;
    Json lines = Json::array();
    const Candidate& candidate = result.candidate;
    const Bay bay = assemble(job, bodies, candidate);
    for (const MotionLine& line : answer.lines) lines.push_back(motion_line_json(job, bay, line));
    pumps.push_back({{"pump", job.family.pumps[candidate.pump].name},
                     {"proved", answer.proved()},
                     {"lines", lines},
                     {"parts", parts_json(bay, answer.parts)}});
  }
  return {{"mounts", hosefit::word(job.vehicle.mounts)},
          {"roll_rad", number(m.roll.rad())},
          {"lift_mm", number(m.lift.mm())},
          {"forward_mm", number(m.forward.mm())},
          {"rearward_mm", number(m.rearward.mm())},
          {"sideways_mm", number(m.sideways.mm())},
          {"axis_below_crank_mm", number(m.axis_below_crank.mm())},
          {"provenance", provenance_json(m.provenance)},
          {"pumps", pumps}};
}

}  // namespace hosefit
