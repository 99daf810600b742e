// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/cli/one_set.h"

namespace hosefit {

/// `hosefit drawing`: the radiator of one set of parts with its necks dimensioned, as a PDF in the file that
/// --out names.
ExitCode draw_radiator(const Desk& desk, Job job);

}  // namespace hosefit
