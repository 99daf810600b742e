// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/geometry/tape_network.h"
#include "solver/report/page.h"

namespace hosefit {

/// The part of `check` about points measured with tape: each point with its accuracy, the least well known
/// first; each reading with how it agrees, the worst first; what nothing checks. Nothing without such points.
void tape_text(Page& page, const TapeSurvey& survey);

}  // namespace hosefit
