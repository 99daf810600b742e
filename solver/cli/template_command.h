// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/cli/one_set.h"

namespace hosefit {

/// `hosefit template`: the hoses of one set of parts in true size, as a PDF in the file that --out names.
ExitCode print_templates(const Desk& desk, Job job);

}  // namespace hosefit
