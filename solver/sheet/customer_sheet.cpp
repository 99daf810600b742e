// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/sheet/customer_sheet.h"

#include <fmt/format.h>

#include "solver/sheet/sections.h"

namespace hosefit {
namespace {

SheetDesk desk_of(const SheetMatter& matter) {
  const CandidateResult& chosen = matter.choice.candidates[matter.question.chosen];
  SheetDesk desk{matter, chosen, bay_of(matter.job, chosen), cut_sheets(matter.job, chosen), {}};
  desk.order = order_list(matter.job, chosen, desk.cuts);
  return desk;
}

std::vector<std::string> closing_of(const SheetMatter& matter) {
  const std::string& fingerprint = matter.job.input_fingerprint;
  return {
      closing_words(),
      fmt::format("Made with hosefit {}, {}.", safe_text(matter.version),
                  matter.date.empty() ? std::string("undated") : safe_text(matter.date)),
      fingerprint.empty()
          ? std::string("Input without a fingerprint: it cannot be told which measurements this rests on.")
          : fmt::format("Fingerprint of the input: {}. Another fingerprint means other measurements, "
                        "parts or limits.",
                        safe_text(fingerprint))};
}

}  // namespace

std::string_view short_word(Fit fit) {
  switch (fit) {
    case Fit::fits:
      return "fits";
    case Fit::passage_no_stock:
      return "no stock";
    case Fit::does_not_fit:
      return "no";
    case Fit::undecided:
      return "open";
  }
  return "";
}

CustomerSheet customer_sheet(const SheetMatter& matter) {
  const SheetDesk desk = desk_of(matter);
  const Job& job = matter.job;
  const Candidate& candidate = desk.chosen.candidate;
  CustomerSheet out;
  out.title = fmt::format("Coolant pump and hoses: {}", safe_text(job.vehicle.name));
  out.question =
      fmt::format("Engine {}, intake {} at {} above the crank centreline. Left and right as seated.",
                  safe_text(job.family.name), safe_text(job.family.intakes[candidate.intake].name),
                  both_short(candidate.height));
  out.date = safe_text(matter.date);
  out.answer = answer_on_top(desk);
  out.answer_more = more_on_top(desk);
  out.sections = {which_pump(desk),      other_pumps(desk),        intake_heights(desk), flow_section(desk),
                  checked_section(desk), exceptions_section(desk), order_section(desk),  fill_section(desk),
                  service_section(desk), measured_section(desk)};
  out.closing = closing_of(matter);
  return out;
}

}  // namespace hosefit
