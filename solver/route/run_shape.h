// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <vector>

#include "solver/route/run.h"

/// A run given by its intersection points as plain numbers, for what moves these points. Unlike a Centreline
/// it also exists when legs are too short: their straights then run backwards. Millimetres, vehicle frame.
namespace hosefit {

struct RunBend {
  Vec3 in, out, inward, start,
      end;             ///< directions before, after and towards the centre; where it begins, ends
  double angle = 0;    ///< rad
  double tangent = 0;  ///< intersection point to start or end
};

struct RunShape {
  std::vector<RunBend> bends;
  std::vector<double> straights;  ///< bends + 1, negative when the leg is too short
  double length = 0;
};
RunShape shape_of(const RunProblem& problem, const Bends& points);

/// Where a sample sits: on straight `piece / 2` or, for an odd piece, on bend `piece / 2`, at a share of it.
struct RunStation {
  std::size_t piece = 0;
  double share = 0;
};
/// Without the leads, which nothing moves.
std::vector<RunStation> stations(const RunProblem& problem, const RunShape& shape, double step_mm);
Vec3 place(const RunProblem& problem, const RunShape& shape, const RunStation& at);

/// Shortfalls of every rule but the gaps in mm, positive when broken; always as many for the same number of
/// bends. Legs, bends and the length window are held with `reserve_mm` to spare, since rules give way a
/// little.
std::vector<double> rule_shortfalls(const RunProblem& problem, const RunShape& shape, double reserve_mm,
                                    const std::optional<LengthWindow>& window);

}  // namespace hosefit
