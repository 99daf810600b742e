// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <cstdint>
#include <optional>
#include <string_view>

#include "tests/bench/peers/question.h"

/// Set-ups of a general motion-planning library (OMPL), asked the router's question. All share one space
/// (heading_space.h), one connection, one bend check, one free test (Asker).
namespace hosefit::bench {

enum class Planner {
  kpiece,           ///< corners thrown from the last corner (leg, turn, plane); KPIECE1
  kpiece_polished,  ///< the same with the router's rough look, and its polish of what is found: its search
                    ///< alone is the library's
  corner_rrt,       ///< the motions of KPIECE1; RRT
  sst,              ///< the same; SST, asked for the least length
  rrt,              ///< motions are arc, straight, arc to a thrown heading; RRT with its goal bias
  rrt_connect,      ///< the same motions; RRTConnect
  bit_star,         ///< the same motions; BIT*, asked for the least length
};
inline constexpr std::array kPlanners{
    Planner::kpiece, Planner::kpiece_polished, Planner::corner_rrt, Planner::sst,
    Planner::rrt,    Planner::rrt_connect,     Planner::bit_star};
std::string_view word(Planner planner);
std::optional<Planner> planner_named(std::string_view text);

/// The bends of a run that keeps every rule (check_run), or nothing when the budget is spent. What breaks a
/// rule is thrown away and the planner starts anew with other dice. Deterministic in (question, seed), one
/// thread at a time: the library's dice are global.
std::optional<Bends> plan(Planner planner, const Question& question, const Room& room, std::int64_t budget,
                          std::uint64_t seed);

/// One run of a planner, unchecked.
std::optional<Bends> plan_corners(Planner planner, const Asker& asker, const AxisBox& box);
std::optional<Bends> plan_connections(Planner planner, const Asker& asker, const AxisBox& box);

}  // namespace hosefit::bench
