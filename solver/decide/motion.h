// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <vector>

#include "solver/decide/decide.h"
#include "solver/verify/motion_proof.h"
#include "solver/verify/parts_in_motion.h"

namespace hosefit {

/// What the engine's motion on its mounts leaves of one candidate that fits at rest. It changes no verdict:
/// `fits` is said of the engine at rest, and this beside it.
struct MotionAnswer {
  std::size_t candidate = 0;  ///< index into Choice::candidates
  std::vector<MotionLine> lines;
  PartsInMotion parts;
  bool proved() const;  ///< every line and the parts
};

/// For the best candidate of every pump of the ranking that fits at rest, in the order of the ranking; on the
/// budget's threads, same answer on any number. What `stop` came before is left out.
std::vector<MotionAnswer> motion_of_fits(const Prepared& prepared, const Choice& choice, const Budget& budget,
                                         const std::stop_token& stop, const Progress& progress);

}  // namespace hosefit
