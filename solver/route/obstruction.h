// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <span>
#include <string>

#include "solver/route/free_test.h"
#include "solver/route/lines.h"
#include "solver/route/run.h"

namespace hosefit {

/// What a line runs among, with the names of the laid routes that its field knows.
struct Surroundings {
  const Bay& bay;
  const LineField& field;
  std::span<const std::string> laid_names;
  const LineField& on_chassis;  ///< the same for hose that goes with one carrier: what sits on a neck
  const LineField& on_engine;

  const LineField& on_neck(const PlacedNeck& neck) const {
    return neck.carrier == Carrier::engine ? on_engine : on_chassis;
  }
};

/// Who is in the way at a point, for a run of this radius, and by how much.
Obstruction obstruction_at(const Surroundings& around, const Vec3& p_mm, double radius_mm,
                           double resolution_mm);

/// One end of a line: the neck, the hose pushed over it, and the least lead beyond its end.
struct LineEnd {
  const PlacedNeck& neck;
  double engagement_mm = 0, lead_mm = 0;
  double lead_radius_mm = 0, run_radius_mm = 0;
};
/// The worst shortfall of hose on the neck, least lead and the run's first point, if any: every route passes
/// there, so this is an argument that stands. Measured to 0.01 mm. For the neck's own part see PlacedNeck in
/// model/bay.h.
std::optional<Obstruction> blocked_stub(const Surroundings& around, const LineEnd& end);

/// A run whose bends are no tighter than R turns by at most s / R over s of its length. So it crosses every
/// plane square to its heading at c < R ahead (if the goal is further than the arc to there), within R -
/// sqrt(R^2 - c^2) of the line ahead. Where no point of that disc has room, no run can pass: an argument that
/// stands, made by halving squares over the disc (the margin is 1-Lipschitz). Reports the plane that is short
/// by most, at the place with most room in it: missing_mm is what is missing there, at most 2 mm more than
/// what is proved missing (that is missing_mm - resolution_mm) and the same before a flat wall.
std::optional<Obstruction> no_room_to_bend(const Surroundings& around, const Room& room,
                                           const Heading& heading, const Vec3& goal_mm,
                                           double least_radius_mm);

}  // namespace hosefit
