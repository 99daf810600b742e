// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <optional>
#include <vector>

#include "solver/recheck/space.h"

/// A thin rod that bends and twists and neither stretches nor shears (G. Kirchhoff, J. reine angew. Math. 56
/// (1859) 285), without weight, clamped at both ends, by initial values: from its first end on, with the
/// constant force f and the moment m there,
///   r' = t,  R' = R [u],  u = u0 + B^-1 R^T m,  m' = f x t,
/// t the first column of R, is integrated by the classical Runge-Kutta method. Each step begins with values
/// of its own, frame and moment; Newton's method, with the equations of variation beside, brings the steps
/// together and the far end home (multiple shooting: J. Stoer, R. Bulirsch, "Introduction to Numerical
/// Analysis", section 7.3.5, from memory). One long shot would be lost where the rod is drawn nearly tight.
/// Millimetres and radians; the rod's own frame: its first end lies at the origin, its first frame is the
/// identity; forces in units of bending stiffness per mm^2, moments per mm. Steps of 4 mm leave less than
/// 1e-4 mm at bends of 50 mm radius.
namespace hosefit::recheck {

inline constexpr double kTwistStiffness = 2.0 / 3;  ///< of bending stiffness: a solid round, Poisson's 1/2
inline constexpr double kLongestStep_mm = 4.0;

/// A part along which all is the same.
struct RodPart {
  double length_mm = 0;
  double stiff = 1;           ///< bending stiffness; twisting goes along
  V3 rest_bend = V3::Zero();  ///< of the frame when free of load, in the frame, 1/mm: (twist, bend, bend)
};

/// Force and moment at the first end.
using RodLoad = Eigen::Matrix<double, 6, 1>;

struct RodState {
  V3 force = V3::Zero();
  std::vector<Frame> ends;  ///< of the steps, steps + 1
  std::vector<V3> moments;  ///< there
  bool minimum = false;     ///< of energy, strictly: whatever small push costs work

  /// Beyond that at rest, of a part of stiffness 1, 1/mm.
  double curvature(std::size_t end) const;
};

class ElasticRod {
 public:
  ElasticRod() = default;
  explicit ElasticRod(const std::vector<RodPart>& parts);

  double length_mm() const { return length_mm_; }
  /// Along the rod, of the steps' ends.
  const std::vector<double>& steps_mm() const { return at_mm_; }

  /// All of it under a load, in one shot; whether it is a minimum when its far end is then clamped.
  RodState under(const RodLoad& load) const;
  /// Clamped at `far`, beginning with a shape that is nearly right. Empty: Newton's method does not come
  /// home. What is found may be no minimum.
  std::optional<RodState> clamped(const Frame& far, RodState near) const;
  /// The same with only place and direction of the far end given, and no twisting moment there.
  std::optional<RodState> turning_freely(const Frame& far, RodState near) const;
  /// The same rod with its rest bends scaled.
  ElasticRod straightened(double left) const;

  std::int64_t steps_made() const { return steps_made_; }  ///< since it was made; one with variations as ten

 private:
  struct Step {
    double length_mm, soft;  ///< soft: 1 / stiff
    V3 rest_bend;
  };
  class Shots;
  std::optional<RodState> settled(const Frame& far, RodState near, bool turns) const;

  std::vector<Step> steps_;
  std::vector<double> at_mm_;
  double length_mm_ = 0;
  mutable std::int64_t steps_made_ = 0;
};

/// What turns one frame into another, as an axis times an angle, in the axes that both are told in.
V3 turn_between(const M3& from, const M3& to);

}  // namespace hosefit::recheck
