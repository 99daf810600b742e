// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <span>
#include <utility>
#include <vector>

#include "solver/model/finding.h"
#include "solver/verify/proof_bodies.h"
#include "solver/verify/rigid_gaps.h"

/// Gaps between rigid parts: what the candidate bolts on against the vehicle, the engine and each other.
namespace hosefit {

/// The bodies to measure against each other. Left out is what is bolted together and so meant to touch:
/// engine with pump, drive and the fixed part of the intake; pump with housing; the three bodies of the
/// intake; a fan carried by the engine with the pump and drive that turn it. Fan with chassis is there for
/// the core. What goes along with a neck whose place is chosen is measured as the chassis is, the neck's body
/// first in each pair; away from where it is written, also against the rest of the vehicle and the engine.
std::vector<std::pair<std::size_t, std::size_t>> part_pairs(const Bay& bay);

/// The gaps of those bodies, tightest first, without belt or pulley of the drive against pulley or shaft of
/// the pump, and of fan against chassis only those to a radiator core. Every pair of obstacles with less
/// spare gap than kPartsSpareLooked_mm is there. Looking further costs more than routing does, and only makes
/// the steps of a height window longer.
std::vector<RigidGap> part_gaps(const Bay& bay, ProofStore& store, const GapTable& gaps);
/// The same of these bodies.
std::vector<RigidGap> part_gaps(const Bay& bay, ProofStore& store, const GapTable& gaps,
                                std::span<const std::pair<std::size_t, std::size_t>> body_pairs);
inline constexpr double kPartsSpareLooked_mm = 10.0;

/// Whether two obstacles of such bodies matter to each other: of fan against chassis only a radiator core
/// does, and nothing does to a neck that grows out of it.
bool matter_to_each_other(const Bay& bay, ObstacleRef a, ObstacleRef b);

/// What goes along with a neck whose place is chosen, or the tee: no argument against a candidate, since
/// there are other places.
bool goes_with_a_neck(ObstacleRef ref);

/// Both are rigid and overlap, or stand nearer than they must.
bool falls_short(const RigidGap& gap);

/// One stop for each two parts that come too near, at their tightest place: hood_over_intake (subject: the
/// intake's obstacle, other: the hood's), intake_over_pump (subject: pump or housing, other: the intake's
/// obstacle), fan_to_core (subject: the fan), rigid_clash (subject: the candidate's part, other: what it
/// meets). measured, limit, margin in mm; parameters obstacle (the subject's own), part (the other's body),
/// overlap = "yes" where they overlap, since the depth is not known then and at least the margin is missing.
/// Undecided where one of them goes along with a neck whose place is chosen.
std::vector<Finding> part_findings(const Bay& bay, std::span<const RigidGap> gaps);

/// What of the candidate's parts stands where an open scan of the vehicle does not tell what is there, or of
/// the vehicle's where one of the candidate's does not: one undecided finding (unseen_space) for each part
/// and scan. What is bolted together is not asked, as for gaps.
std::vector<Finding> unseen_findings(const Bay& bay, ProofStore& store);

}  // namespace hosefit
