// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>

#include "solver/base/quantity.h"

namespace hosefit {

/// Inside diameters that a hose of one nominal bore may have.
struct BoreLimits {
  Length nominal, least, most;
};

/// ISO 1307:2008, hose that is not made on a mandrel: the wider of its two columns, since nobody at the
/// counter knows how a hose was made (table seen second-hand). Nominal bores within 0.6 mm count as the same:
/// inch sizes and their metric partners are used as equal up to that (common practice, no source). Empty for
/// bores between, such as 35 and 44.45 mm, which the standard does not list.
std::optional<BoreLimits> iso_1307_limits(Length nominal_bore);

}  // namespace hosefit
