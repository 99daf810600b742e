// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/model/bolts_together.h"

#include <algorithm>

namespace hosefit {

bool bolts_together(const Job& job, const Candidate& c) {
  const Seat& seat = job.family.pumps[c.pump].seat;
  const Housing& housing = job.family.housings[c.housing];
  const Intake& intake = job.family.intakes[c.intake];
  return housing.flange == seat.flange &&
         std::find(housing.places.begin(), housing.places.end(), seat.place) != housing.places.end() &&
         c.height >= intake.least_height && c.height <= intake.most_height;
}

}  // namespace hosefit
