// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/model/bay.h"

namespace hosefit {

/// The housing's flange and place match the pump's seat, and the height is within the intake's range: the
/// candidate can be put together, fit or not, and `assemble` may be called.
bool bolts_together(const Job& job, const Candidate& candidate);

}  // namespace hosefit
