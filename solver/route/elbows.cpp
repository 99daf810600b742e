// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/elbows.h"

#include <Eigen/LU>
#include <algorithm>
#include <cmath>
#include <numbers>

namespace hosefit {
namespace {

constexpr double kMostElbow_rad = 170.0 * std::numbers::pi / 180;
constexpr double kFits_mm = 1e-7;  // left over of the three equations; more would show as an end off its neck
constexpr int kRolls = 72;
constexpr int kFreeLengths = 5;
constexpr double kLongestFree_mm = 800;  // of the one free length: longer legs leave the bay

using Directions = std::vector<Vec3>;

// The directions u with u.a = cos(alpha) and u.b = cos(beta): where two cones about unit axes meet. For
// parallel axes every direction of a cone will do; `towards` then picks the two in its plane.
Directions on_both_cones(const Vec3& a, double alpha, const Vec3& b, double beta, const Vec3& towards) {
  const double ab = a.dot(b);
  const double ca = std::cos(alpha), cb = std::cos(beta);
  const Vec3 normal = a.cross(b);
  const double s2 = normal.squaredNorm();
  if (s2 < 1e-16) {
    if (std::abs(ca * ab - cb) > 1e-9) return {};
    const Vec3 across = towards - towards.dot(a) * a;
    if (across.norm() < 1e-9) return {};
    const Vec3 w = across.normalized();
    return {ca * a + std::sin(alpha) * w, ca * a - std::sin(alpha) * w};
  }
  const Vec3 base = ((ca - ab * cb) * a + (cb - ab * ca) * b) / s2;
  const double rest = 1 - base.squaredNorm();
  if (rest < -1e-9) return {};
  const Vec3 off = normal * std::sqrt(std::max(rest, 0.0) / s2);
  if (off.norm() < 1e-6) return {base.normalized()};
  return {base + off, base - off};
}

class ElbowSolver {
 public:
  ElbowSolver(const RunProblem& problem, const Stock& stock, Work& work)
      : problem_(problem), stock_(stock), work_(work) {
    for (const double angle : problem.rules.angles_rad)
      if (angle <= std::min(kMostElbow_rad, problem.rules.most_bend_rad + 1e-9)) angles_.push_back(angle);
  }

  std::vector<ElbowSolution> solve() {
    one();
    two();
    three();
    std::stable_sort(found_.begin(), found_.end(), [](const ElbowSolution& a, const ElbowSolution& b) {
      return a.joiners != b.joiners ? a.joiners < b.joiners : a.length_mm < b.length_mm;
    });
    return std::move(found_);
  }

 private:
  void one() {
    const double turn = angle_between(problem_.start.along, problem_.goal.along);
    for (const double angle : angles_)
      if (std::abs(angle - turn) < 1e-9) lengths_for({problem_.start.along, problem_.goal.along}, {angle});
  }

  void two() {
    const Vec3 d = problem_.start.along, e = problem_.goal.along;
    for (const double first : angles_)
      for (const double second : angles_)
        for (const Vec3& u : on_both_cones(d, first, e, second, problem_.goal.at_mm - problem_.start.at_mm))
          lengths_for({d, u, e}, {first, second});
  }

  void three() {
    const Vec3 d = problem_.start.along, e = problem_.goal.along;
    const Vec3 side = any_perpendicular(d), other_side = d.cross(side);
    for (const double first : angles_)
      for (int k = 0; k < kRolls && !work_.spent(); ++k) {
        const double roll = 2 * std::numbers::pi * k / kRolls;
        const Vec3 u =
            std::cos(first) * d + std::sin(first) * (std::cos(roll) * side + std::sin(roll) * other_side);
        for (const double second : angles_)
          for (const double third : angles_)
            for (const Vec3& v :
                 on_both_cones(u, second, e, third, problem_.goal.at_mm - problem_.start.at_mm))
              lengths_for({d, u, v, e}, {first, second, third});
        work_.spend(static_cast<std::int64_t>(angles_.size()));
      }
  }

  // Straights along given directions so that straights and arcs add up to the way from neck to neck.
  void lengths_for(const Directions& along, const std::vector<double>& angles) {
    const double radius = problem_.radius_mm;
    Vec3 to_cover = problem_.goal.at_mm - problem_.start.at_mm;
    for (std::size_t i = 0; i < angles.size(); ++i)
      to_cover -= radius * std::tan(angles[i] / 2) * (along[i] + along[i + 1]);
    using Matrix = Eigen::Matrix<double, 3, Eigen::Dynamic, 0, 3, 4>;
    Matrix m(3, static_cast<Eigen::Index>(along.size()));
    for (std::size_t i = 0; i < along.size(); ++i) m.col(static_cast<Eigen::Index>(i)) = along[i];
    Eigen::FullPivLU<Matrix> lu(m);
    lu.setThreshold(1e-9);
    const Eigen::VectorXd straights = lu.solve(to_cover);
    if ((m * straights - to_cover).norm() > kFits_mm) return;
    if (lu.dimensionOfKernel() == 0) {
      take(along, angles, straights);
    } else if (lu.dimensionOfKernel() == 1) {
      slide(along, angles, straights, lu.kernel().col(0));
    }
  }

  // One length is free: the range in which no straight is too short, sampled.
  void slide(const Directions& along, const std::vector<double>& angles, const Eigen::VectorXd& straights,
             const Eigen::VectorXd& free) {
    double from = -1e300, to = 1e300;
    const Eigen::Index last = straights.size() - 1;
    for (Eigen::Index i = 0; i <= last; ++i) {
      const double least = i == 0 || i == last ? 0.0 : kLeastJoined_mm;
      if (std::abs(free[i]) < 1e-12) {
        if (straights[i] < least) return;
        continue;
      }
      const double at_least = (least - straights[i]) / free[i],
                   at_most = (kLongestFree_mm - straights[i]) / free[i];
      from = std::max(from, std::min(at_least, at_most));
      to = std::min(to, std::max(at_least, at_most));
    }
    if (from > to) return;
    for (int k = 0; k < kFreeLengths; ++k)
      take(along, angles, straights + (from + (to - from) * (k + 0.1) / (kFreeLengths - 0.8)) * free);
  }

  void take(const Directions& along, const std::vector<double>& angles, const Eigen::VectorXd& straights) {
    ElbowChain chain;
    chain.angles_rad = angles;
    double length = 0;
    for (Eigen::Index i = 0; i < straights.size(); ++i) {
      if (straights[i] < 0) return;
      chain.straights_mm.push_back(straights[i]);
      length += straights[i];
    }
    for (const double angle : angles) length += angle * problem_.radius_mm;
    const std::optional<int> joiners = joiners_needed(stock_, problem_.rules, chain);
    if (!joiners) return;
    ElbowSolution solution;
    solution.joiners = *joiners;
    solution.length_mm = length;
    Vec3 at = problem_.start.at_mm;
    double carried = 0;
    for (std::size_t i = 0; i < angles.size(); ++i) {
      const double tangent = problem_.radius_mm * std::tan(angles[i] / 2);
      at += (carried + chain.straights_mm[i] + tangent) * along[i];
      carried = tangent;
      solution.bends.push_back(at);
    }
    found_.push_back(std::move(solution));
  }

  const RunProblem& problem_;
  const Stock& stock_;
  Work& work_;
  std::vector<double> angles_;
  std::vector<ElbowSolution> found_;
};

}  // namespace

std::vector<ElbowSolution> elbow_chains(const RunProblem& problem, const Stock& stock, Work& work) {
  return ElbowSolver(problem, stock, work).solve();
}

}  // namespace hosefit
