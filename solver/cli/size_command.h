// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/cli/one_set.h"

namespace hosefit {

/// `hosefit size`: what to order and cut for one set of parts, as text, CSV or JSON.
ExitCode size(const Desk& desk, Job job);

}  // namespace hosefit
