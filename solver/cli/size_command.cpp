// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/size_command.h"

#include <fmt/format.h>

#include <cerrno>
#include <cstring>

#include "solver/cli/candidate_choice.h"
#include "solver/cli/progress_line.h"
#include "solver/cli/write_file.h"
#include "solver/order/order_list.h"
#include "solver/report/size_report.h"
#include "solver/report/words.h"

namespace hosefit {
namespace {

std::string report_of(const Arguments& arguments, const Surroundings& around, const SizeReport& report) {
  if (arguments.json) return size_json(report);
  if (arguments.csv) return size_csv(report);
  TextLook look;
  look.unit = arguments.units.value_or(report.job.vehicle.shown_in);
  if (arguments.out_file) {  // a file is no terminal
    look.width = 100;
    return size_text(report, look);
  }
  look.width = text_width(around);
  look.colour = wants_colour(around);
  look.utf8 = wants_utf8(around);
  return size_text(report, look);
}

ExitCode deliver(const Arguments& arguments, const std::string& text, ExitCode code, const Sink& out,
                 const Sink& err) {
  if (arguments.out_file) {
    const auto problem = write_file(*arguments.out_file, text);
    if (!problem) return code;
    err(fmt::format("hosefit: {}\n", safe_text(*problem)));
    return ExitCode::failure;
  }
  const int failed = out(text);
  if (failed == 0) return code;
  if (failed != EPIPE)
    err(fmt::format("hosefit: the report could not be written: {}\n", std::strerror(failed)));
  return ExitCode::failure;
}

}  // namespace

ExitCode size(const Arguments& arguments, const Surroundings& around, Job job, const std::stop_token& stop,
              const Sink& out, const Sink& err) {
  const auto parts = named_parts(job.family, arguments);
  if (const auto* problem = std::get_if<std::string>(&parts)) {
    err(fmt::format("hosefit: {}\n", safe_text(*problem)));
    return ExitCode::bad_input;
  }
  ProgressLine line(around, err);
  const Progress progress{
      [&line](std::size_t done, std::size_t of, std::string_view what) { line.tell(done, of, what); }};
  Budget budget;
  budget.seed = RunSeed{arguments.seed};
  budget.threads = arguments.threads ? Threads{*arguments.threads} : Threads::of_machine();
  const Prepared prepared(std::move(job));
  const Choice choice = judge_chosen(prepared, std::get<PartChoice>(parts), budget, stop, progress);
  line.clear();
  if (choice.stopped || stop.stop_requested()) {
    err("hosefit: interrupted; no list is told, since not every combination was judged.\n");
    return ExitCode::interrupted;
  }
  const CandidateResult* best = best_of(choice);
  if (best == nullptr) {
    err("hosefit: the family holds no combination of these parts.\n");
    return ExitCode::nothing_fits;
  }
  const std::vector<CutSheet> sheets = cut_sheets(prepared.job(), *best);
  const OrderList list = order_list(prepared.job(), *best, sheets);
  const SizeReport report{prepared.job(), *best, sheets, list, around.version};
  return deliver(arguments, report_of(arguments, around, report), code_of(best->verdict.fit), out, err);
}

}  // namespace hosefit
