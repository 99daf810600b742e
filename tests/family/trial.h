// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <optional>
#include <string>

#include "solver/route/lines.h"
#include "tests/family/family.h"

namespace hosefit::family {

/// What the router made of one bay.
struct Trial {
  Kind kind = Kind::clutter;
  std::uint64_t seed = 0;
  bool direct = false;  ///< falls to a plain arc, straight, arc
  std::string outcome;  ///< the search's own word
  bool proved = false;  ///< and by verify
  double cpu_ms = 0;    ///< of the calling thread, index ready, search alone
  std::int64_t work_units = 0;
  double length_mm = 0, witness_length_mm = 0;
  int bends = 0;
  double missing_mm = 0;                  ///< what is known
  std::optional<double> told_missing_mm;  ///< what the search said
};

/// Routes and proves; deterministic but for cpu_ms.
Trial try_bay(const FamilyBay& bay, const RouteOptions& options);

}  // namespace hosefit::family
