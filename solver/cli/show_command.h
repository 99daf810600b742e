// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/cli/one_set.h"

namespace hosefit {

/// `hosefit show`: the customer sheet as STEM.html and STEM.pdf, each written whole or not at all.
ExitCode show(const Desk& desk, Job job);

/// "2026-03-14" when it is a day of the calendar, years 1900 to 2999.
bool is_date(std::string_view text);

}  // namespace hosefit
