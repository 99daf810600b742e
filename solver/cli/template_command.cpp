// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/template_command.h"

#include <fmt/format.h>

#include "solver/cli/candidate_choice.h"
#include "solver/paper/template.h"
#include "solver/report/reasons.h"
#include "solver/report/words.h"

namespace hosefit {
namespace {

constexpr double kBar_mm = 100.0;
constexpr double kOddest = 0.1;  // a printer further off than a tenth has been told to fit to the page

// The stretch that mends a bar that came out at `measured`; empty when no printer is that far off.
std::optional<double> stretch_of(const std::optional<Length>& measured) {
  if (!measured) return 1.0;
  const double stretch = kBar_mm / measured->mm();
  return std::abs(stretch - 1) <= kOddest ? std::optional(stretch) : std::nullopt;
}

std::variant<TemplateOptions, std::string> options_of(const Arguments& arguments, LengthUnit shown_in) {
  TemplateOptions options;
  options.unit = arguments.units.value_or(shown_in);
  options.paper = paper_named(arguments.paper).value_or(Paper::a4);
  const auto across = stretch_of(arguments.bar_across);
  const auto down = stretch_of(arguments.bar_down);
  for (const auto& [name, stretch] : {std::pair{"--bar-across", across}, std::pair{"--bar-down", down}})
    if (!stretch)
      return fmt::format(
          "{}: want what the bar of 100 mm measured on paper, 91 to 111 mm; a printer further off has fitted "
          "the page to its paper: print at 100 %",
          name);
  options.stretch = {*across, *down};
  return options;
}

std::string summary(const Job& job, const CandidateResult& result, const TemplateOptions& options,
                    const std::string& file) {
  std::string out;
  std::size_t pages = 1;
  for (const LineTemplate& line : line_templates(job, result, options)) {
    std::size_t sheets = 0;
    for (const Tiling& tiling : line.planes) sheets += tiling.tiles.size();
    pages += sheets;
    out += line.why_not.empty()
               ? fmt::format("  {}: {} on {}\n", safe_text(job.vehicle.lines[line.line].name),
                             counted(static_cast<long>(line.planes.size()), "plane"),
                             counted(static_cast<long>(sheets), "sheet"))
               : fmt::format("  {}: not drawn, {}\n", safe_text(job.vehicle.lines[line.line].name),
                             line.why_not);
  }
  return fmt::format("pump {}: {}\n{}{}: {}. Print page 1 at 100 % and measure its bars first.\n",
                     safe_text(job.family.pumps[result.candidate.pump].name), verdict_words(result), out,
                     safe_text(file), counted(static_cast<long>(pages), "page"));
}

}  // namespace

ExitCode print_templates(const Desk& desk, Job job) {
  const auto options = options_of(desk.arguments, job.vehicle.shown_in);
  if (const auto* problem = std::get_if<std::string>(&options))
    return refuse(desk, *problem, ExitCode::bad_input);
  const TemplateOptions& how = std::get<TemplateOptions>(options);
  return with_one_set(desk, std::move(job), [&](const Prepared& prepared, const CandidateResult& best) {
    const Job& judged = prepared.job();
    const Result<std::string> pdf = template_pdf(judged, best, how);
    if (!pdf) return refuse(desk, pdf.problems().front().text, ExitCode::failure);
    const ExitCode code = deliver(desk, *pdf, code_of(best.verdict.fit));
    if (code != ExitCode::failure) desk.out(summary(judged, best, how, *desk.arguments.out_file));
    return code;
  });
}

}  // namespace hosefit
