// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/report/text.h"

#include <fmt/format.h>

#include "solver/report/pick_sections.h"
#include "solver/report/reasons.h"

namespace hosefit {
namespace {

const CandidateResult& best_of(const Choice& choice, const PumpAnswer& answer) {
  return choice.candidates[answer.best];
}

Tint tint_of(Fit fit) {
  switch (fit) {
    case Fit::fits:
      return Tint::good;
    case Fit::passage_no_stock:
    case Fit::undecided:
      return Tint::doubtful;
    case Fit::does_not_fit:
      return Tint::bad;
  }
  return Tint::none;
}

void write_head(Page& page, const Job& job, const Choice& choice, const ReportExtras& extras) {
  const Vehicle& vehicle = job.vehicle;
  const LengthUnit unit = page.look().unit;
  page.line(fmt::format("hosefit {}: which pump for the {} intake at {} in the {}?", extras.version,
                        job.family.intakes[choice.query.intake].name, length_words(choice.query.height, unit),
                        vehicle.name),
            0, 2, Tint::strong);
  page.line(
      "Height is that of the intake's top reference above the crank centreline, square to the crank. Left "
      "and right as seated.",
      0, 2);
  if (choice.stopped)
    page.line(fmt::format("Interrupted: {} not judged. What follows is only what was finished.",
                          counted(static_cast<long>(choice.candidates_left), "combination")),
              0, 2, Tint::doubtful);
}

void write_answer(Page& page, const Job& job, const Choice& choice) {
  if (choice.ranking.empty()) {
    page.line("No pump was judged.");
    return;
  }
  const CandidateResult& first = best_of(choice, choice.ranking.front());
  const std::string name = job.family.pumps[choice.ranking.front().pump].name;
  const std::vector<std::string> parts = parts_words(job.family, first.candidate);
  switch (first.verdict.fit) {
    case Fit::fits:
      page.line(fmt::format("Take pump {} with {} and {}: it fits, proved at rest and with the engine moving "
                            "on its mounts.",
                            name, parts[0], parts[1]),
                0, 2, Tint::good);
      for (const std::string& moved : moved_neck_sentences(first, page.look().unit))
        page.line("First of all: " + moved, 0, 2, Tint::doubtful);
      break;
    case Fit::passage_no_stock:
      page.line(fmt::format("Nothing fits with hose on sale. Nearest is pump {}: there is a way, but no "
                            "stock that follows it.",
                            name),
                0, 2, Tint::doubtful);
      break;
    case Fit::undecided:
      page.line(fmt::format("No pump is proved to fit. Most open is pump {}: undecided.", name), 0, 2,
                Tint::doubtful);
      break;
    case Fit::does_not_fit:
      page.line(fmt::format("{} Nearest is pump {}.",
                            choice.stopped ? "None of the pumps judged so far fits." : "No pump fits.", name),
                0, 2, Tint::bad);
      break;
  }
}

}  // namespace

std::string closing_words() {
  return "This is a planning aid only. The makers' data, the vehicle as measured, local codes and an "
         "inspection by a qualified "
         "person decide. It gives no guarantee of cooling and none of safety.";
}

void write_pump_table(Page& page, const Job& job, const Choice& choice) {
  const LengthUnit unit = page.look().unit;
  std::vector<std::vector<Cell>> rows;
  std::vector<std::string> curves;
  for (std::size_t i = 0; i < choice.ranking.size(); ++i) {
    const CandidateResult& result = best_of(choice, choice.ranking[i]);
    const std::optional<Bay> bay = bay_of(job, result);
    const auto tightest = tightest_gap(result);
    std::string flow = "-";
    if (result.flow && daily_point(*result.flow) != nullptr) {
      const std::string curve = curve_words(*result.flow);
      std::size_t number = 0;
      while (number < curves.size() && curves[number] != curve) ++number;
      if (number == curves.size()) curves.push_back(curve);
      const OperatingPoint& point = *daily_point(*result.flow);
      flow =
          fmt::format("{} at {}, curve {}", flow_words(point.total, unit), safe_text(point.duty), number + 1);
    }
    rows.push_back({{{std::to_string(i + 1)}, Tint::strong},
                    {{safe_text(job.family.pumps[choice.ranking[i].pump].name)}, Tint::strong},
                    {parts_words(job.family, result.candidate)},
                    {{verdict_words(result)}, tint_of(result.verdict.fit)},
                    {{binding_words(result, {unit, bay ? &*bay : nullptr})}},
                    {{result.routes.empty()
                          ? "-"
                          : fmt::format("{}, {}", counted(static_cast<long>(result.routes.size()), "hose"),
                                        counted(result.comparison.joints, "joint"))}},
                    {{tightest ? gap_words(*tightest->gap, unit) : "-"}},
                    {{flow}}});
  }
  page.blank();
  page.table({"rank", "pump", "with", "verdict", "what binds", "hoses", "tightest gap", "flow"}, rows);
  if (curves.empty()) return;
  page.blank();
  for (std::size_t i = 0; i < curves.size(); ++i)
    page.line(fmt::format("curve {}: pump curve, {}", i + 1, curves[i]), 0, 2);
}

std::string pick_text(const Job& job, const Choice& choice, const ReportExtras& extras,
                      const TextLook& look) {
  Page page(look);
  write_head(page, job, choice, extras);
  page.blank();
  write_answer(page, job, choice);
  if (!choice.ranking.empty()) {
    write_pump_table(page, job, choice);
    const CandidateResult& first = best_of(choice, choice.ranking.front());
    write_why_first(page, job, choice);
    write_hoses(page, job, first);
    write_flow(page, job, first);
    write_standing(page, job, first);
    write_others(page, job, choice);
  }
  if (extras.motion_asked) write_motion(page, job, choice);
  write_windows(page, job, choice.query, extras.windows);
  page.blank();
  page.line(fmt::format("Input {}.", job.input_fingerprint.empty()
                                         ? std::string("without a fingerprint")
                                         : fmt::format("fingerprint {}", job.input_fingerprint)));
  page.line(closing_words());
  return page.text();
}

}  // namespace hosefit
