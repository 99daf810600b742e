// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <vector>

#include "solver/model/vehicle.h"
#include "solver/report/page.h"

/// The answer to `hosefit check`.
namespace hosefit {

/// For input without a problem: how each neck and obstacle of the vehicle was measured, least accurate first,
/// and what is not stated at all.
std::string check_text(const Job& job, const TextLook& look);

/// A place of the vehicle with its method of measuring.
struct MeasuredThing {
  std::string what;  ///< "engine place", "neck", "obstacle"
  std::string name;
  MeasuredBy method = MeasuredBy::assumed;
  Length accuracy;
};
/// Least accurate first; of equal ones the engine's place and the necks, which move every line, before
/// obstacles.
std::vector<MeasuredThing> measured_things(const Vehicle& vehicle);

}  // namespace hosefit
