// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>

#include "solver/input/map_view.h"
#include "solver/model/vehicle.h"

namespace hosefit {

/// The tee of a vehicle file and the name of the line it is put into.
struct WrittenTee {
  Tee tee;  ///< its lines are not told yet, see split_at_tee
  std::string on;
};

/// Refuses, at its place: tube ends that no hose can be clamped on, a branch that ends inside the body or
/// beside the hoses of the run, a range upside down, an angle given twice; names that are no line, no end of
/// it or taken; a tee without a line of its own; a line that must rise or fall, or may be made in a way that
/// is not cut; and a tee beside necks with a choice.
std::optional<WrittenTee> read_tee(const MapView& vehicle, const Vehicle& read, ProblemLog& log);

}  // namespace hosefit
