// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "solver/sheet/sections.h"

namespace hosefit {
namespace {

const CandidateResult* best_ranked(const SheetDesk& desk) {
  const Choice& choice = desk.matter.choice;
  return choice.ranking.empty() ? nullptr : &choice.candidates[choice.ranking.front().best];
}

// Something else fits while the set on the sheet does not.
const CandidateResult* fitting_other(const SheetDesk& desk) {
  const CandidateResult* best = best_ranked(desk);
  return !desk.fits() && best != nullptr && best->verdict.fit == Fit::fits ? best : nullptr;
}

std::string set_words(const Job& job, const CandidateResult& result) {
  const std::vector<std::string> parts = parts_words(job.family, result.candidate);
  return fmt::format("pump {} with drive {} and housing {}", pump_name(job, result), parts[0], parts[1]);
}

SheetTable parts_table(const SheetDesk& desk) {
  const Family& family = desk.job().family;
  const Candidate& c = desk.chosen.candidate;
  const std::vector<std::string> parts = parts_words(family, c);
  const auto told = [](const std::string& text) { return text.empty() ? std::string("-") : safe_text(text); };
  return {"The set of parts on this sheet",
          {"part", "which", "what it is"},
          {{"pump", pump_name(desk.job(), desk.chosen), told(family.pumps[c.pump].description)},
           {"accessory drive", parts[0], told(family.drives[c.drive].description)},
           {"thermostat housing or outlet", parts[1], told(family.housings[c.housing].description)},
           {"intake", safe_text(family.intakes[c.intake].name), told(family.intakes[c.intake].description)}}};
}

SheetList changes(const SheetDesk& desk) {
  SheetList out;
  for (const std::string& change : desk.chosen.changes) out.items.push_back(safe_text(change));
  return out;
}

SheetCard why_card(const SheetDesk& desk) {
  const Choice& choice = desk.matter.choice;
  SheetCard card{"Why this one", {}};
  if (!desk.fits())
    card.blocks.push_back(
        Paragraph{Tone::bad, fmt::format("What stands against it: {}",
                                         binding_sentence(desk.job(), desk.chosen, desk.matter.unit))});
  if (desk.matter.question.named) {
    card.blocks.push_back(
        Paragraph{Tone::plain, "The shop named these parts; the program did not choose them."});
    return card;
  }
  const CandidateResult* next =
      choice.ranking.size() > 1 ? &choice.candidates[choice.ranking[1].best] : nullptr;
  card.blocks.push_back(Paragraph{
      Tone::plain,
      next != nullptr
          ? fmt::format("Held against the next, {}, in this order; the first that differs decides. There is "
                        "no single score.",
                        pump_name(desk.job(), *next))
          : std::string("It is the only pump that was judged.")});
  SheetList list;
  for (const ComparedQuantity& quantity : compared(desk.chosen, next, desk.matter.unit))
    list.items.push_back(safe_text(quantity.words));
  card.blocks.push_back(list);
  return card;
}

std::vector<std::string> line_row(const SheetDesk& desk, std::size_t index) {
  const Line& line = desk.job().vehicle.lines[index];
  const CutSheet& cut = desk.cuts[index];
  const std::string ends = fmt::format("{} to {}", safe_text(line.from), safe_text(line.to));
  if (!cut.route) {
    std::string why = "not tried: a part already rules this set out";
    for (const LineSearch& search : desk.chosen.searches)
      if (search.line == index) why = outcome_words(search.outcome);
    return {safe_text(line.name), ends, "NO HOSE", "-", why};
  }
  const GapRecord* tightest = proved_tightest(desk.chosen, index);
  const bool proved = cut.standing == Standing::order || cut.standing == Standing::combination_stops;
  return {safe_text(line.name), ends, std::string(title(cut.route->make)),
          both_short(Length::mm(length_mm(cut.route->centreline))),
          !proved               ? std::string("NOT PROVED")
          : tightest == nullptr ? std::string("proved; nothing within 50 mm of what it needs")
                                : both_gap_words(*tightest)};
}

SheetCard hoses_card(const SheetDesk& desk) {
  SheetTable table{"Hoses: length between the neck ends, and the tightest proved gap",
                   {"line", "from, to", "made as", "length", "tightest gap"},
                   {}};
  for (std::size_t i = 0; i < desk.cuts.size(); ++i) table.rows.push_back(line_row(desk, i));
  return {"The hoses", {table}};
}

void add(SheetCard& card, const std::optional<SheetPicture>& picture, std::string_view without) {
  if (picture)
    card.blocks.push_back(*picture);
  else
    card.blocks.push_back(Paragraph{Tone::quiet, std::string(without)});
}

}  // namespace

Paragraph answer_on_top(const SheetDesk& desk) {
  const std::string set = set_words(desk.job(), desk.chosen);
  if (desk.fits())
    return {Tone::good,
            fmt::format("It fits, proved at rest and with the engine moving on its mounts: {}.", set)};
  if (fitting_other(desk) != nullptr)
    return {Tone::bad,
            fmt::format("THE PARTS NAMED ARE NOT PROVED TO FIT ({}): {}.", verdict_words(desk.chosen), set)};
  return {Tone::bad,
          fmt::format("NOTHING IS PROVED TO FIT. Do not order or cut from this sheet. {}: {} ({}).",
                      desk.matter.question.named ? "The parts named" : "The nearest", set,
                      verdict_words(desk.chosen))};
}

std::vector<std::string> more_on_top(const SheetDesk& desk) {
  std::vector<std::string> out;
  if (desk.fits())
    for (const std::string& moved : moved_neck_sentences(desk.chosen, desk.matter.unit))
      out.push_back("First of all: " + moved);
  if (!desk.fits())
    out.push_back("What is missing: " + binding_sentence(desk.job(), desk.chosen, desk.matter.unit));
  if (const CandidateResult* other = fitting_other(desk))
    out.push_back(fmt::format("Another set is proved to fit: {}.", set_words(desk.job(), *other)));
  if (desk.fits())
    if (const auto tightest = tightest_gap(desk.chosen))
      out.push_back(fmt::format("Tightest place: {} at {}.",
                                safe_text(desk.job().vehicle.lines[tightest->line].name),
                                both_gap_words(*tightest->gap)));
  out.push_back(fmt::format("The answer rests on {}.", limits_words(desk.chosen.verdict.limits)));
  out.push_back(
      "How far the engine really goes on its mounts is not proved: see what was checked and what was not.");
  return out;
}

SheetSection which_pump(const SheetDesk& desk) {
  SheetSection out{"which-pump", "Which pump, and why", {}};
  SheetCard parts{"The parts", {parts_table(desk)}};
  if (desk.chosen.changes.empty()) {
    parts.blocks.push_back(Paragraph{Tone::plain, "Nothing has to change against what is fitted."});
  } else {
    parts.blocks.push_back(Paragraph{Tone::strong, "To change against what is fitted:"});
    parts.blocks.push_back(changes(desk));
    parts.blocks.push_back(Paragraph{Tone::caution, belt_caution()});
  }
  SheetCard whole, close;  // apart, so that a page break may fall between them
  add(whole, desk.matter.pictures.whole, "No picture: these parts do not bolt together.");
  add(close, desk.matter.pictures.close, "No close-up: no single place decides.");
  out.cards = {whole, close, parts, why_card(desk), hoses_card(desk)};
  return out;
}

}  // namespace hosefit
