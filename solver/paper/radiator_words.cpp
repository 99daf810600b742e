// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/paper/radiator_words.h"

#include <fmt/format.h>

#include <algorithm>

#include "solver/paper/radiator_layout.h"
#include "solver/report/text.h"
#include "solver/report/words.h"

namespace hosefit {
namespace {

std::string joined(const std::vector<std::string>& names) {
  std::string out;
  for (const std::string& name : names) out += fmt::format("{}{}", out.empty() ? "" : ", ", safe_text(name));
  return out;
}

std::string direction_words(const RadiatorNeck& neck) {
  const NeckLean lean = lean_of(neck.outward);
  if (lean.by.rad() == 0) return "square to C";
  return fmt::format("{:.1f}\xC2\xB0 off square, towards {:.0f}\xC2\xB0", lean.by.deg(), lean.towards.deg());
}

std::string place_words(const RadiatorNeck& neck, LengthUnit unit) {
  if (!neck.held_back_by.empty())
    return fmt::format("as written; no other place is drawn, {} is not proved", safe_text(neck.held_back_by));
  const std::string moved = moved_words(neck, unit);
  return moved.empty() ? "as written" : moved;
}

std::string accuracy_words(const RadiatorNeck& neck, LengthUnit unit) {
  return fmt::format("{}, \xC2\xB1{}", word(neck.method), drawn_figure(neck.accuracy.mm(), unit));
}

}  // namespace

std::vector<NeckRow> neck_rows(const RadiatorMatter& matter, std::size_t first, std::size_t last,
                               LengthUnit unit) {
  std::vector<NeckRow> rows{{"Neck", {}},          {"Hose line", {}},   {"From A, right", {}},
                            {"From B, up", {}},    {"From C, out", {}}, {"Outside \xC3\x98", {}},
                            {"Bore \xC3\x98", {}}, {"Straight", {}},    {"Bead", {}},
                            {"Direction", {}},     {"Moved", {}},       {"As written by", {}}};
  for (std::size_t i = first; i < last; ++i) {
    const RadiatorNeck& n = matter.necks[i];
    const auto mm = [&](double value) { return drawn_figure(value, unit); };
    const std::vector<std::string> column{fmt::format("{}  {}", i + 1, safe_text(n.name)),
                                          n.lines.empty() ? "none" : joined(n.lines),
                                          mm(n.end_mm.x()),
                                          mm(n.end_mm.y()),
                                          mm(n.end_mm.z()),
                                          mm(n.outside_diameter.mm()),
                                          mm(n.bore.mm()),
                                          mm(n.straight.mm()),
                                          n.bead ? "yes" : "no",
                                          direction_words(n),
                                          place_words(n, unit),
                                          accuracy_words(n, unit)};
    for (std::size_t row = 0; row < rows.size(); ++row) rows[row].figures.push_back(column[row]);
  }
  return rows;
}

std::string not_proved_words(const CandidateResult& result) {
  if (result.verdict.fit == Fit::fits) return {};
  return fmt::format("NOT PROVED TO FIT ({}). THIS IS NO ORDER: build and change nothing from it.",
                     word(result.verdict.fit));
}

std::string standing_words(const Job& job, const RadiatorMatter& matter) {
  const auto& necks = matter.necks;
  if (std::any_of(necks.begin(), necks.end(), [](const RadiatorNeck& n) { return n.moved; }))
    return "Necks elsewhere than written, to be ordered";
  if (std::any_of(necks.begin(), necks.end(), [](const RadiatorNeck& n) { return !n.held_back_by.empty(); }))
    return "As written; no other place is proved";
  const bool choice = std::any_of(job.vehicle.necks.begin(), job.vehicle.necks.end(), [&](const Neck& n) {
    return n.choice && std::any_of(necks.begin(), necks.end(),
                                   [&](const RadiatorNeck& drawn) { return drawn.name == n.name; });
  });
  return choice ? "Necks stay where they are written" : "As it stands: no neck to choose";
}

std::vector<std::string> note_words(const RadiatorMatter& matter) {
  std::vector<std::string> notes{
      "Datums: A left edge of the core as seen from the engine, B its lower edge, C its face on that side. "
      "Negative figures: left of A, below B, behind C.",
      "Places are those of the centre of a neck's open end. Towards: clockwise from up, from the engine.",
      "Bead and outlines are signs only. Walls, brazing, beads, pressure rating, and whether roots clear the "
      "core's edges and seams: the radiator's maker decides, and presses the finished part before it "
      "leaves."};
  if (!matter.before.empty() ||
      std::any_of(matter.necks.begin(), matter.necks.end(), [](const RadiatorNeck& n) { return n.moved; }))
    notes.emplace_back("Dashed: as written in the vehicle file.");
  if (!matter.core_is_box) notes.emplace_back("The core is no box; A, B and C belong to the box around it.");
  if (matter.leans.deg() >= 0.05)
    notes.push_back(
        fmt::format("The core stands {:.1f}\xC2\xB0 out of square in the vehicle; all is drawn "
                    "square to the core.",
                    matter.leans.deg()));
  std::string hulls;
  for (const RadiatorSolid& solid : matter.solids)
    if (!is_convex(solid.shape))
      hulls += fmt::format("{}{}", hulls.empty() ? "" : ", ", safe_text(solid.name));
  if (!hulls.empty()) notes.push_back(fmt::format("Drawn without its hollows: {}.", hulls));
  if (!matter.elsewhere.empty())
    notes.push_back(
        fmt::format("Also elsewhere than written, not on this sheet: {}.", joined(matter.elsewhere)));
  return notes;
}

std::vector<std::string> caution_words() {
  return {
      "NOT TO BE BUILT FROM WITHOUT CHECKING AGAINST THE VEHICLE. Cut no hose before the part is here and "
      "measured.",
      "CAUTION: hot coolant under pressure scalds. Open the system and take the old radiator out only when "
      "it is cool enough to touch and the fan cannot start.",
      closing_words()};
}

}  // namespace hosefit
