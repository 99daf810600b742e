// SPDX-License-Identifier: GPL-3.0-or-later
// Headings are thrown into the bay and joined by arc, straight, arc.
#include <ompl/base/MotionValidator.h>
#include <ompl/base/ProblemDefinition.h>
#include <ompl/base/ScopedState.h>
#include <ompl/base/goals/GoalState.h>
#include <ompl/geometric/PathGeometric.h>
#include <ompl/geometric/PathSimplifier.h>
#include <ompl/geometric/planners/informedtrees/BITstar.h>
#include <ompl/geometric/planners/rrt/RRT.h>
#include <ompl/geometric/planners/rrt/RRTConnect.h>

#include "solver/route/shortcut.h"
#include "tests/bench/peers/heading_space.h"
#include "tests/bench/peers/planners.h"

namespace hosefit::bench {
namespace {

namespace ob = ompl::base;
namespace og = ompl::geometric;

constexpr double kRange_radii = 6.0, kNoRange = 1e6;

class Connected final : public ob::MotionValidator {
 public:
  Connected(const ob::SpaceInformationPtr& si, const Asker& asker) : ob::MotionValidator(si), asker_(asker) {}
  bool checkMotion(const ob::State* a, const ob::State* b) const override {
    const Heading from = HeadingSpace::heading(a), to = HeadingSpace::heading(b);
    const std::optional<Connection> c = asker_.connection(from, to);
    return c && asker_.is_free(pieces_of(*c, from, to, asker_.problem().radius_mm));
  }
  bool checkMotion(const ob::State* a, const ob::State* b,
                   std::pair<ob::State*, double>& last) const override {
    last.second = 0;
    return checkMotion(a, b);
  }

 private:
  const Asker& asker_;
};

class LengthOfConnections final : public ob::OptimizationObjective {
 public:
  LengthOfConnections(const ob::SpaceInformationPtr& si, const Asker& asker)
      : ob::OptimizationObjective(si), asker_(asker) {}
  ob::Cost stateCost(const ob::State* /*state*/) const override { return identityCost(); }
  ob::Cost motionCost(const ob::State* a, const ob::State* b) const override {
    const std::optional<Connection> c = asker_.connection(HeadingSpace::heading(a), HeadingSpace::heading(b));
    return c ? ob::Cost(c->length_mm) : infiniteCost();
  }
  ob::Cost motionCostHeuristic(const ob::State* a, const ob::State* b) const override {
    return ob::Cost((HeadingSpace::heading(a).at_mm - HeadingSpace::heading(b).at_mm).norm());
  }
  bool isSymmetric() const override { return false; }

 private:
  const Asker& asker_;
};

ob::PlannerPtr planner_of(Planner planner, const ob::SpaceInformationPtr& si, double radius_mm) {
  if (planner == Planner::rrt) {
    auto rrt = std::make_shared<og::RRT>(si);
    rrt->setRange(kRange_radii * radius_mm);
    rrt->setGoalBias(0.1);
    return rrt;
  }
  if (planner == Planner::rrt_connect) {
    // Part of the way to a thrown heading would be walked the wrong way round in the tree of the goal.
    auto connect = std::make_shared<og::RRTConnect>(si);
    connect->setRange(kNoRange);
    return connect;
  }
  auto bit = std::make_shared<og::BITstar>(si);
  bit->setUseKNearest(true);
  bit->setSamplesPerBatch(100);
  return bit;
}

Bends bends_of(const og::PathGeometric& path, const Asker& asker) {
  Bends bends;
  for (std::size_t i = 0; i + 1 < path.getStateCount(); ++i) {
    const Heading from = HeadingSpace::heading(path.getState(static_cast<unsigned>(i)));
    const Heading to = HeadingSpace::heading(path.getState(static_cast<unsigned>(i + 1)));
    const std::optional<Connection> c = asker.connection(from, to);
    if (!c) continue;
    for (const Vec3& bend : hosefit::bends_of(*c, from, to, asker.problem().radius_mm)) bends.push_back(bend);
  }
  return bends;
}

}  // namespace

std::optional<Bends> plan_connections(Planner planner, const Asker& asker, const AxisBox& box) {
  const RunProblem& problem = asker.problem();
  const auto space = std::make_shared<HeadingSpace>(box, asker);
  const auto si = std::make_shared<ob::SpaceInformation>(space);
  si->setStateValidityChecker([&](const ob::State* state) {
    return space->satisfiesBounds(state) && asker.is_free(HeadingSpace::heading(state).at_mm);
  });
  si->setMotionValidator(std::make_shared<Connected>(si, asker));
  si->setup();

  const auto wanted = std::make_shared<ob::ProblemDefinition>(si);
  ob::ScopedState<> start(space), goal(space);
  HeadingSpace::put(start.get(), start_of_run(problem), 0);
  HeadingSpace::put(goal.get(), end_of_run(problem), 0);
  wanted->setStartAndGoalStates(start, goal, 1e-9);
  const auto length = std::make_shared<LengthOfConnections>(si, asker);
  wanted->setOptimizationObjective(length);

  const ob::PlannerPtr p = planner_of(planner, si, problem.radius_mm);
  p->setProblemDefinition(wanted);
  p->setup();
  const ob::PlannerTerminationCondition until([&] { return asker.spent(); });
  p->solve(until);
  if (!wanted->hasExactSolution()) return std::nullopt;
  og::PathGeometric path(*wanted->getSolutionPath()->as<og::PathGeometric>());
  og::PathSimplifier simplifier(si, ob::GoalPtr(), length);
  simplifier.reduceVertices(path);
  return bends_of(path, asker);
}

}  // namespace hosefit::bench
