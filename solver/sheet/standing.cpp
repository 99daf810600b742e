// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <array>

#include "solver/input/check_report.h"
#include "solver/sheet/sections.h"

namespace hosefit {
namespace {

std::string motion_words(const SheetDesk& desk) {
  const EngineMotion& m = desk.job().motion;
  return fmt::format(
      "The same hoses and the parts on the engine wherever it goes on its mounts: up to {:.1f} deg of roll "
      "to either side, {} up and down, {} forward, {} rearward and {} to either side, all at once. Hose is "
      "taken as an elastic rod of its cut length, held by the clips named.",
      m.roll.deg(), both_short(m.lift), both_short(m.forward), both_short(m.rearward),
      both_short(m.sideways));
}

SheetCard checked_card(const SheetDesk& desk) {
  const CandidateResult& chosen = desk.chosen;
  SheetList list{
      {"Whether the parts go together: bolt pattern, belt line, direction of rotation.",
       "The gaps between rigid parts as recorded: intake, pump, housing, drive, hood, fan, vehicle."}};
  if (!chosen.lines_tried) {
    list.items.push_back(
        "NO HOSE WAS LAID: a part already rules this set out, so nothing about hoses was checked.");
    return {"Checked", {list}};
  }
  std::string not_proved;
  long proved = 0;
  for (const CutSheet& cut : desk.cuts) {
    const bool good = cut.standing == Standing::order || cut.standing == Standing::combination_stops;
    proved += good ? 1 : 0;
    if (!good)
      not_proved += (not_proved.empty() ? "" : ", ") + safe_text(desk.job().vehicle.lines[cut.line].name);
  }
  list.items.push_back(
      fmt::format("For {} of {}, with the engine at rest: the gap to every recorded part and to every other "
                  "hose, to 0.05 mm (0.002 in) along its whole length; bend radius and bend angle, straight "
                  "ends, lengths on sale, rise and fall, and room for the housing of every clamp.",
                  proved, counted(static_cast<long>(desk.cuts.size()), "hose")));
  if (chosen.motion && chosen.motion->proved()) list.items.push_back(motion_words(desk));
  if (!not_proved.empty())
    list.items.push_back(fmt::format("NOT PROVED, so nothing may be concluded about them: {}.", not_proved));
  if (chosen.flow && !chosen.flow->points.empty())
    list.items.push_back("The coolant flow and its temperatures at the working points, within their bands.");
  return {"Checked", {list}};
}

std::string mounts_words(const Job& job) {
  const bool shop = job.motion.provenance.source == Source::shop;
  return fmt::format(
      "How far the engine really goes on its {} mounts: the figures above are {}. The clips and their "
      "brackets "
      "were not moved.",
      word(job.vehicle.mounts), shop ? "the shop's own" : word(job.motion.provenance.source));
}

constexpr std::string_view kOfMeasuring =
    "Errors of measuring: they are not taken off the gaps. A value taken by tape may be 5 mm (0.20 in) off "
    "(from memory), and the gap with it.";

SheetCard not_checked_card(const SheetDesk& desk) {
  const Vehicle& vehicle = desk.job().vehicle;
  SheetList list{{mounts_words(desk.job()), std::string(kOfMeasuring),
                  "What nobody recorded: a part that is not in the vehicle file was not seen.",
                  "Steering, throttle and linkage in motion, beyond the shapes recorded for them.",
                  "Whether hands and tools reach every clamp, and whether each hose can be put on in place.",
                  "Whether a hose bears its heat, pressure and coolant: its maker's data decide.",
                  "Cooling in real traffic and weather."}};
  if (vehicle.known_space.empty())
    list.items.push_back(
        "No space is recorded as complete, so no line could be called proved to lie in one.");
  return {"Not checked", {list}};
}

Tone tone_of(const Finding& finding) {
  if (finding.severity == Severity::note) return Tone::plain;
  return finding.severity == Severity::stop && !finding.undecided ? Tone::bad : Tone::doubtful;
}

std::string_view label_of(const Finding& finding) {
  switch (finding.severity) {
    case Severity::stop:
      return finding.undecided ? "Undecided" : "Stop";
    case Severity::flag:
      return "Look at this";
    case Severity::note:
      return "Note";
  }
  return "";
}

SheetCard findings_card(const SheetDesk& desk) {
  SheetCard card{"Findings about this set", {}};
  for (const Finding& finding : desk.chosen.findings) {
    card.blocks.push_back(Paragraph{
        tone_of(finding), fmt::format("{}: {}", label_of(finding), sentences(finding, desk.context()))});
  }
  if (card.blocks.empty()) card.blocks.push_back(Paragraph{Tone::plain, "None."});
  return card;
}

SheetCard limits_card(const SheetDesk& desk) {
  return {
      "Where the limits come from",
      {Paragraph{Tone::plain, limits_words(desk.chosen.verdict.limits) +
                                  ". Sourced means: a standard or handbook with a title that a reader can "
                                  "find. Unsourced means: common practice or memory."},
       Paragraph{Tone::plain,
                 "The weakest figures of the trade are the least bend radius of straight hose and how far "
                 "an engine moves on its mounts."}}};
}

void add_own_gaps(SheetTable& table, const Body& body) {
  for (const Obstacle& obstacle : body.obstacles) {
    if (!obstacle.own_gap) continue;
    const Provenance& p = obstacle.own_gap->provenance;
    table.rows.push_back({safe_text(obstacle.name),
                          fmt::format("gap of its own, {}", both_short(obstacle.own_gap->gap)),
                          p.signer.empty() ? "NOT SIGNED" : safe_text(p.signer),
                          p.reason.empty() ? "no reason given" : safe_text(p.reason)});
  }
}

void add_shop_gaps(SheetTable& table, const Vehicle& vehicle) {
  for (const GapSetByShop& set : vehicle.gaps) {
    const std::string_view where = !set.same_carrier   ? ""
                                   : *set.same_carrier ? ", moving together"
                                                       : ", moving apart";
    table.rows.push_back(
        {fmt::format("{} past {}{}", plain_word(word(set.runner)), plain_word(word(set.hazard)), where),
         fmt::format("gap set by the shop, {}", both_short(set.gap)),
         set.provenance.signer.empty() ? "NOT SIGNED" : safe_text(set.provenance.signer),
         set.provenance.reason.empty() ? "no reason given" : safe_text(set.provenance.reason)});
  }
}

void add_pinned(SheetTable& table, const Vehicle& vehicle) {
  for (const Line& line : vehicle.lines)
    if (line.stock)
      table.rows.push_back({fmt::format("line {}", safe_text(line.name)),
                            fmt::format("stock pinned to {}", safe_text(*line.stock)),
                            "the shop, no name on file",
                            line.stock_reason.empty() ? "no reason given" : safe_text(line.stock_reason)});
}

struct MethodCount {
  int values = 0;
  std::optional<Length> least, most;
};

void count(std::array<MethodCount, 6>& counts, const std::vector<ReviewEntry>& entries) {
  for (const ReviewEntry& entry : entries) {
    MethodCount& c = counts[static_cast<std::size_t>(entry.method)];
    ++c.values;
    if (!entry.accuracy) continue;
    c.least = c.least ? std::min(*c.least, *entry.accuracy) : *entry.accuracy;
    c.most = c.most ? std::max(*c.most, *entry.accuracy) : *entry.accuracy;
  }
}

}  // namespace

SheetSection checked_section(const SheetDesk& desk) {
  return {"checked",
          "What was checked, and what was not",
          {checked_card(desk), not_checked_card(desk), findings_card(desk), limits_card(desk)}};
}

SheetSection exceptions_section(const SheetDesk& desk) {
  const Vehicle& vehicle = desk.job().vehicle;
  SheetTable table{
      "Exceptions, who stands for them and why", {"about", "accepted", "signed by", "reason"}, {}};
  if (desk.bay)
    for (const PlacedBody& placed : desk.bay->bodies) add_own_gaps(table, *placed.body);
  else
    for (const auto& body : {vehicle.chassis, vehicle.hood, vehicle.fan, vehicle.on_engine})
      if (body) add_own_gaps(table, *body);
  add_shop_gaps(table, vehicle);
  add_pinned(table, vehicle);
  SheetSection out{"exceptions", "Exceptions accepted", {{"", {}}}};
  if (table.rows.empty())
    out.cards.front().blocks.push_back(
        Paragraph{Tone::plain, "None: no gap was set by the shop and no stock was pinned."});
  else
    out.cards.front().blocks.push_back(table);
  return out;
}

SheetSection measured_section(const SheetDesk& desk) {
  const InputReview all = review(desk.job());
  std::array<MethodCount, 6> counts{};
  count(counts, all.measured);
  count(counts, all.assumed);
  SheetTable table{
      "How the values behind this sheet were measured", {"how", "values", "taken to be right to"}, {}};
  for (const MeasuredBy method : {MeasuredBy::caliper, MeasuredBy::drawing, MeasuredBy::scan, MeasuredBy::jig,
                                  MeasuredBy::tape, MeasuredBy::assumed}) {
    const MethodCount& c = counts[static_cast<std::size_t>(method)];
    if (c.values == 0) continue;
    std::string accuracy = "-";
    if (c.least) accuracy = "\u00b1" + both_short(*c.least);
    if (c.least && *c.least < *c.most) accuracy += " to \u00b1" + both_short(*c.most);
    table.rows.push_back(
        {method == MeasuredBy::assumed ? "assumed, or from memory" : std::string(word(method)),
         std::to_string(c.values), accuracy});
  }
  SheetCard how{"", {table}};
  if (!all.missing.empty())
    how.blocks.push_back(Paragraph{
        Tone::doubtful,
        fmt::format("Missing altogether: {}.", counted(static_cast<long>(all.missing.size()), "value"))});
  SheetCard sign{"Names",
                 {Paragraph{Tone::plain, "The input names nobody who measured. To be filled in by hand:"},
                  SignLine{"Measured by, date"}, SignLine{"Fitted and pressure tested by, date"},
                  SignLine{"Handed over to, date"}}};
  return {"measured", "Who measured, and how well", {how, sign}};
}

}  // namespace hosefit
