// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <variant>

#include "solver/cli/arguments.h"
#include "solver/cli/surroundings.h"
#include "solver/input/load_job.h"

namespace hosefit {

/// Where the files of a job are.
///   vehicle: as given, else of that name among the installed vehicles
///   pumps:   --pumps, else pumps beside the folder of vehicles, else installed, else in the source tree
///   data:    --data, else installed beside the program, else in the source tree of the vehicle, else that of
///   the build
/// Or one sentence that names every place looked at.
std::variant<JobPaths, std::string> find_folders(const Arguments& arguments, const Surroundings& around);

}  // namespace hosefit
