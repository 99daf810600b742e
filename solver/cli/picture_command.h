// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/cli/one_set.h"

namespace hosefit {

/// `hosefit picture`: one set of parts in its bay as a PNG in the file that --out names.
ExitCode draw(const Desk& desk, Job job);

/// Words of --view: the sides, and "close".
inline constexpr std::string_view kCloseView = "close";

}  // namespace hosefit
