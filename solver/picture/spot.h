// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/picture/scene.h"

namespace hosefit {

/// See DecidingSpot. The facing surfaces are measured on the scene's triangles: for showing, not for judging.
std::optional<DecidingSpot> deciding_spot(const Bay& bay, const Scene& scene, const CandidateResult& result);

/// The tightest recorded gap of one line's proof; null when nothing was near.
const GapRecord* tightest_of(const LineProof& proof);

}  // namespace hosefit
