// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>

#include "solver/model/bay.h"
#include "solver/rules/hose_bores.h"

namespace hosefit {

/// loose and too_tight do not go on; tight only with hot-water softened rubber and by the shop's own
/// decision.
enum class NeckGrip { loose, good, tight, too_tight };

/// One end of a line: hose of a nominal bore on a neck, with the tolerances of both. `over` is neck outside
/// diameter minus hose bore. The limits of the nominal match are those of the rule neck_match.
struct NeckMatch {
  std::string neck;
  Length neck_outside, neck_bore, spigot;  ///< spigot: straight that hose can be pushed over
  bool bead = true;
  Length hose_bore;
  Length over;
  NeckGrip grip = NeckGrip::good;
  Length neck_tolerance;              ///< half-width, of a neck measured with a caliper (from memory)
  std::optional<BoreLimits> iso1307;  ///< empty: the standard lists no such bore
  std::optional<Length> over_least, over_most;  ///< with both tolerances at their ends; empty without limits
  /// Measure the hose at the counter: inside diameters that hold and go on even with the neck's tolerance.
  Length accept_least, accept_most;
};

NeckMatch neck_match(const PlacedNeck& neck, Length hose_bore);

}  // namespace hosefit
