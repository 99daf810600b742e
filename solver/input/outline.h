// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "solver/geometry/vec.h"

namespace hosefit {

/// Why a list of corners is no counter-clockwise simple polygon, and at which corner it shows.
struct OutlineFault {
  std::size_t corner = 0;
  std::string text;
};
/// Empty when the outline is fine. Sides that touch count as crossing. Quadratic in the corners.
std::optional<OutlineFault> fault_of(const std::vector<Vec2>& outline_mm);

}  // namespace hosefit
