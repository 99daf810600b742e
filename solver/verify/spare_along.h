// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <span>
#include <vector>

#include "solver/verify/proof.h"

namespace hosefit {

/// A stretch of a line and the spare gap (gap less gap required) along it.
struct SpareStretch {
  double from_s_mm = 0,
         to_s_mm = 0;      ///< as GapRecord::s_mm: negative or beyond the route's length over necks
  double at_least_mm = 0;  ///< no place in it has less
  double found_mm = 0;     ///< the lesser of those measured at its two ends
};

struct SpareOptions {
  double step_mm = 1.0;   ///< longest stretch; at_least is at most half of it below found
  double most_mm = 10.0;  ///< spare gaps above this are told as this: no need to know by how much more
};

/// The spare gap along route `at` from hose end to hose end, in order, without holes: against every obstacle
/// and against every other line among `routes`, after the same rules and with the same exact distances as the
/// proof; a line against itself is not measured. Distance changes by at most 1 mm per mm of the line, which
/// bounds what lies between the places measured and skips what is far. Where the bound falls below what the
/// proof found least, `proof` tells: pass it for lines that are proved only.
std::vector<SpareStretch> spare_along(const Bay& bay, const ProofBodies& bodies,
                                      std::span<const Route> routes, std::size_t at, const GapTable& gaps,
                                      std::span<const Stock> stock, const LineProof* proof,
                                      const SpareOptions& options = {});

}  // namespace hosefit
