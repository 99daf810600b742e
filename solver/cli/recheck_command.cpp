// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/recheck_command.h"

#include "solver/input/load_job.h"
#include "solver/recheck/recheck.h"

namespace hosefit {
namespace {

ExitCode code_of(recheck::Answer answer) {
  switch (answer) {
    case recheck::Answer::confirmed:
      return ExitCode::fits;
    case recheck::Answer::refuted:
      return ExitCode::nothing_fits;
    case recheck::Answer::cannot_tell:
      return ExitCode::undecided;
  }
  return ExitCode::failure;
}

}  // namespace

ExitCode recheck_proof(const Desk& desk) {
  const Arguments& asked = desk.arguments;
  const Result<recheck::Report> report = recheck::recheck_folder(
      {asked.proof_folder, asked.moved_vehicle, asked.pumps_folder, asked.data_folder});
  if (report) return deliver(desk, recheck::tell(*report), code_of(report->answer));
  desk.err(format_problems(report.problems()));
  return ExitCode::bad_input;
}

}  // namespace hosefit
