// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <optional>

#include "solver/model/bay.h"
#include "solver/verify/tube.h"

namespace hosefit {

/// The gap that one obstacle requires of each stretch of one line: after the stretch's runner, what it goes
/// with (the hose over a neck goes with the neck's carrier, whatever carries the line's other end), and the
/// rule at PlacedNeck for what a neck grows out of.
class RequiredAlong {
 public:
  RequiredAlong(const Bay& bay, const GapTable& gaps, std::size_t line, ObstacleRef past);

  struct Need {
    double gap_mm = 0;  ///< 0: it must not touch
    const Provenance* provenance = nullptr;
  };
  /// Empty where the obstacle does not count. The provenance lives as long as this.
  std::optional<Need> at(const TubeStretch& stretch) const;
  double most_mm() const;

 private:
  using ByRunner = std::array<RequiredGap, 3>;
  std::array<ByRunner, 3> rows_;  // in the run, over the first neck, over the last
  bool own_of_from_ = false, own_of_to_ = false;
};

/// Between two lines the stricter of the two rows holds.
const GapRow& row_between(const Bay& bay, const GapTable& gaps, const Tube& a, Runner runner_a, const Tube& b,
                          Runner runner_b);

}  // namespace hosefit
