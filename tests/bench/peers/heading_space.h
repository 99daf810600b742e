// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <ompl/base/SpaceInformation.h>
#include <ompl/base/spaces/RealVectorStateSpace.h>

#include "tests/bench/peers/question.h"

namespace hosefit::bench {

/// The space both peers plan in: the place and direction in which a run leaves an intersection point, and how
/// many of those lie behind it. Seven numbers: place, unit direction, count.
class HeadingSpace final : public ompl::base::RealVectorStateSpace {
 public:
  HeadingSpace(const AxisBox& box, const Asker& asker);

  static Heading heading(const ompl::base::State* state);
  static int corners(const ompl::base::State* state);
  static void put(ompl::base::State* state, const Heading& heading, int corners);
  /// A state that no motion leads to.
  void put_nowhere(ompl::base::State* state) const;

  /// Places apart, and half a radius per unit of direction apart.
  double distance(const ompl::base::State* a, const ompl::base::State* b) const override;
  /// Along arc, straight, arc; without such a connection it stays where it is.
  void interpolate(const ompl::base::State* from, const ompl::base::State* to, double t,
                   ompl::base::State* state) const override;
  ompl::base::StateSamplerPtr allocDefaultStateSampler() const override;

 private:
  const Asker& asker_;
};

/// A planner that found something: its states in order, the start first.
using Headings = std::vector<Heading>;

}  // namespace hosefit::bench
