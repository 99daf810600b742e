// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "solver/report/height_rows.h"
#include "solver/sheet/sections.h"

namespace hosefit {
namespace {

std::string deciding(const CandidateResult& first, const CandidateResult& next, LengthUnit unit) {
  for (const ComparedQuantity& quantity : compared(first, &next, unit))
    if (quantity.decides) return safe_text(quantity.words);
  return "equal in all that is compared; the order of the family's file decides";
}

// Where a set that fits too stands against the one on the sheet.
std::string fits_too(const SheetDesk& desk, const CandidateResult& other) {
  const auto place = [&](const CandidateResult& result) {
    const std::vector<PumpAnswer>& ranking = desk.matter.choice.ranking;
    return std::find_if(ranking.begin(), ranking.end(),
                        [&](const PumpAnswer& answer) { return answer.pump == result.candidate.pump; }) -
           ranking.begin();
  };
  const LengthUnit unit = desk.matter.unit;
  return place(desk.chosen) < place(other)
             ? fmt::format("It fits too, and stands behind the one on this sheet: {}.",
                           deciding(desk.chosen, other, unit))
             : fmt::format("It fits, and stands before the one on this sheet: {}.",
                           deciding(other, desk.chosen, unit));
}

SheetCard card_of(const SheetDesk& desk, const OtherPump& other) {
  const CandidateResult& result = desk.matter.choice.candidates[other.candidate];
  const Job& job = desk.job();
  SheetCard card{fmt::format("{}: {}", pump_name(job, result), verdict_words(result)), {}};
  if (other.picture) card.blocks.push_back(*other.picture);
  if (result.verdict.fit == Fit::fits)
    card.blocks.push_back(Paragraph{Tone::strong, fits_too(desk, result)});
  else
    card.blocks.push_back(Paragraph{Tone::strong, binding_sentence(job, result, desk.matter.unit)});
  const std::vector<std::string> parts = parts_words(job.family, result.candidate);
  card.blocks.push_back(Paragraph{
      Tone::quiet, fmt::format("Judged with drive {} and housing {}, its best set.", parts[0], parts[1])});
  if (!other.picture)
    card.blocks.push_back(Paragraph{Tone::quiet, "No picture: these parts do not bolt together."});
  return card;
}

}  // namespace

SheetSection other_pumps(const SheetDesk& desk) {
  SheetSection out{"other-pumps", "The other pumps", {}};
  if (desk.matter.pictures.others.empty())
    out.cards.push_back({"", {Paragraph{Tone::plain, "No other pump of this engine family was judged."}}});
  for (const OtherPump& other : desk.matter.pictures.others) out.cards.push_back(card_of(desk, other));
  return out;
}

SheetSection intake_heights(const SheetDesk& desk) {
  SheetSection out{"intake-heights", "Intake heights", {}};
  const Intake& intake = desk.job().family.intakes[desk.chosen.candidate.intake];
  if (desk.matter.windows.empty()) {
    out.cards.push_back(
        {"",
         {Paragraph{
             Tone::plain,
             fmt::format("This sheet is about {} only. Over which heights from {} to {} each pump fits "
                         "is worked out with the option --windows; that takes minutes.",
                         both_short(desk.chosen.candidate.height), both_short(intake.least_height),
                         both_short(intake.most_height))}}});
    return out;
  }
  HeightChart chart{intake.least_height,
                    intake.most_height,
                    desk.chosen.candidate.height,
                    both_short(intake.least_height),
                    both_short(intake.most_height),
                    both_short(desk.chosen.candidate.height),
                    {}};
  SheetTable table{"Every interval of height", {"pump", "from", "to", "answer", "what binds"}, {}};
  std::string left_out;
  for (const PumpWindows& pump : desk.matter.windows) {
    HeightBar bar{safe_text(desk.job().family.pumps[pump.pump].name), {}};
    for (const HeightWindow& w : pump.windows)
      bar.parts.push_back({w.from, w.to, w.fit,
                           fmt::format("{} to {}: {}", both_short(w.from), both_short(w.to), word(w.fit))});
    const HeightRows rows = height_rows(pump.windows, desk.matter.unit);
    for (const HeightRow& row : rows.rows)
      table.rows.push_back({bar.name, both_short(row.from), both_short(row.to), std::string(word(row.fit)),
                            row.binds.empty() ? "-" : row.binds});
    if (rows.left_out) left_out = left_out_words(rows, desk.matter.unit);
    chart.bars.push_back(std::move(bar));
  }
  out.cards.push_back(
      {"",
       {Paragraph{Tone::plain,
                  "\"fits\" and \"no\" stand only where a proof or an argument covers every height of "
                  "the interval; \"open\" is undecided."},
        chart}});
  SheetCard every{"", {table}};
  if (!left_out.empty()) every.blocks.push_back(Paragraph{Tone::plain, left_out});
  out.cards.push_back(std::move(every));
  return out;
}

}  // namespace hosefit
