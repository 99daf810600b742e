// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/drawing_command.h"

#include <fmt/format.h>

#include "solver/cli/candidate_choice.h"
#include "solver/paper/radiator_drawing.h"
#include "solver/paper/radiator_layout.h"
#include "solver/paper/radiator_words.h"
#include "solver/report/reasons.h"
#include "solver/report/words.h"

namespace hosefit {
namespace {

std::string neck_words(const RadiatorNeck& neck, LengthUnit unit) {
  std::string out = fmt::format("  {}: {} from A, {} from B, {} from C; ", safe_text(neck.name),
                                drawn_figure(neck.end_mm.x(), unit), drawn_figure(neck.end_mm.y(), unit),
                                drawn_figure(neck.end_mm.z(), unit));
  if (!neck.held_back_by.empty())
    return out +
           fmt::format("as written, since {} is not proved at another place\n", safe_text(neck.held_back_by));
  const std::string moved = moved_words(neck, unit);
  return out + (moved.empty() ? "as written" : "moved " + moved) + "\n";
}

std::string summary(const Job& job, const CandidateResult& result, const RadiatorMatter& matter,
                    const RadiatorDrawing& drawing, LengthUnit unit, const std::string& file) {
  std::string out = fmt::format("pump {}: {}\n", safe_text(job.family.pumps[result.candidate.pump].name),
                                verdict_words(result));
  if (const std::string warning = not_proved_words(result); !warning.empty()) out += warning + "\n";
  out += fmt::format("{}; mm{}, as seen from the engine: A left edge of the core, B lower edge, C its face\n",
                     standing_words(job, matter), unit == LengthUnit::mm ? "" : " [in]");
  for (const RadiatorNeck& neck : matter.necks) out += neck_words(neck, unit);
  return out + fmt::format(
                   "{}: {}, views at 1:{}. Not to be built from without checking against the "
                   "vehicle.\n",
                   safe_text(file), counted(drawing.pages, "sheet"), drawing.scale);
}

}  // namespace

ExitCode draw_radiator(const Desk& desk, Job job) {
  const LengthUnit unit = desk.arguments.units.value_or(job.vehicle.shown_in);
  const DrawingOptions options{paper_named(desk.arguments.paper).value_or(Paper::a4), unit,
                               desk.around.version};
  return with_one_set(desk, std::move(job), [&](const Prepared& prepared, const CandidateResult& best) {
    const Job& judged = prepared.job();
    const Result<RadiatorMatter> matter = radiator_matter(judged, best);
    if (!matter) return refuse(desk, matter.problems().front().text, ExitCode::bad_input);
    const Result<RadiatorDrawing> drawing = radiator_drawing(judged, best, options);
    if (!drawing) return refuse(desk, drawing.problems().front().text, ExitCode::failure);
    const ExitCode code = deliver(desk, drawing->pdf, code_of(best.verdict.fit));
    if (code != ExitCode::failure)
      desk.out(summary(judged, best, *matter, *drawing, unit, *desk.arguments.out_file));
    return code;
  });
}

}  // namespace hosefit
