// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <vector>

#include "solver/recheck/bay.h"
#include "solver/recheck/job.h"
#include "solver/recheck/recheck.h"

namespace hosefit::recheck {

struct NeckPlace {
  Frame moved;             ///< from as written to here, in the vehicle's frame
  bool elsewhere = false;  ///< than where it is written
};

/// Where the record puts the necks of the chassis, beside Job::chassis_necks. Steps and turns are taken from
/// the input; the record says which of them. A fault, and the place written, for a neck that the record puts
/// at none of its places, or not once.
std::vector<NeckPlace> neck_places(const Job& job, const RecordedCandidate& candidate,
                                   std::vector<Fault>& faults);

/// A neck elsewhere must let hose be pushed on as far as where it is written: its straight, from the end
/// back, does not lie in a part that it grows out of and that stays where it is. One fault a neck.
std::vector<Fault> tube_faults(const Job& job, const Bay& bay);

}  // namespace hosefit::recheck
