// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/show_command.h"

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <chrono>

#include "solver/cli/all_windows.h"
#include "solver/cli/candidate_choice.h"
#include "solver/cli/judging.h"
#include "solver/cli/write_file.h"
#include "solver/decide/ranking.h"
#include "solver/report/reasons.h"
#include "solver/sheet/html.h"
#include "solver/sheet/pdf.h"
#include "solver/sheet/sheet_matter.h"

namespace hosefit {
namespace {

int number_of(std::string_view digits) {
  int value = -1;
  const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
  return error == std::errc{} && end == digits.data() + digits.size() ? value : -1;
}

// The best candidate that holds all parts named; empty when none does.
std::optional<std::size_t> chosen_of(const Choice& choice, const PartChoice& parts) {
  std::vector<CandidateResult> held;
  std::vector<std::size_t> index;
  for (std::size_t i = 0; i < choice.candidates.size(); ++i) {
    const Candidate& c = choice.candidates[i].candidate;
    if ((parts.pump && *parts.pump != c.pump) || (parts.drive && *parts.drive != c.drive) ||
        (parts.housing && *parts.housing != c.housing))
      continue;
    held.push_back(choice.candidates[i]);
    index.push_back(i);
  }
  const std::vector<PumpAnswer> ranking = ranking_of(held);
  return ranking.empty() ? std::nullopt : std::optional(index[ranking.front().best]);
}

std::string stem_of(const std::string& out_file) {
  for (const std::string_view ending : {".html", ".pdf"})
    if (out_file.size() > ending.size() && out_file.ends_with(ending))
      return out_file.substr(0, out_file.size() - ending.size());
  return out_file;
}

ExitCode write_both(const Desk& desk, const CustomerSheet& sheet, const std::string& said, ExitCode code) {
  const Result<SheetPdf> pdf = sheet_pdf(sheet, paper_named(desk.arguments.paper).value_or(Paper::a4));
  if (!pdf) return refuse(desk, pdf.problems().front().text, ExitCode::failure);
  const std::string stem = stem_of(*desk.arguments.out_file);
  const std::string html = sheet_html(sheet);
  const std::array both{FileToWrite{stem + ".html", html}, FileToWrite{stem + ".pdf", pdf->bytes}};
  if (const auto problem = write_files(both)) return refuse(desk, *problem, ExitCode::failure);
  desk.out(fmt::format("{}\n{}.html, and {}.pdf of {}.\n", said, safe_text(stem), safe_text(stem),
                       counted(pdf->pages, "page")));
  return code;
}

ExitCode tell(const Desk& desk, const Prepared& prepared, const Choice& choice, const SheetQuestion& question,
              std::vector<PumpWindows> windows, Threads threads) {
  const Job& job = prepared.job();
  const CandidateResult& chosen = choice.candidates[question.chosen];
  const LengthUnit unit = desk.arguments.units.value_or(job.vehicle.shown_in);
  const SheetPictures pictures = sheet_pictures(prepared, choice, question, unit, threads);
  const SheetMatter matter{job,
                           choice,
                           question,
                           pictures,
                           std::move(windows),
                           unit,
                           desk.around.version,
                           desk.arguments.date.value_or(desk.around.today)};
  return write_both(desk, customer_sheet(matter),
                    fmt::format("pump {}: {}", safe_text(job.family.pumps[chosen.candidate.pump].name),
                                verdict_words(chosen)),
                    code_of(chosen.verdict.fit));
}

}  // namespace

bool is_date(std::string_view text) {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return false;
  const int year = number_of(text.substr(0, 4)), month = number_of(text.substr(5, 2)),
            day = number_of(text.substr(8, 2));
  if (year < 1900 || year > 2999 || month < 1 || day < 1) return false;
  return std::chrono::year_month_day{std::chrono::year(year),
                                     std::chrono::month(static_cast<unsigned>(month)),
                                     std::chrono::day(static_cast<unsigned>(day))}
      .ok();
}

ExitCode show(const Desk& desk, Job job) {
  if (desk.arguments.date && !is_date(*desk.arguments.date))
    return refuse(desk, fmt::format("--date: want a day as 2026-03-14, got \"{}\"", *desk.arguments.date),
                  ExitCode::bad_input);
  const auto parts = named_parts(job.family, desk.arguments);
  if (const auto* problem = std::get_if<std::string>(&parts))
    return refuse(desk, *problem, ExitCode::bad_input);
  Judging judging(desk.arguments, desk.around, desk.err);
  const Prepared prepared(std::move(job), judging.budget().threads);
  const Choice choice =
      decide(prepared, question_of(prepared.job()), judging.budget(), desk.stop, judging.progress());
  std::vector<PumpWindows> windows;
  if (desk.arguments.windows && !choice.stopped)
    windows = all_windows(prepared, choice, judging.budget(), desk.stop, judging.progress());
  judging.clear_line();
  if (choice.stopped || desk.stop.stop_requested())
    return refuse(desk, "interrupted; nothing is written, since not everything was judged",
                  ExitCode::interrupted);
  const auto chosen = chosen_of(choice, std::get<PartChoice>(parts));
  if (!chosen) return refuse(desk, "the family holds no combination of these parts", ExitCode::nothing_fits);
  const PartChoice& named = std::get<PartChoice>(parts);
  return tell(desk, prepared, choice, {*chosen, named.pump || named.drive || named.housing},
              std::move(windows), judging.budget().threads);
}

}  // namespace hosefit
