// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/one_set.h"

#include <fmt/format.h>

#include <cerrno>
#include <cstring>

#include "solver/cli/candidate_choice.h"
#include "solver/cli/judging.h"
#include "solver/cli/write_file.h"
#include "solver/report/words.h"

namespace hosefit {

ExitCode refuse(const Desk& desk, const std::string& what, ExitCode code) {
  desk.err(fmt::format("hosefit: {}\n", safe_text(what)));
  return code;
}

ExitCode with_one_set(const Desk& desk, Job job, const UseSet& use) {
  const auto parts = named_parts(job.family, desk.arguments);
  if (const auto* problem = std::get_if<std::string>(&parts))
    return refuse(desk, *problem, ExitCode::bad_input);
  Judging judging(desk.arguments, desk.around, desk.err);
  const Prepared prepared(std::move(job), judging.budget().threads);
  const Choice choice =
      judge_chosen(prepared, std::get<PartChoice>(parts), judging.budget(), desk.stop, judging.progress());
  judging.clear_line();
  if (choice.stopped || desk.stop.stop_requested())
    return refuse(desk, "interrupted; nothing is told or written, since not every combination was judged",
                  ExitCode::interrupted);
  const CandidateResult* best = best_of(choice);
  if (best == nullptr)
    return refuse(desk, "the family holds no combination of these parts", ExitCode::nothing_fits);
  return use(prepared, *best);
}

ExitCode deliver(const Desk& desk, const std::string& bytes, ExitCode code) {
  if (desk.arguments.out_file) {
    const auto problem = write_file(*desk.arguments.out_file, bytes);
    return problem ? refuse(desk, *problem, ExitCode::failure) : code;
  }
  const int failed = desk.out(bytes);
  if (failed == 0) return code;
  if (failed != EPIPE)
    desk.err(fmt::format("hosefit: the report could not be written: {}\n", std::strerror(failed)));
  return ExitCode::failure;
}

}  // namespace hosefit
