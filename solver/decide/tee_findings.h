// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <span>
#include <vector>

#include "solver/model/bay.h"
#include "solver/model/finding.h"
#include "solver/model/route.h"
#include "solver/model/vehicle.h"

namespace hosefit {

/// How far the tee's middle is along its line from the neck that the range is measured from (from the line's
/// start without a range); empty while a part of the line is not found.
std::optional<double> tee_distance_mm(const Tee& tee, const Bay& bay, std::span<const Route> routes);

/// What is to be said of a bay with a tee: where it stands (tee_stands), or that no place was found
/// (tee_not_placed), that it stands where or how it may not (tee_out_of_range), that hoses pushed over it
/// meet (gap), that it leaves what is known (known_space), that nobody knows how it moves (tee_in_motion),
/// and that the flow past it is not worked out (tee_flow). Stops leave every line undecided.
std::vector<Finding> tee_findings(const Job& job, const Bay& bay, const Candidate& candidate,
                                  std::span<const Route> routes);

}  // namespace hosefit
