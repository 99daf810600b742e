// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <span>
#include <vector>

#include "solver/model/bay.h"
#include "solver/model/finding.h"
#include "solver/verify/proof_bodies.h"
#include "solver/verify/tube.h"

namespace hosefit {

/// The shop has looked into that place (Bay::looked_behind).
bool looked_into(const Bay& bay, const Vec3& p_mm);

/// True when a body on that carrier is a scan that leaves something unseen.
bool has_scan(const Bay& bay, const ProofBodies& bodies, Carrier carrier);

/// One undecided finding for each run of unseen places along the stretches and each scan on that carrier; the
/// rule stands in scan_skin.h. `line` is the line they belong to. Vehicle frame, with the carrier at rest.
std::vector<Finding> unseen_along(const Bay& bay, const ProofBodies& bodies, Carrier carrier,
                                  std::span<const TubeStretch> stretches, std::size_t line);

}  // namespace hosefit
