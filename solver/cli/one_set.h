// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <functional>
#include <stop_token>
#include <string>
#include <variant>

#include "solver/cli/arguments.h"
#include "solver/cli/surroundings.h"
#include "solver/decide/decide.h"

/// What all commands about one set of parts do before and after their own work.
namespace hosefit {

/// Where a command reads and tells.
struct Desk {
  const Arguments& arguments;
  const Surroundings& around;
  const std::stop_token& stop;
  const Sink& out;
  const Sink& err;
};

/// Says one sentence on the error stream, made safe, and gives the code back.
ExitCode refuse(const Desk& desk, const std::string& what, ExitCode code);

/// Judges the set that the command line names, or all and takes the best, then hands it on. Unknown names,
/// nothing to judge and an interruption end here, with their sentence and code.
using UseSet = std::function<ExitCode(const Prepared&, const CandidateResult&)>;
ExitCode with_one_set(const Desk& desk, Job job, const UseSet& use);

/// To the file that --out names, whole or not at all, else to the output. `code` when that went well.
ExitCode deliver(const Desk& desk, const std::string& bytes, ExitCode code);

}  // namespace hosefit
