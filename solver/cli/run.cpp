// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/run.h"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>

#include "solver/cli/all_windows.h"
#include "solver/cli/drawing_command.h"
#include "solver/cli/folders.h"
#include "solver/cli/judging.h"
#include "solver/cli/manual.h"
#include "solver/cli/picture_command.h"
#include "solver/cli/proof_folder.h"
#include "solver/cli/recheck_command.h"
#include "solver/cli/show_command.h"
#include "solver/cli/size_command.h"
#include "solver/cli/template_command.h"
#include "solver/decide/decide.h"
#include "solver/input/schema.h"
#include "solver/report/check_text.h"
#include "solver/report/json.h"
#include "solver/report/proof_record.h"
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

// As the record tells them, so that it can be read from any other folder.
std::string from_root(const Surroundings& around, const std::string& folder) {
  return (std::filesystem::path(around.current_folder) / folder).lexically_normal().string();
}

// Empty when it is written.
std::optional<std::string> keep_proof(const Arguments& arguments, const Surroundings& around,
                                      const JobPaths& paths, const std::vector<FileRead>& files,
                                      const Prepared& prepared, const Choice& choice) {
  const RecordFolders folders{from_root(around, paths.vehicle_folder), from_root(around, paths.pumps_folder),
                              from_root(around, paths.data_folder)};
  for (const std::string& folder : {folders.vehicle, folders.pumps, folders.data})
    if (std::filesystem::path(folder).is_relative())
      return "the current folder cannot be told, and the record must say where the input lies";
  return write_proof(*arguments.proof, proof_record(prepared, choice, files, folders, around.version));
}

std::string proof_words(const std::string& folder, const Choice& choice) {
  const auto fitting = std::count_if(choice.candidates.begin(), choice.candidates.end(),
                                     [](const CandidateResult& c) { return c.verdict.fit == Fit::fits; });
  return fmt::format("hosefit: {} holds the proof of {}\n", safe_text(folder),
                     fitting == 0 ? "no set, since none fits" : counted(fitting, "set"));
}

ExitCode pick(const Arguments& arguments, const Surroundings& around, const JobPaths& paths,
              JobAndFiles loaded, const std::stop_token& stop, const Streams& streams) {
  if (arguments.proof)
    if (const auto problem = proof_folder_problem(*arguments.proof)) return refuse(*problem, streams);
  const LengthUnit unit = arguments.units.value_or(loaded.job.vehicle.shown_in);
  Judging judging(arguments, around, streams.err);
  const Prepared prepared(std::move(loaded.job), judging.budget().threads);
  const Choice choice =
      decide(prepared, question_of(prepared.job()), judging.budget(), stop, judging.progress());
  ReportExtras extras;
  extras.version = around.version;
  if (arguments.windows && !choice.stopped)
    extras.windows = all_windows(prepared, choice, judging.budget(), stop, judging.progress());
  extras.motion_asked = arguments.motion;
  judging.clear_line();
  const bool interrupted = choice.stopped || stop.stop_requested();
  if (interrupted && !choice.stopped)
    streams.err("hosefit: interrupted; what was not finished is left out.\n");
  if (arguments.proof && interrupted) streams.err("hosefit: interrupted; no proof record is written.\n");
  if (arguments.proof && !interrupted) {
    if (const auto problem = keep_proof(arguments, around, paths, loaded.files, prepared, choice)) {
      refuse(*problem, streams);
      return ExitCode::failure;
    }
    streams.err(proof_words(*arguments.proof, choice));
  }
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
  const Desk desk{arguments, around, stop, out, err};
  if (arguments.command == Command::recheck) return recheck_proof(desk);
  const auto folders = find_folders(arguments, around);
  if (const auto* problem = std::get_if<std::string>(&folders)) return refuse(*problem, streams);
  const JobPaths& paths = std::get<JobPaths>(folders);
  Result<JobAndFiles> loaded = load_job_and_files(paths);
  if (!loaded) return tell_problems(loaded.problems(), arguments, around, streams);
  if (arguments.command == Command::pick)
    return pick(arguments, around, paths, *std::move(loaded), stop, streams);
  Job job = (*std::move(loaded)).job;
  if (arguments.command == Command::check) return tell_input(arguments, around, job, streams);
  if (arguments.command == Command::size) return size(desk, std::move(job));
  if (arguments.command == Command::picture) return draw(desk, std::move(job));
  if (arguments.command == Command::drawing) return draw_radiator(desk, std::move(job));
  if (arguments.command == Command::show) return show(desk, std::move(job));
  return print_templates(desk, std::move(job));
}

}  // namespace hosefit
