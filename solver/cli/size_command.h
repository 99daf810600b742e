// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <stop_token>

#include "solver/cli/arguments.h"
#include "solver/cli/surroundings.h"
#include "solver/model/vehicle.h"

namespace hosefit {

/// `hosefit size`: cut sheets and order list of the best combination, or of the parts named. An interrupted
/// run tells nothing: half of the candidates could name the wrong best.
ExitCode size(const Arguments& arguments, const Surroundings& around, Job job, const std::stop_token& stop,
              const Sink& out, const Sink& err);

}  // namespace hosefit
