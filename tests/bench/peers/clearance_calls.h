// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <vector>

#include "solver/field/line_field.h"

/// Counts every question about clearance that a search asks, whoever asks: the linker leads the three calls
/// of LineField through here (see CMakeLists.txt), so that no line of the product knows that it is counted.
namespace hosefit::bench {

struct ClearanceCall {
  enum class Kind : std::uint8_t { estimate, lower_bound, exact };
  Kind kind = Kind::estimate;
  Vec3 at_mm;
  double stop_above_mm = 0;
};

/// Forgets what was counted and written down.
void begin_counting();
/// Since then, of this process. One thread only.
std::int64_t clearance_calls();
/// CPU ms that the calls take when they are asked once more, one after the other: what a search of `cpu_ms`
/// spent on clearance is this share of it, without a clock in the inner loop. Not counted.
double clearance_again_ms(const LineField& field);

}  // namespace hosefit::bench
