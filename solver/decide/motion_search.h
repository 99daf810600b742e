// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstddef>
#include <span>
#include <vector>

#include "solver/route/lines.h"
#include "solver/verify/motion_proof.h"

namespace hosefit {

/// What lines are asked for, one round after the other, so that they hold when the engine moves: of a line
/// drawn tight, bent too tightly or without a stable shape a longer way with wider bends, of one that comes
/// too near something more reserve; four times for each make, then the next make, where few joints held
/// before still with few. A bent tube whose couplers would have to turn too far is given up at once.
class MotionWishes {
 public:
  explicit MotionWishes(const Bay& bay) : lines_(bay.lines.size()), wishes_(bay.lines.size()), bay_(bay) {}

  /// The lines to search anew, as indices into Bay::lines; none when nothing is left to ask for. `motion`
  /// runs beside `routes`.
  std::vector<std::size_t> next(std::span<const Route> routes, std::span<const MotionLine> motion);

  std::span<const LineWish> wishes() const { return wishes_; }

 private:
  struct Asked {
    int of_this_make = 0;
  };
  bool ask(const Route& route, const MotionLine& motion);

  std::vector<Asked> lines_;
  std::vector<LineWish> wishes_;
  const Bay& bay_;
};

}  // namespace hosefit
