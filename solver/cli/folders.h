// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <variant>

#include "solver/cli/arguments.h"
#include "solver/cli/surroundings.h"
#include "solver/input/load_job.h"

namespace hosefit {

/// Where the files of a job are (job_places.h), or one sentence that names every place looked at.
std::variant<JobPaths, std::string> find_folders(const Arguments& arguments, const Surroundings& around);

}  // namespace hosefit
