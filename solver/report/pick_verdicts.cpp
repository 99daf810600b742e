// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "solver/report/height_rows.h"
#include "solver/report/pick_sections.h"
#include "solver/report/reasons.h"

namespace hosefit {
namespace {

// Wide enough to see a window of a few millimetres in the range of an intake, narrow enough for any terminal.
constexpr int kWidestBar = 72;

std::string_view severity_words(const Finding& finding) {
  switch (finding.severity) {
    case Severity::stop:
      return finding.undecided ? "undecided" : "stop";
    case Severity::flag:
      return "look at";
    case Severity::note:
      return "note";
  }
  return {};
}

Tint severity_tint(const Finding& finding) {
  if (finding.severity == Severity::note) return Tint::none;
  return finding.severity == Severity::stop && !finding.undecided ? Tint::bad : Tint::doubtful;
}

void write_finding(Page& page, const Finding& finding, const WordsContext& context) {
  page.line(fmt::format("{}: {}", severity_words(finding), sentences(finding, context)), 2, 4,
            severity_tint(finding));
}

void write_changes(Page& page, const CandidateResult& result) {
  if (result.changes.empty()) {
    page.line("To change: nothing against what is fitted.", 2, 2);
    return;
  }
  page.line("To change against what is fitted:", 2);
  bool drive = false;
  for (const std::string& change : result.changes) {
    page.line(fmt::format("- {}", change), 4, 2);
    drive = drive || change.starts_with("drive");
  }
  page.line(
      "CAUTION: fan and belts catch hands, and an electric fan may start with the ignition off. Disconnect "
      "the battery first.",
      2, 2);
  if (drive)
    page.line(
        "CAUTION: a crank damper that is pried off or struck fails later. Use the maker's procedure and a "
        "puller.",
        2, 2);
}

std::string_view bar_mark(Fit fit, bool utf8) {
  switch (fit) {
    case Fit::fits:
      return utf8 ? "\u2588" : "#";
    case Fit::passage_no_stock:
      return "/";
    case Fit::does_not_fit:
      return utf8 ? "\u2591" : "-";
    case Fit::undecided:
      return "?";
  }
  return " ";
}

struct HeightRange {
  Length least, most;
};

void write_bar(Page& page, const PumpWindows& pump, HeightRange range, Length asked) {
  const int cells = std::min(page.look().width - 4, kWidestBar);
  const auto cell_of = [&](Length height) {
    const double share = (height - range.least) / (range.most - range.least);
    return std::clamp(static_cast<int>(share * cells), 0, cells - 1);
  };
  std::string bar;
  for (int i = 0; i < cells; ++i) {
    const Length middle = range.least + (range.most - range.least) * ((i + 0.5) / cells);
    const auto at = std::find_if(pump.windows.begin(), pump.windows.end(),
                                 [&](const HeightWindow& w) { return middle <= w.to; });
    bar += at == pump.windows.end() ? std::string_view("?") : bar_mark(at->fit, page.look().utf8);
  }
  page.line(fmt::format("|{}|", bar), 2);
  // Leading blanks would be lost in a wrapped paragraph, so the mark stands in a row of dots.
  const auto dots = [](int n) { return std::string(static_cast<std::size_t>(n), '.'); };
  page.line(fmt::format("|{}^{}|", dots(cell_of(asked)), dots(cells - 1 - cell_of(asked))), 2);
}

}  // namespace

void write_why_first(Page& page, const Job& job, const Choice& choice) {
  const CandidateResult& first = choice.candidates[choice.ranking.front().best];
  page.heading(fmt::format("Why {} is first", job.family.pumps[choice.ranking.front().pump].name));
  const CandidateResult* next =
      choice.ranking.size() > 1 ? &choice.candidates[choice.ranking[1].best] : nullptr;
  if (next != nullptr)
    page.line(fmt::format("Compared in this order with the next, {}; the first that differs decides:",
                          job.family.pumps[choice.ranking[1].pump].name),
              2, 2);
  for (const ComparedQuantity& quantity : compared(first, next, page.look().unit))
    page.line(fmt::format("- {}", quantity.words), 4, 2, quantity.decides ? Tint::strong : Tint::none);
}

void write_standing(Page& page, const Job& job, const CandidateResult& result) {
  page.heading("What the answer stands on");
  page.line(limits_words(result.verdict.limits) + ".", 2, 2);
  const std::optional<Bay> bay = bay_of(job, result);
  for (const Finding& finding : result.findings)
    write_finding(page, finding, {page.look().unit, bay ? &*bay : nullptr});
  write_changes(page, result);
}

void write_others(Page& page, const Job& job, const Choice& choice) {
  if (choice.ranking.size() < 2) return;
  page.heading("The other pumps");
  for (std::size_t i = 1; i < choice.ranking.size(); ++i) {
    const CandidateResult& result = choice.candidates[choice.ranking[i].best];
    const std::optional<Bay> bay = bay_of(job, result);
    const WordsContext context{page.look().unit, bay ? &*bay : nullptr};
    const std::vector<std::string> parts = parts_words(job.family, result.candidate);
    page.line(fmt::format("{}. {} with {} and {}: {}", i + 1, job.family.pumps[choice.ranking[i].pump].name,
                          parts[0], parts[1], verdict_words(result)),
              2, 3, Tint::strong);
    bool told = false;
    for (const Finding& finding : result.findings) {
      if (finding.severity == Severity::note) continue;
      page.line(fmt::format("{}: {}", severity_words(finding), sentences(finding, context)), 5, 2);
      told = true;
    }
    if (!told) page.line(binding_words(result, context) + ".", 5, 2);
    for (const std::string& change : result.changes) page.line(fmt::format("change {}", change), 5, 2);
  }
}

void write_windows(Page& page, const Job& job, const Query& query, const std::vector<PumpWindows>& windows) {
  if (windows.empty()) return;
  const LengthUnit unit = page.look().unit;
  const Intake& intake = job.family.intakes[query.intake];
  const HeightRange range{intake.least_height, intake.most_height};
  page.heading(fmt::format("Intake heights from {} to {}", length_words(range.least, unit),
                           length_words(range.most, unit)));
  page.line(fmt::format(
                "{} fits, {} does not fit, / a way but no stock, ? undecided; ^ is the height asked for, {}",
                bar_mark(Fit::fits, page.look().utf8), bar_mark(Fit::does_not_fit, page.look().utf8),
                length_words(query.height, unit)),
            2, 2);
  for (const PumpWindows& pump : windows) {
    page.blank();
    page.line(job.family.pumps[pump.pump].name, 2, 2, Tint::strong);
    write_bar(page, pump, range, query.height);
    const HeightRows rows = height_rows(pump.windows, unit);
    for (const HeightRow& row : rows.rows) {
      std::string text =
          fmt::format("{} to {} ({}): {}", length_words(row.from, unit), length_words(row.to, unit),
                      length_words(row.to - row.from, unit), word(row.fit));
      if (!row.binds.empty()) text += fmt::format("; {}", row.binds);
      page.line(text, 4, 2);
    }
    if (rows.left_out) page.line(left_out_words(rows, unit), 4, 2);
  }
}

}  // namespace hosefit
