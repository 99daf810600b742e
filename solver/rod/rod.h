// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <span>
#include <vector>

#include "solver/geometry/vec.h"

/// A thin elastic rod of fixed length whose ends are clamped: it bends and twists, and neither stretches nor
/// shears (G. Kirchhoff, J. reine angew. Math. 56 (1859) 285). Weight and pressure are left out. It is a
/// chain of rigid links joined by springs, so lengths are exact and shapes are right to the square of the
/// link length: with 64 links within 0.001 of the length of closed solutions (tests/rod).
namespace hosefit {

/// Where a rod is clamped. Columns of the frame: direction of the rod towards its far end, then two
/// directors.
struct RodEnd {
  Vec3 at_mm = Vec3::Zero();
  Mat3 frame = Mat3::Identity();
};

/// The spring between two links, or between a clamp and the link beside it. Energy of a small turn w away
/// from `rest`: (twist w_x^2 + bend (w_y^2 + w_z^2)) / (2 length).
struct RodJoint {
  double length_mm = 0;              ///< of the rod that the joint stands for
  double bend = 1, twist = 2.0 / 3;  ///< bending and twisting stiffness; only their ratios matter
  Mat3 rest = Mat3::Identity();      ///< of the link after in the frame of the link before, when free of load
};

/// n links and n + 1 joints; joints.front() and joints.back() are those at the clamps.
struct Rod {
  std::vector<double> links_mm;
  std::vector<RodJoint> joints;
};

/// Frames of all links, from which the places follow.
struct RodShape {
  std::vector<Mat3> frames;
  Vec3 force = Vec3::Zero();  ///< that the far clamp puts on the rod, in units of bending stiffness / mm^2
};

/// How an equilibrium was found, or why none was.
enum class Settling {
  stable,    ///< a strict minimum of energy: every small push costs work
  neutral,   ///< it may swing freely, or nearly so
  unstable,  ///< some push lets it run away
  not_found
};

struct Settled {
  Settling settling = Settling::not_found;
  RodShape shape;
  int rounds = 0;
};

/// The equilibrium that the rod comes to rest in from `start`, which need not meet the far end: energy is
/// brought down while the far end is brought home. Deterministic; at most `most_rounds` solutions of the
/// equations of motion.
Settled settle(const Rod& rod, const RodEnd& from, const RodEnd& to, RodShape start, int most_rounds = 200);

/// Twist and bend of the far clamp and of the joints that a small change of the ends brings about, to first
/// order: the change of the place of every node for one unit of each of six changes of `to` (mm along the
/// axes x, y, z; rad about them). Precondition: `shape` is a stable equilibrium. A row per node, nodes() of
/// them.
using NodeChange = Eigen::Matrix<double, 3, 6>;
std::vector<NodeChange> change_with_far_end(const Rod& rod, const RodEnd& from, const RodEnd& to,
                                            const RodShape& shape);

/// Ends of the links, n + 1 of them, the first at the near clamp.
std::vector<Vec3> nodes(const Rod& rod, const RodEnd& from, const RodShape& shape);
/// Curvature at every joint in 1/mm, n + 1 of them.
std::vector<double> curvatures(const Rod& rod, const RodEnd& from, const RodEnd& to, const RodShape& shape);
/// In units of bending stiffness.
double energy(const Rod& rod, const RodEnd& from, const RodEnd& to, const RodShape& shape);

/// A rod of even links.
Rod even_rod(double length_mm, int links, double twist_over_bend = 2.0 / 3);

}  // namespace hosefit
