// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "tests/family/rooms.h"

namespace hosefit::family {

/// A route of three or four bends first, then obstacles close to it and across the straight way.
FamilyBay any_clutter(Dice& dice, int obstacles, double spare_mm);

enum class Opening { slot, round_hole };
/// A closed room cut in two by a wall. `spare_mm`: half the slot's narrow side, or the hole's radius, less
/// what the hose needs. No curve passes a slot with less than 0, whatever its bends: on its way through the
/// wall's middle plane it is nearer to one of the sides than it may be.
FamilyBay any_slot(Dice& dice, Opening opening, double spare_mm);

/// Walls square to one direction with windows that the route passes slantwise, in turn one way and the other.
FamilyBay any_zigzag(Dice& dice, int walls);

/// A neck that looks straight at the side of a closed room, `spare_mm` further away than lead, radius and
/// keep-off together. A curve of least radius R that turns by s / R over s at most has gone R ahead once it
/// is pi R / 2 long, however it turns; the other neck is further than that. So less than 0 is too near.
FamilyBay any_facing_wall(Dice& dice, double spare_mm);

}  // namespace hosefit::family
