// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/cli/one_set.h"

namespace hosefit {

/// Answers for a proof record: 0 confirmed, 1 refuted, 2 unreadable or changed, 3 it cannot tell.
ExitCode recheck_proof(const Desk& desk);

}  // namespace hosefit
