// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <span>
#include <vector>

#include "solver/recheck/curve.h"
#include "solver/recheck/yaml_values.h"

namespace hosefit::recheck {

/// The tee of a vehicle file, whose line is then cut in two and the line at its branch led there. Refuses
/// what cannot be cut so: a line that must rise or fall or is of a make whose ends must stay, names that are
/// not there or taken, more than one tee, and necks that may be ordered elsewhere beside it.
void read_tee(Table& in, Job& job);

/// Where the record puts the tee: its third axis along the run, its first along the branch. A fault when it
/// is not told, told twice, told of another, without a direction, or at an angle that the input does not
/// offer.
std::optional<Frame> tee_frame(const Job& job, const RecordedCandidate& candidate,
                               std::vector<Fault>& faults);

/// The solids of a tee in its own frame: body, branch.
std::vector<Obstacle> tee_solids(const Tee& tee);
/// Its tube ends in its own frame, with their full names: where its line comes, where it goes on, the branch.
std::vector<Neck> tee_necks(const Tee& tee);

/// A line between engine and chassis lets its tee move in a way that nobody knows, so that nothing can be
/// said in motion; a tee sits in the line within the range of the input.
std::vector<Fault> tee_faults(const Job& job, const Bay& bay, std::span<const Tube> tubes);

}  // namespace hosefit::recheck
