// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <functional>
#include <optional>
#include <span>
#include <stop_token>
#include <vector>

#include "solver/decide/decide.h"
#include "solver/verify/rigid_gaps.h"

namespace hosefit {

/// One candidate judged, with what its height window is made from.
struct Judgement {
  CandidateResult result;
  std::optional<Bay> bay;           ///< once the parts pair and the height is one the intake has
  std::vector<RigidGap> part_gaps;  ///< see part_gaps.h
  PartsInMotion parts_in_motion;    ///< when the parts hold at rest
};

/// Parts first: whether they pair, then whether they have room, at rest and wherever the engine goes on its
/// mounts. Only when they do are lines routed, proved and held against the rules. Lines that hold at rest and
/// not in motion are searched for otherwise (motion_search.h). With `stop` requested the result is not
/// finished and must be thrown away. Necks whose place is chosen stand as written where the lines lie so,
/// else where neck_places.h finds a place for them, and a tee where tee_places.h finds one; the result's
/// candidate says where.
Judgement judge(const Prepared& prepared, const Candidate& candidate, const Budget& budget,
                const std::stop_token& stop);

/// The same with lines already searched, for instance at another intake height: nothing is searched, all is
/// proved anew.
Judgement judge_routed(const Prepared& prepared, const Candidate& candidate,
                       std::vector<LineSearch> searches);

/// The same with earlier routes led along to where the necks are now (follow_routes). Empty when a line
/// cannot be. Only a full fit says anything about the candidate: what does not follow may lie otherwise.
std::optional<Judgement> judge_followed(const Prepared& prepared, const Candidate& candidate,
                                        std::span<const LineSearch> earlier, const Budget& budget,
                                        const std::stop_token& stop);

/// Judges with lines already searched.
using JudgeRouted = std::function<Judgement(const Candidate&, std::vector<LineSearch>)>;

/// Searches all lines of the bay. The search lays one line after another and keeps the necks of those to come
/// free, so "blocked" is an argument for the candidate only if the line is blocked with no other line in the
/// bay: it is searched for again alone, and an outcome that does not stand alone becomes budget_spent.
std::vector<LineSearch> search_lines(const Prepared& prepared, const Bay& bay, const Budget& budget,
                                     const std::stop_token& stop);

}  // namespace hosefit
