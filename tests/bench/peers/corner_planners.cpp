// SPDX-License-Identifier: GPL-3.0-or-later
// The next corner is thrown from the last one: so far straight on, such a turn, in such a plane.
#include <ompl/base/ProblemDefinition.h>
#include <ompl/base/ProjectionEvaluator.h>
#include <ompl/base/objectives/PathLengthOptimizationObjective.h>
#include <ompl/control/PathControl.h>
#include <ompl/control/SpaceInformation.h>
#include <ompl/control/planners/kpiece/KPIECE1.h>
#include <ompl/control/planners/rrt/RRT.h>
#include <ompl/control/planners/sst/SST.h>
#include <ompl/control/spaces/RealVectorControlSpace.h>

#include <cmath>
#include <numbers>

#include "solver/route/shortcut.h"
#include "tests/bench/peers/heading_space.h"
#include "tests/bench/peers/planners.h"

namespace hosefit::bench {
namespace {

namespace ob = ompl::base;
namespace oc = ompl::control;

constexpr double kLongestLeg_radii = 2.0, kLeastTurn_rad = 0.05;
constexpr double kCell_radii = 0.7;
constexpr int kBendsOfTheLastMotion = 2;

class ThrowCorner final : public oc::StatePropagator {
 public:
  ThrowCorner(const oc::SpaceInformationPtr& si, const HeadingSpace& space, const Asker& asker)
      : oc::StatePropagator(si), space_(space), asker_(asker) {}

  void propagate(const ob::State* state, const oc::Control* control, double /*duration*/,
                 ob::State* result) const override {
    const double* u = control->as<oc::RealVectorControlSpace::ControlType>()->values;
    const Heading from = HeadingSpace::heading(state);
    const int corners = HeadingSpace::corners(state) + 1;
    if (corners + kBendsOfTheLastMotion > asker_.problem().rules.most_bends)
      return space_.put_nowhere(result);
    const Heading turn_at{from.at_mm + u[0] * from.along, from.along};
    const Vec3 a = any_perpendicular(from.along), b = from.along.cross(a);
    const Vec3 inward = std::cos(u[2]) * a + std::sin(u[2]) * b;
    const Piece arc = arc_from(turn_at, inward, asker_.problem().radius_mm, u[1]);
    if (!asker_.is_free({{Straight{from.at_mm, turn_at.at_mm}, arc}})) return space_.put_nowhere(result);
    const double length = length_mm(arc);
    HeadingSpace::put(result, {point_at(arc, length), direction_at(arc, length).normalized()}, corners);
  }
  bool canPropagateBackward() const override { return false; }

 private:
  const HeadingSpace& space_;
  const Asker& asker_;
};

// Met where arc, straight, arc leads to the far lead.
class DirectFromHere final : public ob::Goal {
 public:
  DirectFromHere(const ob::SpaceInformationPtr& si, const Asker& asker) : ob::Goal(si), asker_(asker) {}

  bool isSatisfied(const ob::State* state) const override { return isSatisfied(state, nullptr); }
  bool isSatisfied(const ob::State* state, double* distance) const override {
    const Heading from = HeadingSpace::heading(state), to = end_of_run(asker_.problem());
    if (distance != nullptr) *distance = (from.at_mm - to.at_mm).norm();
    const std::optional<Connection> c = asker_.connection(from, to);
    return c && asker_.is_free(pieces_of(*c, from, to, asker_.problem().radius_mm));
  }

 private:
  const Asker& asker_;
};

class PlaceCells final : public ob::ProjectionEvaluator {
 public:
  PlaceCells(const ob::StateSpacePtr& space, double cell_mm)
      : ob::ProjectionEvaluator(space), cell_mm_(cell_mm) {}
  unsigned getDimension() const override { return 3; }
  void defaultCellSizes() override { cellSizes_.assign(3, cell_mm_); }
  void project(const ob::State* state, Eigen::Ref<Eigen::VectorXd> out) const override {
    out = HeadingSpace::heading(state).at_mm;
  }

 private:
  double cell_mm_;
};

double length_of_corner(const Heading& from, const Heading& to, double radius_mm) {
  const double turn = angle_between(from.along, to.along);
  const Vec3 corner = to.at_mm - radius_mm * std::tan(turn / 2) * to.along;
  return (corner - from.at_mm).norm() - radius_mm * std::tan(turn / 2) + radius_mm * turn;
}

class LengthOfCorners final : public ob::OptimizationObjective {
 public:
  LengthOfCorners(const ob::SpaceInformationPtr& si, double radius_mm)
      : ob::OptimizationObjective(si), radius_mm_(radius_mm) {}
  ob::Cost stateCost(const ob::State* /*state*/) const override { return identityCost(); }
  ob::Cost motionCost(const ob::State* a, const ob::State* b) const override {
    return ob::Cost(length_of_corner(HeadingSpace::heading(a), HeadingSpace::heading(b), radius_mm_));
  }

 private:
  double radius_mm_;
};

ob::PlannerPtr planner_of(Planner planner, const oc::SpaceInformationPtr& si, double radius_mm) {
  if (planner == Planner::kpiece || planner == Planner::kpiece_polished) {
    auto kpiece = std::make_shared<oc::KPIECE1>(si);
    kpiece->setProjectionEvaluator(
        std::make_shared<PlaceCells>(si->getStateSpace(), kCell_radii * radius_mm));
    return kpiece;
  }
  if (planner == Planner::corner_rrt) return std::make_shared<oc::RRT>(si);
  auto sst = std::make_shared<oc::SST>(si);
  sst->setSelectionRadius(0.7 * radius_mm);
  sst->setPruningRadius(0.25 * radius_mm);
  return sst;
}

// A corner lies where the lines of two headings meet.
Bends corners_of(const oc::PathControl& path, const Asker& asker) {
  const double radius = asker.problem().radius_mm;
  Bends bends;
  for (std::size_t i = 0; i + 1 < path.getStateCount(); ++i) {
    const Heading from = HeadingSpace::heading(path.getState(static_cast<unsigned>(i)));
    const Heading to = HeadingSpace::heading(path.getState(static_cast<unsigned>(i + 1)));
    bends.emplace_back(to.at_mm - radius * std::tan(angle_between(from.along, to.along) / 2) * to.along);
  }
  const Heading last = HeadingSpace::heading(path.getState(static_cast<unsigned>(path.getStateCount() - 1)));
  const Heading end = end_of_run(asker.problem());
  if (const std::optional<Connection> c = asker.connection(last, end))
    for (const Vec3& bend : bends_of(*c, last, end, radius)) bends.push_back(bend);
  return bends;
}

}  // namespace

std::optional<Bends> plan_corners(Planner planner, const Asker& asker, const AxisBox& box) {
  const RunProblem& problem = asker.problem();
  const auto space = std::make_shared<HeadingSpace>(box, asker);
  const auto controls = std::make_shared<oc::RealVectorControlSpace>(space, 3);
  ob::RealVectorBounds bounds(3);
  bounds.setLow(0, 0);
  bounds.setHigh(0, kLongestLeg_radii * problem.radius_mm);
  bounds.setLow(1, kLeastTurn_rad);
  bounds.setHigh(1, problem.rules.most_bend_rad);
  bounds.setLow(2, 0);
  bounds.setHigh(2, 2 * std::numbers::pi);
  controls->setBounds(bounds);

  const auto si = std::make_shared<oc::SpaceInformation>(space, controls);
  si->setStatePropagator(std::make_shared<ThrowCorner>(si, *space, asker));
  si->setPropagationStepSize(1);
  si->setMinMaxControlDuration(1, 1);
  si->setStateValidityChecker([&](const ob::State* state) { return space->satisfiesBounds(state); });
  si->setup();

  const auto wanted = std::make_shared<ob::ProblemDefinition>(si);
  ob::ScopedState<> start(space);
  HeadingSpace::put(start.get(), start_of_run(problem), 0);
  wanted->addStartState(start);
  wanted->setGoal(std::make_shared<DirectFromHere>(si, asker));
  if (planner == Planner::sst)
    wanted->setOptimizationObjective(std::make_shared<LengthOfCorners>(si, problem.radius_mm));

  const ob::PlannerPtr p = planner_of(planner, si, problem.radius_mm);
  p->setProblemDefinition(wanted);
  p->setup();
  p->solve(ob::PlannerTerminationCondition([&] { return asker.spent(); }));
  if (!wanted->hasExactSolution()) return std::nullopt;
  return corners_of(*wanted->getSolutionPath()->as<oc::PathControl>(), asker);
}

}  // namespace hosefit::bench
