// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/rod/rod.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/rod/chain_equations.h"

namespace hosefit {
namespace {

constexpr double kLongestTurn_rad = 0.5;  // of one link in one round; the equations are good for small turns
constexpr double kHome_mm = 1e-8;
constexpr double kAtRest = 1e-9;       // slope over stiffness: a turn in rad
constexpr double kFreeToSwing = 1e-4;  // of the softest single joint: below this a push costs next to nothing
constexpr double kLargestShift = 1e6;

Mat3 turned(const Mat3& frame, const Vec3& turn) {
  const double angle = turn.norm();
  if (angle < 1e-300) return frame;
  return frame * Eigen::AngleAxisd(angle, turn / angle).toRotationMatrix();
}

RodShape turned(const RodShape& shape, const FactoredChain::Answer& answer, double share) {
  RodShape out;
  out.force = shape.force + share * answer.force_change;
  out.frames.resize(shape.frames.size());
  for (std::size_t i = 0; i < shape.frames.size(); ++i)
    out.frames[i] = turned(shape.frames[i], share * answer.turns[i]);
  return out;
}

Vec3 gap_of(const Rod& rod, const RodEnd& from, const RodEnd& to, const RodShape& shape) {
  Vec3 gap = to.at_mm - from.at_mm;
  for (std::size_t i = 0; i < shape.frames.size(); ++i) gap -= rod.links_mm[i] * shape.frames[i].col(0);
  return gap;
}

std::vector<double> stiffness_of(const Rod& rod) {
  std::vector<double> out(rod.links_mm.size());
  for (std::size_t i = 0; i < out.size(); ++i)
    out[i] =
        rod.joints[i].bend / rod.joints[i].length_mm + rod.joints[i + 1].bend / rod.joints[i + 1].length_mm;
  return out;
}

bool at_rest(const ChainEquations& equations, const std::vector<double>& stiffness) {
  if (!(equations.gap_mm.norm() <= kHome_mm)) return false;
  for (std::size_t i = 0; i < stiffness.size(); ++i)
    if (!(equations.slope[i].norm() <= kAtRest * stiffness[i])) return false;
  return true;
}

// The softest direction decides: the equations are factored once as they are and once with a little taken
// off.
Settling settling_of(const ChainEquations& equations, const std::vector<double>& stiffness) {
  const double n = static_cast<double>(stiffness.size());
  const double little = kFreeToSwing / (n * n);
  if (FactoredChain(equations, stiffness, -little).negative_directions() == 0) return Settling::stable;
  return FactoredChain(equations, stiffness, little).negative_directions() == 0 ? Settling::neutral
                                                                                : Settling::unstable;
}

// The largest share of a step that does not raise energy + pull |gap|, halved at most 30 times; 0 when there
// is none.
double share_that_helps(const Rod& rod, const RodEnd& from, const RodEnd& to, const RodShape& shape,
                        const ChainEquations& equations, const FactoredChain::Answer& answer) {
  double longest = 0;
  for (const Vec3& turn : answer.turns) longest = std::max(longest, turn.norm());
  const double pull = 2 * ((shape.force + answer.force_change).norm() + 1e-9);
  const double before = equations.energy + pull * equations.gap_mm.norm();
  double share = longest > kLongestTurn_rad ? kLongestTurn_rad / longest : 1.0;
  for (int halved = 0; halved < 30; ++halved, share *= 0.5) {
    const RodShape next = turned(shape, answer, share);
    const double after = chain_energy(rod, from, to, next) + pull * gap_of(rod, from, to, next).norm();
    if (after <= before + 1e-12 * (1 + std::abs(before))) return share;
  }
  return 0;
}

}  // namespace

Settled settle(const Rod& rod, const RodEnd& from, const RodEnd& to, RodShape start, int most_rounds) {
  Settled settled;
  settled.shape = std::move(start);
  const std::vector<double> stiffness = stiffness_of(rod);
  double shift = 0;
  for (; settled.rounds < most_rounds; ++settled.rounds) {
    const ChainEquations equations = chain_equations(rod, from, to, settled.shape);
    if (at_rest(equations, stiffness)) {
      settled.settling = settling_of(equations, stiffness);
      return settled;
    }
    std::vector<Vec3> load(stiffness.size());
    for (std::size_t i = 0; i < load.size(); ++i) load[i] = -equations.slope[i];
    double share = 0;
    while (share == 0) {
      const FactoredChain factored(equations, stiffness, shift);
      if (factored.negative_directions() == 0) {
        const FactoredChain::Answer answer = factored.solve(load, equations.gap_mm);
        share = share_that_helps(rod, from, to, settled.shape, equations, answer);
        if (share > 0) settled.shape = turned(settled.shape, answer, share);
      }
      if (share == 0) shift = shift > 0 ? 4 * shift : 1e-6;
      if (!(shift < kLargestShift)) return settled;
    }
    shift = share == 1 && shift < 1e-6 ? 0 : 0.25 * shift;
  }
  return settled;
}

std::vector<NodeChange> change_with_far_end(const Rod& rod, const RodEnd& from, const RodEnd& to,
                                            const RodShape& shape) {
  const ChainEquations equations = chain_equations(rod, from, to, shape);
  const FactoredChain factored(equations, stiffness_of(rod), 0);
  const std::size_t n = shape.frames.size();
  std::vector<NodeChange> out(n + 1, NodeChange::Zero());
  for (int k = 0; k < 6; ++k) {
    std::vector<Vec3> load(n, Vec3::Zero());
    Vec3 way = Vec3::Zero();
    if (k < 3) {
      way = Vec3::Unit(k);
    } else {
      load[n - 1] = -equations.end_coupling * (to.frame.transpose() * Vec3::Unit(k - 3));
    }
    const FactoredChain::Answer answer = factored.solve(load, way);
    for (std::size_t i = 0; i < n; ++i)
      out[i + 1].col(k) = out[i].col(k) + equations.reach[i] * answer.turns[i];
  }
  return out;
}

std::vector<Vec3> nodes(const Rod& rod, const RodEnd& from, const RodShape& shape) {
  std::vector<Vec3> out{from.at_mm};
  for (std::size_t i = 0; i < shape.frames.size(); ++i)
    out.push_back(out.back() + rod.links_mm[i] * shape.frames[i].col(0));
  return out;
}

std::vector<double> curvatures(const Rod& rod, const RodEnd& from, const RodEnd& to, const RodShape& shape) {
  std::vector<double> out;
  const std::size_t n = shape.frames.size();
  for (std::size_t i = 0; i <= n; ++i) {
    const Vec3& before = i == 0 ? Vec3(from.frame.col(0)) : Vec3(shape.frames[i - 1].col(0));
    const Vec3& after = i == n ? Vec3(to.frame.col(0)) : Vec3(shape.frames[i].col(0));
    out.push_back(angle_between(before, after) / rod.joints[i].length_mm);
  }
  return out;
}

double energy(const Rod& rod, const RodEnd& from, const RodEnd& to, const RodShape& shape) {
  return chain_energy(rod, from, to, shape);
}

Rod even_rod(double length_mm, int links, double twist_over_bend) {
  const double link = length_mm / links;
  Rod rod;
  rod.links_mm.assign(static_cast<std::size_t>(links), link);
  rod.joints.assign(static_cast<std::size_t>(links) + 1, {link, 1, twist_over_bend, Mat3::Identity()});
  rod.joints.front().length_mm = rod.joints.back().length_mm = 0.5 * link;
  return rod;
}

}  // namespace hosefit
