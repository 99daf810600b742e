// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/report/pick_sections.h"
#include "solver/report/words.h"

namespace hosefit {
namespace {

std::string way_words(double mm, std::string_view up, std::string_view down, LengthUnit unit) {
  return fmt::format("{} {}", length_words(Length::mm(std::abs(mm)), unit), mm < 0 ? down : up);
}

// "rolled 4.0 deg right side up, 10.0 mm down, 15.0 mm forward, 8.0 mm left"
std::string place_of_engine(const EnginePlace& place, LengthUnit unit) {
  std::vector<std::string> parts;
  const double roll = Angle::rad(place[roll_way]).deg();
  if (std::abs(roll) >= 0.05)
    parts.push_back(fmt::format("rolled {:.1f} deg {} side up", std::abs(roll), roll > 0 ? "right" : "left"));
  if (std::abs(place[lift_way]) >= 0.05) parts.push_back(way_words(place[lift_way], "up", "down", unit));
  if (std::abs(place[rearward_way]) >= 0.05)
    parts.push_back(way_words(place[rearward_way], "rearward", "forward", unit));
  if (std::abs(place[right_way]) >= 0.05) parts.push_back(way_words(place[right_way], "right", "left", unit));
  std::string out;
  for (const std::string& part : parts) out += (out.empty() ? "" : ", ") + part;
  return out.empty() ? "at rest" : out;
}

std::string tightest_words(const MotionLine& line, LengthUnit unit) {
  if (line.gaps.empty()) return "nothing near";
  const MotionGap& gap = line.gaps.front();
  return fmt::format("{}: {} (needs {}) with the engine {}", safe_text(gap.other),
                     length_words(Length::mm(gap.found_mm), unit),
                     length_words(Length::mm(gap.required_mm), unit), place_of_engine(gap.place, unit));
}

// "with 1 clip (its length asks for 2): 226.0 mm along, on frame rail, 34.0 mm off it"
std::string clip_words(const Bay& bay, const MotionLine& line, LengthUnit unit) {
  const auto counted = [](std::size_t n) { return fmt::format("{} clip{}", n, n == 1 ? "" : "s"); };
  std::string out;
  for (const ClipPlace& clip : line.clips)
    out += fmt::format("{} {} along, on {}, {} off it", out.empty() ? ":" : ";",
                       length_words(Length::mm(clip.s_mm), unit), safe_text(obstacle(bay, *clip.to).name),
                       length_words(Length::mm(std::max(0.0, clip.reach_mm)), unit));
  if (line.clips.size() == line.clips_wanted)
    return line.clips.empty() ? "" : fmt::format("with {}{}", counted(line.clips.size()), out);
  return fmt::format("with {} (its length asks for {}){}", counted(line.clips.size()), line.clips_wanted,
                     out);
}

// Stops say what is wrong, what is only undecided says that nobody knows.
std::string answer_words(const MotionLine& line) {
  if (line.proved) return "proved";
  for (const Finding& finding : line.findings)
    if (!finding.undecided) return "does not hold";
  return "undecided";
}

// What is not known of several others for one reason is one sentence.
std::vector<Finding> told_together(const std::vector<Finding>& findings) {
  std::vector<Finding> out;
  for (const Finding& finding : findings) {
    const auto same = std::find_if(out.begin(), out.end(), [&](const Finding& told) {
      return told.undecided && finding.undecided && told.rule == finding.rule && !told.other.empty() &&
             !finding.other.empty() && !told.measured && !finding.measured &&
             told.parameters == finding.parameters;
    });
    if (same == out.end()) {
      out.push_back(finding);
    } else {
      same->other += ", " + finding.other;
    }
  }
  return out;
}

void write_lines(Page& page, const Job& job, const Bay& bay, const CandidateResult& result,
                 const MotionAnswer& answer) {
  const LengthUnit unit = page.look().unit;
  std::vector<std::vector<Cell>> rows;
  for (std::size_t i = 0; i < answer.lines.size(); ++i) {
    const MotionLine& line = answer.lines[i];
    const std::string told = answer_words(line);
    std::vector<std::string> why;
    for (const Finding& finding : told_together(line.findings))
      why.push_back(words_of(finding, {unit, nullptr}).brief);
    if (why.empty()) why.push_back(tightest_words(line, unit));
    if (const std::string clips = clip_words(bay, line, unit); !clips.empty()) why.push_back(clips);
    rows.push_back({{{safe_text(job.vehicle.lines[line.line].name)}, Tint::strong},
                    {{std::string(title(result.routes[i].make))}},
                    {{told},
                     line.proved           ? Tint::good
                     : told == "undecided" ? Tint::doubtful
                                           : Tint::bad},
                    {std::move(why)}});
  }
  page.table({"line", "make", "in motion", "tightest, or what comes short"}, rows, 2);
}

std::string part_answer(PartInMotion::Answer answer) {
  switch (answer) {
    case PartInMotion::Answer::holds:
      return "proved";
    case PartInMotion::Answer::comes_short:
      return "does not hold";
    case PartInMotion::Answer::undecided:
      return "undecided";
  }
  return {};
}

// What is not proved, or else what is tightest.
void write_parts(Page& page, const Bay& bay, const PartsInMotion& parts) {
  const LengthUnit unit = page.look().unit;
  std::vector<std::vector<Cell>> rows;
  for (const PartInMotion& part : parts.near) {
    const bool holds = part.answer == PartInMotion::Answer::holds;
    if (holds && !rows.empty()) continue;
    const std::string gap =
        std::isfinite(part.found_mm)
            ? fmt::format("{} (needs {}) with the engine {}", length_words(Length::mm(part.found_mm), unit),
                          length_words(Length::mm(part.required_mm), unit), place_of_engine(part.place, unit))
            : "not found";
    const Tint tint = holds                                            ? Tint::good
                      : part.answer == PartInMotion::Answer::undecided ? Tint::doubtful
                                                                       : Tint::bad;
    rows.push_back({{{safe_text(obstacle(bay, part.on_engine).name)}, Tint::strong},
                    {{safe_text(obstacle(bay, part.on_chassis).name)}},
                    {{part_answer(part.answer)}, tint},
                    {{gap}}});
  }
  for (const UnseenPart& part : parts.unseen)
    rows.push_back({{{safe_text(obstacle(bay, part.on_engine(bay)).name)}, Tint::strong},
                    {{safe_text(obstacle(bay, part.on_chassis(bay)).name)}},
                    {{part_answer(PartInMotion::Answer::undecided)}, Tint::doubtful},
                    {{"moves where the scan does not tell what is there"}}});
  page.blank();
  if (rows.empty()) return page.line("Parts on the engine: none comes near the chassis, hood or fan.", 2, 2);
  page.table({"part on the engine", "against", "in motion", "least gap"}, rows, 2);
}

std::string source_words(const EngineMotion& motion) {
  return motion.provenance.source == Source::shop ? provenance_words(motion.provenance)
                                                  : fmt::format("figures {}", word(motion.provenance.source));
}

}  // namespace

void write_motion(Page& page, const Job& job, const Choice& choice) {
  const LengthUnit unit = page.look().unit;
  const EngineMotion& m = job.motion;
  page.heading("With the engine moving on its mounts");
  page.line(
      fmt::format(
          "Roll {:.1f} deg to either side about an axis {} below the crank, {} up and down, {} forward, {} "
          "rearward, {} to either side, all at once ({} mounts; {}).",
          m.roll.deg(), length_words(m.axis_below_crank, unit), length_words(m.lift, unit),
          length_words(m.forward, unit), length_words(m.rearward, unit), length_words(m.sideways, unit),
          word(job.vehicle.mounts), source_words(m)),
      2, 2);
  const BodyStore bodies(job);
  bool any = false;
  for (const PumpAnswer& pump : choice.ranking) {
    const CandidateResult& result = choice.candidates[pump.best];
    if (!result.motion) continue;
    const MotionAnswer& answer = *result.motion;
    any = true;
    page.blank();
    page.line(fmt::format("{}: {}", safe_text(job.family.pumps[result.candidate.pump].name),
                          answer.proved() ? "everything holds" : "not everything holds"),
              2, 2, Tint::strong);
    const Bay bay = assemble(job, bodies, result.candidate);
    write_lines(page, job, bay, result, answer);
    write_parts(page, bay, answer.parts);
  }
  if (!any) page.line("No pump holds at rest, so no line was moved.", 2, 2);
  page.line(
      "Hose is taken as an elastic rod of the cut length, free between its necks and the clips told above: "
      "no weight, no pressure. A clip holds place and direction; of clips that leave too little slack some "
      "are left out. Straight hose springs towards its own curve, so it can stand off the planned line even "
      "at "
      "rest. Clamps go with the neck or the hose that they sit on; the clips and their brackets were not "
      "moved. "
      "The metal named for a clip is the nearest: fix none to a part of brakes, steering or fuel.",
      2, 2);
  page.line(
      "CAUTION: this replaces no look at the real engine under load, both ways, by the vehicle maker's "
      "procedure and with hands "
      "clear of fan and belts.",
      2, 2);
}

}  // namespace hosefit
