// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/bench/peers/planners.h"

#include <ompl/util/Console.h>
#include <ompl/util/RandomNumbers.h>

namespace hosefit::bench {

std::string_view word(Planner planner) {
  switch (planner) {
    case Planner::kpiece:
      return "KPIECE1";
    case Planner::corner_rrt:
      return "corner_RRT";
    case Planner::sst:
      return "SST";
    case Planner::rrt:
      return "RRT";
    case Planner::rrt_connect:
      return "RRTConnect";
    case Planner::bit_star:
      return "BITstar";
  }
  return "";
}

std::optional<Planner> planner_named(std::string_view text) {
  for (const Planner planner : kPlanners)
    if (word(planner) == text) return planner;
  return std::nullopt;
}

std::optional<Bends> plan(Planner planner, const Question& question, const Room& room, std::int64_t budget,
                          std::uint64_t seed) {
  ompl::msg::noOutputHandler();  // it tells of every seed set anew
  const AxisBox box = question.throwing_box();
  const Asker asker(question.problem(), room, budget);
  const bool corners =
      planner == Planner::kpiece || planner == Planner::corner_rrt || planner == Planner::sst;
  for (std::uint64_t attempt = 0; !asker.spent(); ++attempt) {
    ompl::RNG::setSeed(static_cast<std::uint_fast32_t>(1 + (seed * 1000003 + attempt) % 4000000007ULL));
    const std::optional<Bends> bends =
        corners ? plan_corners(planner, asker, box) : plan_connections(planner, asker, box);
    if (!bends) continue;
    if (check_run(question.problem(), room, *bends).breach == Breach::none) return bends;
  }
  return std::nullopt;
}

}  // namespace hosefit::bench
