// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include "solver/model/bay.h"
#include "solver/model/route.h"

/// A family of bays whose answer is known before anything is routed: either a route was made first and the
/// obstacles put round it, or the bay is short by a length known in closed form. One line a bay, plain hose.
/// All values are made up. Millimetres, vehicle frame.
namespace hosefit::family {

enum class Kind {
  clutter,         ///< 40 obstacles round a route of three or four bends, 1.5 mm to spare
  dense_clutter,   ///< 110 obstacles, 0.3 mm to spare
  slot,            ///< a closed room, a wall across it, a slot 0.1 to 4 mm wider each side than it must be
  round_hole,      ///< the same with a round hole (24 sides)
  three_bends,     ///< two walls whose windows lie so that three bends are needed
  four_bends,      ///< three walls
  facing_wall,     ///< a neck looks at a wall 0.05 to 6 mm further away than the first bend needs
  duct,            ///< a flat duct with one turn; the hose's radius is 80 to 97 % of the largest that passes
  tight_duct,      ///< 97 to 99 % of it
  slot_too_small,  ///< 0.2 to 4 mm too narrow each side
  hole_too_small,  ///< 0.2 to 4 mm too small in radius
  duct_too_tight,  ///< the radius is 101 to 115 % of the largest that passes
  wall_too_near,   ///< 0.2 to 6 mm too near for the first bend
};
inline constexpr std::array kKinds{
    Kind::clutter,        Kind::dense_clutter,  Kind::slot,         Kind::round_hole, Kind::three_bends,
    Kind::four_bends,     Kind::facing_wall,    Kind::duct,         Kind::tight_duct, Kind::slot_too_small,
    Kind::hole_too_small, Kind::duct_too_tight, Kind::wall_too_near};
std::string_view word(Kind kind);  ///< "slot_too_small"
std::optional<Kind> kind_named(std::string_view text);
bool feasible(Kind kind);

struct FamilyBay {
  Kind kind = Kind::clutter;
  std::uint64_t seed = 0;
  Bay bay;
  Stock stock;
  double gap_mm = 0;      ///< the same for every hazard and runner
  double missing_mm = 0;  ///< > 0 in bays with no route: were every gap this much less, the witness would fit
  Route witness;          ///< keeps all gaps less missing_mm
};

/// Deterministic in (kind, seed).
FamilyBay family_bay(Kind kind, std::uint64_t seed);

GapTable even_gaps(double gap_mm);

}  // namespace hosefit::family
