// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <vector>

#include "solver/report/text.h"

namespace hosefit {

/// The height windows of every ranked pump, in the order of the ranking; those that `stop` came before are
/// left out.
std::vector<PumpWindows> all_windows(const Prepared& prepared, const Choice& choice, const Budget& budget,
                                     const std::stop_token& stop, const Progress& progress);

}  // namespace hosefit
