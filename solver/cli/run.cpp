// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/run.h"

#include <fmt/format.h>

#include <cerrno>
#include <cstring>

#include "solver/cli/all_windows.h"
#include "solver/cli/folders.h"
#include "solver/cli/judging.h"
#include "solver/cli/manual.h"
#include "solver/cli/picture_command.h"
#include "solver/cli/show_command.h"
#include "solver/cli/size_command.h"
#include "solver/cli/template_command.h"
#include "solver/decide/decide.h"
#include "solver/input/schema.h"
#include "solver/report/check_text.h"
#include "solver/report/json.h"
#include "solver/report/text.h"
#include "solver/report/words.h"

namespace hosefit {
namespace {

struct Streams {
  const Sink& out;
  const Sink& err;
};

ExitCode write(const std::string& text, const Streams& streams, ExitCode code) {
  const int failed = streams.out(text);
  if (failed == 0) return code;
  if (failed != EPIPE)
    streams.err(fmt::format("hosefit: the report could not be written: {}\n", std::strerror(failed)));
  return ExitCode::failure;
}

ExitCode refuse(const std::string& what, const Streams& streams) {
  streams.err(fmt::format("hosefit: {}\n", safe_text(what)));
  return ExitCode::bad_input;
}

TextLook look_of(const Surroundings& around, LengthUnit unit) {
  return {text_width(around), wants_colour(around), wants_utf8(around), unit};
}

ExitCode code_of(const Choice& choice, bool interrupted) {
  if (interrupted) return ExitCode::interrupted;
  bool undecided = false;
  for (const CandidateResult& result : choice.candidates) {
    if (result.verdict.fit == Fit::fits) return ExitCode::fits;
    undecided = undecided || result.verdict.fit == Fit::undecided;
  }
  return undecided ? ExitCode::undecided : ExitCode::nothing_fits;
}

ExitCode pick(const Arguments& arguments, const Surroundings& around, Job job, const std::stop_token& stop,
              const Streams& streams) {
  const LengthUnit unit = arguments.units.value_or(job.vehicle.shown_in);
  Judging judging(arguments, around, streams.err);
  const Prepared prepared(std::move(job));
  const Choice choice =
      decide(prepared, question_of(prepared.job()), judging.budget(), stop, judging.progress());
  ReportExtras extras;
  extras.version = around.version;
  if (arguments.windows && !choice.stopped)
    extras.windows = all_windows(prepared, choice, judging.budget(), stop, judging.progress());
  extras.motion_asked = arguments.motion;
  if (arguments.motion && !choice.stopped)
    extras.motion = motion_of_fits(prepared, choice, judging.budget(), stop, judging.progress());
  judging.clear_line();
  const bool interrupted = choice.stopped || stop.stop_requested();
  if (interrupted && !choice.stopped)
    streams.err("hosefit: interrupted; what was not finished is left out.\n");
  const std::string report = arguments.json
                                 ? pick_json(prepared.job(), choice, extras)
                                 : pick_text(prepared.job(), choice, extras, look_of(around, unit));
  return write(report, streams, code_of(choice, interrupted));
}

ExitCode tell_schema(const std::string& kind, const Streams& streams) {
  for (const FileKind known : kFileKinds)
    if (word(known) == kind) return write(schema_of(known), streams, ExitCode::fits);
  return refuse(fmt::format("no kind of file is called {}", kind), streams);
}

ExitCode tell_problems(const Problems& problems, const Arguments& arguments, const Surroundings& around,
                       const Streams& streams) {
  if (arguments.command == Command::check && arguments.json)
    return write(check_json(problems, around.version), streams, ExitCode::bad_input);
  // What is wrong is the very report of `check`; for other commands it is a message beside the report they
  // cannot make.
  if (arguments.command == Command::check)
    return write(format_problems(problems), streams, ExitCode::bad_input);
  streams.err(format_problems(problems));
  return ExitCode::bad_input;
}

ExitCode tell_input(const Arguments& arguments, const Surroundings& around, const Job& job,
                    const Streams& streams) {
  const LengthUnit unit = arguments.units.value_or(job.vehicle.shown_in);
  return write(arguments.json ? check_json(job, around.version) : check_text(job, look_of(around, unit)),
               streams, ExitCode::fits);
}

}  // namespace

ExitCode run(const Surroundings& around, const std::stop_token& stop, const Sink& out, const Sink& err) {
  const Streams streams{out, err};
  auto read = read_arguments(around.words, around.version);
  if (const auto* end = std::get_if<SayAndEnd>(&read)) {
    if (!end->err.empty()) err(end->err);
    return end->out.empty() ? end->code : write(end->out, streams, end->code);
  }
  const Arguments& arguments = std::get<Arguments>(read);
  if (arguments.command == Command::manual)
    return write(manual_page(around.version), streams, ExitCode::fits);
  if (arguments.command == Command::completion)
    return write(completion(*shell_named(arguments.shell)), streams, ExitCode::fits);
  if (arguments.command == Command::schema) return tell_schema(arguments.kind, streams);
  const auto folders = find_folders(arguments, around);
  if (const auto* problem = std::get_if<std::string>(&folders)) return refuse(*problem, streams);
  Result<Job> job = load_job(std::get<JobPaths>(folders));
  if (!job) return tell_problems(job.problems(), arguments, around, streams);
  if (arguments.command == Command::check) return tell_input(arguments, around, *job, streams);
  const Desk desk{arguments, around, stop, out, err};
  if (arguments.command == Command::size) return size(desk, *std::move(job));
  if (arguments.command == Command::picture) return draw(desk, *std::move(job));
  if (arguments.command == Command::show) return show(desk, *std::move(job));
  if (arguments.command == Command::paper_template) return print_templates(desk, *std::move(job));
  return pick(arguments, around, *std::move(job), stop, streams);
}

}  // namespace hosefit
