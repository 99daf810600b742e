// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>

#include "solver/model/vehicle.h"
#include "solver/report/page.h"

namespace hosefit {

/// The answer to `hosefit check` for input without a problem: what to measure next, then what is missing,
/// what is assumed and what is measured, in each list what matters most first.
std::string check_text(const Job& job, const TextLook& look);

}  // namespace hosefit
