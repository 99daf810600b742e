// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "solver/report/reasons.h"
#include "solver/report/size_report.h"
#include "solver/report/size_sections.h"
#include "solver/report/size_words.h"
#include "solver/report/text.h"

namespace hosefit {
namespace {

void write_head(Page& page, const SizeReport& report) {
  const Family& family = report.job.family;
  const Candidate& candidate = report.result.candidate;
  const std::vector<std::string> parts = parts_words(family, candidate);
  page.line(fmt::format("hosefit {}: what to order and cut for pump {} in the {}", report.version,
                        family.pumps[candidate.pump].name, report.job.vehicle.name),
            0, 2, Tint::strong);
  page.line(fmt::format("With {} and {}, intake {} at {} above the crank centreline.", parts[0], parts[1],
                        family.intakes[candidate.intake].name, both_short(candidate.height)),
            0, 2);
  page.blank();
  const std::optional<Bay> bay = bay_of(report.job, report.result);
  const WordsContext context{page.look().unit, bay ? &*bay : nullptr};
  if (report.result.verdict.fit == Fit::fits) {
    page.line(fmt::format("It fits, proved with the engine at rest and moving on its mounts; {}.",
                          limits_words(report.result.verdict.limits)),
              0, 2, Tint::good);
    if (!report.list.order_now)
      page.line("DO NOT ORDER ALL OF IT: some lines are not proved; they say so and are not in the list.", 0,
                2, Tint::bad);
    return;
  }
  page.line(fmt::format("DO NOT ORDER FROM THIS: {}. {}", verdict_words(report.result),
                        binding_words(report.result, context)),
            0, 2, Tint::bad);
  page.line(
      "What follows shows how far the plan is. The order list holds lines that are proved by themselves, and "
      "none of them is any use while the whole does not fit.",
      0, 2);
}

void write_order(Page& page, const SizeReport& report) {
  const OrderList& list = report.list;
  page.heading(list.order_now ? "Order list" : "Order list (NOT to be ordered as it stands)");
  for (const std::string& line : list.lines_left_out)
    page.line(fmt::format("Left out: {}. Not proved, so nothing of it is in this list.", safe_text(line)), 0,
              2, Tint::bad);
  for (const std::string& moved : moved_neck_sentences(report.result, page.look().unit))
    page.line("First of all: " + moved, 0, 2, Tint::doubtful);
  for (const CutSheet& sheet : report.sheets)
    for (const ReducerNeed& need : sheet.reducers)
      page.line(fmt::format("Needed before {} can be planned: {}{}. {}",
                            safe_text(report.job.vehicle.lines[sheet.line].name), need.item ? "1 x " : "",
                            reducer_words(need),
                            need.item && need.item->price > 0
                                ? fmt::format("Price {:.2f}, not in the sum below.", need.item->price)
                                : std::string("Its price is unknown.")),
                0, 2, Tint::doubtful);
  if (std::any_of(report.sheets.begin(), report.sheets.end(),
                  [](const CutSheet& sheet) { return !sheet.reducers.empty(); }))
    page.blank();
  if (list.rows.empty()) {
    page.line("Nothing can be ordered.");
    return;
  }
  write_order_table(page, list);
  page.blank();
  page.line(fmt::format(
                "Prices on file add up to {:.2f}{}.", list.known_price,
                list.rows_without_price > 0
                    ? fmt::format("; {} of {} have no price and are NOT in that sum", list.rows_without_price,
                                  counted(static_cast<long>(list.rows.size()), "row"))
                    : std::string()),
            0, 2);
  page.line(
      "Spares: one clamp in ten of each size, at least one (common practice, no source). Nothing else has "
      "any.",
      0, 2);
  page.line(
      "Hose types and classes are named in the words of an open standard; that claims no conformity of any "
      "hose.",
      0, 2);
  if (!list.least_spend_proved)
    page.line(
        "So many cuts of one stock that not every way to share lengths was weighed: the list is complete, "
        "but "
        "perhaps not the least to buy.",
        0, 2);
}

void write_cutting(Page& page, const SizeReport& report) {
  const bool in_hand = !report.list.shelf.empty();
  if (in_hand) {
    page.heading("Hose in hand");
    page.line(
        "Used where it saves the most. Hose that has been on swells: measure each end inside as told at the "
        "line, and use none that is cracked, soft or oily.",
        0, 2);
    for (const ShelfRow& row : report.list.shelf) page.line(shelf_words(report, row), 2, 2);
  }
  if (report.list.sticks.empty()) return;
  page.heading("Cut from straight lengths");
  for (const StickRow& stick : report.list.sticks) {
    std::string cuts;
    for (const ShelfRow::Cut& cut : stick.cuts) cuts += (cuts.empty() ? "" : "; ") + cut_words(report, cut);
    page.line(fmt::format("{} of {}: {}", stick.stock.empty() ? "hose" : safe_text(stick.stock),
                          both_short(stick.length), cuts),
              2, 2);
  }
}

}  // namespace

std::string size_text(const SizeReport& report, const TextLook& look) {
  Page page(look);
  write_head(page, report);
  write_order(page, report);
  write_cutting(page, report);
  page.heading("Cut sheets");
  page.line(
      "Lengths are along the centreline. \"Start\" is the line's first neck; turns are right-handed looking "
      "along the flow, from the bend before. Places are in the vehicle frame.",
      0, 2);
  for (const CutSheet& sheet : report.sheets) write_sheet(page, report, sheet);
  write_size_cautions(page);
  page.blank();
  page.line(fmt::format("Input {}.", report.job.input_fingerprint.empty()
                                         ? std::string("without a fingerprint")
                                         : fmt::format("fingerprint {}", report.job.input_fingerprint)));
  page.line(closing_words());
  return page.text();
}

}  // namespace hosefit
