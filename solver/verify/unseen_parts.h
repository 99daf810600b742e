// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <span>
#include <utility>
#include <vector>

#include "solver/geometry/pose.h"
#include "solver/geometry/shape.h"
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

  /// Of part and scan that which the engine carries, and the other; of two on one carrier part and scan.
  ObstacleRef on_engine(const Bay& bay) const;
  ObstacleRef on_chassis(const Bay& bay) const { return on_engine(bay) == part ? scan : part; }
};

/// A place on an obstacle's surface that a scan has not seen.
struct UnseenPlace {
  Vec3 at_mm = Vec3::Zero();  ///< in the frame of the obstacle's body
  Sight sight = Sight::behind;
};
/// Looked at are places at most 40 mm apart over the surface, lines of sight (scan_skin.h) at every fifth of
/// them.
std::vector<UnseenPlace> unseen_places(const Shape& part, const ScanSkin& skin, const Pose& part_in_scan);

/// For each pair of bodies, each scan of one and each obstacle of the other: the first place that the scan
/// has not seen, if any. What stands in a box that the shop has looked into (Bay::looked_behind) counts as
/// seen. Bodies on the engine stand moved by `engine_moved`.
std::vector<UnseenPart> unseen_parts(const Bay& bay, ProofStore& store,
                                     std::span<const std::pair<std::size_t, std::size_t>> body_pairs,
                                     const Pose& engine_moved = Pose{});

/// Undecided: subject the part's body, other the scan; parameters obstacle (the part's own), reason.
Finding unseen_part_finding(const Bay& bay, const UnseenPart& part);

}  // namespace hosefit
