// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <string_view>

#include "solver/recheck/recheck.h"

namespace hosefit::recheck {
namespace {

// Names may hold anything; a terminal obeys control bytes.
std::string plain(std::string_view text) {
  std::string out;
  for (const char c : text) out.push_back(static_cast<unsigned char>(c) < 0x20 || c == 0x7F ? '?' : c);
  return out;
}

std::string place_words(const V3& p) {
  return fmt::format("({:.1f}, {:.1f}, {:.1f})", p.x(), p.y(), p.z());
}

std::string_view word(Answer answer) {
  switch (answer) {
    case Answer::confirmed:
      return "confirmed";
    case Answer::refuted:
      return "refuted";
    case Answer::cannot_tell:
      return "cannot tell";
  }
  return "";
}

std::string fault_words(const Fault& fault) {
  return fmt::format("{}{}{}", fault.undecided ? "cannot tell: " : "", plain(fault.text),
                     fault.where_mm ? ", at " + place_words(*fault.where_mm) : "");
}

std::string gap_words(const TightestGap& gap) {
  return fmt::format(
      "    least to spare {:.2f} mm: {:.2f} mm to {}, {:g} mm required, {:.1f} mm along at {}\n",
      gap.found_mm - gap.required_mm, gap.found_mm, plain(gap.other), gap.required_mm, gap.s_mm,
      place_words(gap.where_mm));
}

std::string motion_words(const TightestInMotion& found) {
  const TightestGap& gap = found.gap;
  return fmt::format(
      "    in motion least to spare {:.2f} mm: {:.2f} mm to {}, {:g} mm required, {:.1f} mm along at {} {}\n",
      gap.found_mm - gap.required_mm, gap.found_mm, plain(gap.other), gap.required_mm, gap.s_mm,
      place_words(gap.where_mm), found.place);
}

std::string clamp_words(const LineAnswer& line) {
  std::string out = fmt::format("    {} clamps measured", line.clamps);
  if (const auto& clamp = line.tightest_clamp)
    out += fmt::format("; least to spare {:.2f} mm: that {}, to {}", clamp->spare_mm, plain(clamp->where),
                       plain(clamp->other));
  return out + "\n";
}

std::string line_words(const LineAnswer& line) {
  std::string out = fmt::format("  {}: {}", plain(line.name), line.faults.empty() ? "holds" : "differs");
  if (!line.stock.empty()) out += "; " + plain(line.stock);
  if (line.length_mm > 0) out += fmt::format(", {:.1f} mm", line.length_mm);
  out += "\n";
  if (line.tightest) out += gap_words(*line.tightest);
  if (line.in_motion) out += motion_words(*line.in_motion);
  if (line.clamps > 0) out += clamp_words(line);
  for (const Fault& fault : line.faults) out += fmt::format("    - {}\n", fault_words(fault));
  return out;
}

std::string moved_words(const CandidateAnswer::MovedNeck& neck) {
  const V3& d = neck.outward;
  return fmt::format("  neck {}: not where it is written; its end at {}, facing ({:.3f}, {:.3f}, {:.3f})\n",
                     plain(neck.name), place_words(neck.end_mm), d.x(), d.y(), d.z());
}

std::string candidate_words(const CandidateAnswer& c) {
  std::string out = fmt::format(
      "{} {}: pump {}, drive {}, housing {} at {:g} deg, intake {} "
      "at {:g} mm\n",
      word(c.answer), c.motion.empty() ? "with the engine at rest" : "at rest and in motion", plain(c.pump),
      plain(c.drive), plain(c.housing), c.clock_deg, plain(c.intake), c.height_mm);
  out += fmt::format("  parts: {}; measured against {} obstacles\n", c.faults.empty() ? "hold" : "differ",
                     c.obstacles);
  for (const auto& neck : c.moved_necks) out += moved_words(neck);
  for (const auto& tee : c.tees)
    out += fmt::format("  tee {}: its middle at {}, the branch at {:g} deg\n", plain(tee.name),
                       place_words(tee.middle_mm), tee.clock_deg);
  out += c.motion.empty() ? "  motion: not looked at, since it does not hold at rest\n"
                          : fmt::format("  motion: everywhere within {}\n", c.motion);
  for (const Fault& fault : c.faults) out += fmt::format("    - {}\n", fault_words(fault));
  for (const LineAnswer& line : c.lines) out += line_words(line);
  return out;
}

constexpr std::string_view kNotRechecked =
    "The motion rests on the engine going no further on its mounts than told above, on hose bending as a "
    "rod\n"
    "without weight and pressure, and on shapes between the places worked out departing from straight "
    "motion\n"
    "by no more than twice what was measured there. A clip holds place and direction; clips are not "
    "measured.\n"
    "Not rechecked: in motion a line and its clamps against that line itself, and other shapes that hose "
    "may\n"
    "snap into; what open scans have not seen; sizes and torques of clamps; whether everything\n"
    "can be put on and reached; coolant flow, heat and suction; what is only flagged (high points, long "
    "spans,\n"
    "tight necks); prices and rank; how true the measurements are, and what nobody recorded. Limits are "
    "those\n"
    "of the input: their sources are told by `hosefit pick`. No safety guarantee.\n";

}  // namespace

std::string tell(const Report& report) {
  std::string out;
  if (!report.not_understood.empty()) {
    out = "cannot recheck: the input holds what the recheck does not know\n";
    for (const Problem& p : report.not_understood)
      out += fmt::format("  {}:{}:{}: {}{}{}\n", plain(p.place.file), p.place.line, p.place.column,
                         plain(p.path), p.path.empty() ? "" : ": ", plain(p.text));
    return out;
  }
  for (const CandidateAnswer& candidate : report.candidates) out += candidate_words(candidate) + "\n";
  if (report.candidates.empty())
    out += "The record holds no candidate that fits; there is nothing to confirm.\n\n";
  out += fmt::format(
      "{}: {} of {} confirmed, at rest and with the engine moving on its mounts. Places in mm, vehicle "
      "frame: X rearward, Y right as "
      "seated, Z up.\n",
      word(report.answer),
      std::count_if(report.candidates.begin(), report.candidates.end(),
                    [](const CandidateAnswer& c) { return c.answer == Answer::confirmed; }),
      report.candidates.size());
  if (report.answer == Answer::refuted)
    out +=
        "Unless input or record were changed by hand, the two proofs disagree, and one of them is wrong: "
        "build nothing from these sets. Send the record's folder and the vehicle's, as they are, to those "
        "who look "
        "after hosefit; they hold all that is needed to find out which.\n";
  out += kNotRechecked;
  return out;
}

}  // namespace hosefit::recheck
