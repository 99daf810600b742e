// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "viewer/mesh_store.h"
#include "viewer/state.h"

namespace hosefit {

/// The parts of a candidate where they stand, by BayBody; also when they do not bolt together.
std::vector<PlacedBody> placed_bodies(const Prepared& prepared, const Candidate& candidate);

/// Fills bay and scene of a pane from the state; keeps its camera.
void fill_pane(const State& state, MeshStore& meshes, Pane& pane);

/// The first candidate of a pump whose parts bolt together, with the fitted drive if there is one.
Candidate first_candidate(const Job& job, std::size_t pump, std::size_t intake, Length height,
                          const HeldHousings& held);

}  // namespace hosefit
