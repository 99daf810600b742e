// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <vector>

#include "solver/model/bay.h"
#include "solver/model/finding.h"
#include "solver/model/route.h"
#include "solver/verify/proof_bodies.h"
#include "solver/verify/tube.h"

namespace hosefit {

/// Grade at -5, 0 and +5 deg of pitch: against `rise` or `fall` the height may run at most 5 mm the wrong
/// way; `one_way` must satisfy one of the two at each pitch, not always the same one. Heights of arcs are
/// taken at their true tops. A hot line whose inside stands more than 5 mm above what lies on either side of
/// it (level vehicle) gets a flag: air stays there.
std::vector<Finding> check_grade(const Bay& bay, const Route& route);

/// One undecided finding for each stretch of the tube that is not inside the union of the known space, to
/// about 1 mm of its length; for the whole line when no known space is stated. Conservative: the box around
/// each short stretch with its radius must be covered; boxes set square to the vehicle may share the cover,
/// others must hold it whole.
std::vector<Finding> check_known_space(const Bay& bay, const Tube& tube);

/// One undecided finding for each stretch of the tube and each scan about which the scan does not tell
/// whether there is anything; the rule and its limits stand in scan_skin.h. Looked at every kScanStep_mm
/// along the tube: its middle, and four places around its outside. A place in a box that the shop says was
/// looked into (Bay::looked_behind) counts as seen. At rest; clamps are looked at in clamp_proof.h, the
/// moving line in motion_proof.h.
std::vector<Finding> check_unseen_space(const Bay& bay, const ProofBodies& bodies, const Tube& tube);
inline constexpr double kScanStep_mm =
    5.0;  ///< half the thinnest hose; ten times more would step over a hole of a hand's width

}  // namespace hosefit
