// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/bench/peers/planners.h"

#include <ompl/util/Console.h>
#include <ompl/util/RandomNumbers.h>

#include "solver/route/polish.h"

namespace hosefit::bench {

std::string_view word(Planner planner) {
  switch (planner) {
    case Planner::kpiece:
      return "KPIECE1";
    case Planner::kpiece_polished:
      return "KPIECE1+polish";
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

namespace {

constexpr std::int64_t kWorkOfAPolish = 1000;

bool throws_corners(Planner planner) {
  switch (planner) {
    case Planner::kpiece:
    case Planner::kpiece_polished:
    case Planner::corner_rrt:
    case Planner::sst:
      return true;
    case Planner::rrt:
    case Planner::rrt_connect:
    case Planner::bit_star:
      return false;
  }
  return false;
}

std::optional<Bends> held(Planner planner, const RunProblem& problem, const Room& room, Bends bends) {
  if (planner == Planner::kpiece_polished) {
    Work work(kWorkOfAPolish, {});
    const PolishOutcome outcome = polish_until_it_holds(problem, room, bends, std::nullopt, work);
    return outcome.run ? std::optional(outcome.bends) : std::nullopt;
  }
  if (check_run(problem, room, bends).breach != Breach::none) return std::nullopt;
  return bends;
}

}  // namespace

std::optional<Bends> plan(Planner planner, const Question& question, const Room& room, std::int64_t budget,
                          std::uint64_t seed) {
  ompl::msg::noOutputHandler();  // it tells of every seed set anew
  const AxisBox box = question.throwing_box();
  const Asker asker(question.problem(), room, budget,
                    planner == Planner::kpiece_polished ? Sureness::rough : Sureness::exact);
  for (std::uint64_t attempt = 0; !asker.spent(); ++attempt) {
    ompl::RNG::setSeed(static_cast<std::uint_fast32_t>(1 + (seed * 1000003 + attempt) % 4000000007ULL));
    std::optional<Bends> bends =
        throws_corners(planner) ? plan_corners(planner, asker, box) : plan_connections(planner, asker, box);
    if (bends) bends = held(planner, question.problem(), room, std::move(*bends));
    if (bends) return bends;
  }
  return std::nullopt;
}

}  // namespace hosefit::bench
