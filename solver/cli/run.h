// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <stop_token>

#include "solver/cli/arguments.h"
#include "solver/cli/surroundings.h"

namespace hosefit {

/// The whole program but for what main.cpp reads around it. Reports go to `out`, everything else to `err`. A
/// write that fails ends with ExitCode::failure; silently when the reader of a pipe has gone.
ExitCode run(const Surroundings& around, const std::stop_token& stop, const Sink& out, const Sink& err);

}  // namespace hosefit
