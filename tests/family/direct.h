// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "tests/family/family.h"

namespace hosefit::family {

/// Whether plain arc, straight, arc between the leads keeps every gap: such a bay needs no search. Own
/// iteration on the two tangent lengths and dense samples; shares no code with the router.
bool direct_will_do(const FamilyBay& bay);

/// Least distance to obstacles, less radius and gap, over dense samples of a centreline.
double sampled_spare_mm(const FamilyBay& bay, const Centreline& line);

}  // namespace hosefit::family
