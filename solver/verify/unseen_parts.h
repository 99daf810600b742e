// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <span>
#include <utility>
#include <vector>

#include "solver/geometry/pose.h"
#include "solver/model/bay.h"
#include "solver/model/finding.h"
#include "solver/verify/proof_bodies.h"
#include "solver/verify/scan_skin.h"

namespace hosefit {

/// A place on a rigid part where a scan does not tell what is there.
struct UnseenPart {
  ObstacleRef part, scan;
  Sight sight = Sight::behind;
  Vec3 where_mm = Vec3::Zero();  ///< vehicle frame
};

/// For each pair of bodies, each scan of one and each obstacle of the other: the first such place found on
/// the obstacle's surface, if any. Looked at are places at most 40 mm apart, lines of sight (scan_skin.h) at
/// every fifth of them; what stands in a box that the shop has looked into (Bay::looked_behind) counts as
/// seen. Bodies on the engine stand moved by `engine_moved`.
std::vector<UnseenPart> unseen_parts(const Bay& bay, const ProofBodies& bodies,
                                     std::span<const std::pair<std::size_t, std::size_t>> body_pairs,
                                     const Pose& engine_moved = Pose{});

/// Undecided: subject the part's body, other the scan; parameters obstacle (the part's own), reason.
Finding unseen_part_finding(const Bay& bay, const UnseenPart& part);

}  // namespace hosefit
