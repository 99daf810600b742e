// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/rod/chain_equations.h"

#include <Eigen/LU>

namespace hosefit {
namespace {

// tr(C [w]) = axis(C) . w for every skew matrix [w].
Vec3 axis(const Mat3& c) {
  return {c(1, 2) - c(2, 1), c(2, 0) - c(0, 2), c(0, 1) - c(1, 0)};
}
// tr(C [w]^2) / 2 = w . half_square(C) w / 2
Mat3 half_square(const Mat3& c) {
  Mat3 out = 0.5 * (c + c.transpose());
  out.diagonal().array() -= c.trace();
  return out;
}
Mat3 skew(const Vec3& w) {
  Mat3 out;
  out << 0, -w.z(), w.y(), w.z(), 0, -w.x(), -w.y(), w.x(), 0;
  return out;
}

// Energy of a joint: tr(weight) - tr(weight rest^T before^T after), which is (twist w_x^2 + bend (w_y^2 +
// w_z^2)) / (2 length) to the third order in the turn w away from rest, and has simple derivatives at any
// turn.
Vec3 weight(const RodJoint& joint) {
  const double side = 0.5 * joint.twist / joint.length_mm;
  return {joint.bend / joint.length_mm - side, side, side};
}

struct JointTerms {
  double energy;
  Vec3 slope_before, slope_after;
  Mat3 before, after, across;  // across: row before, column after
};
JointTerms terms_of(const RodJoint& joint, const Mat3& before, const Mat3& after) {
  const Vec3 w = weight(joint);
  const Mat3 turn = before.transpose() * after;
  const Mat3 loaded = w.asDiagonal() * joint.rest.transpose();
  const Mat3 seen_after = loaded * turn;
  const Mat3 seen_before = turn * loaded;
  JointTerms out;
  out.energy = w.sum() - seen_after.trace();
  out.slope_after = -axis(seen_after);
  out.slope_before = axis(seen_before);
  out.after = -half_square(seen_after);
  out.before = -half_square(seen_before);
  // axis(turn [e_j] loaded), where [e_j] = e_k e_i^T - e_i e_k^T with i, k the next two axes, and axis(u v^T)
  // is u x v
  for (int j = 0; j < 3; ++j) {
    const int i = (j + 1) % 3, k = (j + 2) % 3;
    out.across.col(j) =
        turn.col(k).cross(loaded.row(i).transpose()) - turn.col(i).cross(loaded.row(k).transpose());
  }
  return out;
}

// Sign changes in the row of leading minors (Jacobi; Sylvester's law of inertia).
int negatives(const Mat3& m) {
  const double first = m(0, 0);
  const double second = m(0, 0) * m(1, 1) - m(0, 1) * m(1, 0);
  const double third = m.determinant();
  return (first < 0) + ((second < 0) != (first < 0)) + ((third < 0) != (second < 0));
}

}  // namespace

double chain_energy(const Rod& rod, const RodEnd& from, const RodEnd& to, const RodShape& shape) {
  const std::size_t n = shape.frames.size();
  double sum = 0;
  for (std::size_t i = 0; i <= n; ++i) {
    const Mat3& before = i == 0 ? from.frame : shape.frames[i - 1];
    const Mat3& after = i == n ? to.frame : shape.frames[i];
    const Vec3 w = weight(rod.joints[i]);
    sum += w.sum() - (w.asDiagonal() * rod.joints[i].rest.transpose() * before.transpose() * after).trace();
  }
  return sum;
}

ChainEquations chain_equations(const Rod& rod, const RodEnd& from, const RodEnd& to, const RodShape& shape) {
  const std::size_t n = shape.frames.size();
  ChainEquations out;
  out.slope.assign(n, Vec3::Zero());
  out.diagonal.assign(n, Mat3::Zero());
  out.beside.assign(n, Mat3::Zero());
  out.reach.resize(n);
  for (std::size_t i = 0; i <= n; ++i) {
    const JointTerms t = terms_of(rod.joints[i], i == 0 ? from.frame : shape.frames[i - 1],
                                  i == n ? to.frame : shape.frames[i]);
    out.energy += t.energy;
    if (i > 0) {
      out.slope[i - 1] += t.slope_before;
      out.diagonal[i - 1] += t.before;
    }
    if (i < n) {
      out.slope[i] += t.slope_after;
      out.diagonal[i] += t.after;
    }
    if (i > 0 && i < n) out.beside[i - 1] = t.across;
    if (i == n) out.end_coupling = t.across;
  }
  out.gap_mm = to.at_mm - from.at_mm;
  for (std::size_t i = 0; i < n; ++i) {
    const double link = rod.links_mm[i];
    out.gap_mm -= link * shape.frames[i].col(0);
    out.reach[i] = -link * shape.frames[i] * skew(Vec3::UnitX());
    const Vec3 force = shape.frames[i].transpose() * shape.force;
    out.slope[i] -= out.reach[i].transpose() * shape.force;
    // The far end's second change with the turn w: link R (w w^T - |w|^2) e / 2.
    Mat3 bent = 0.5 * (force * Vec3::UnitX().transpose() + Vec3::UnitX() * force.transpose());
    bent.diagonal().array() -= force.x();
    out.diagonal[i] -= link * bent;
  }
  return out;
}

template <class Columns>
std::vector<Columns> FactoredChain::without_far_end(const std::vector<Columns>& load) const {
  const std::size_t n = load.size();
  std::vector<Columns> turns(n);
  for (std::size_t i = 0; i < n; ++i) {
    Columns left = load[i];
    if (i > 0) left -= equations_->beside[i - 1].transpose() * turns[i - 1];
    turns[i] = pivot_inverse_[i] * left;
  }
  for (std::size_t i = n - 1; i-- > 0;) turns[i] -= carry_[i] * turns[i + 1];
  return turns;
}

FactoredChain::FactoredChain(const ChainEquations& equations, const std::vector<double>& stiffness,
                             double shift)
    : equations_(&equations) {
  const std::size_t n = equations.diagonal.size();
  pivot_inverse_.resize(n);
  carry_.resize(n);
  for (std::size_t i = 0; i < n; ++i) {
    Mat3 pivot = equations.diagonal[i];
    pivot.diagonal().array() += shift * stiffness[i];
    if (i > 0) pivot -= equations.beside[i - 1].transpose() * carry_[i - 1];
    negative_ += negatives(pivot);
    pivot_inverse_[i] = pivot.inverse();
    carry_[i] = pivot_inverse_[i] * equations.beside[i];
  }
  std::vector<Mat3> reach_back(n);
  for (std::size_t i = 0; i < n; ++i) reach_back[i] = equations.reach[i].transpose();
  by_force_ = without_far_end(reach_back);
  Mat3 give = Mat3::Zero();
  for (std::size_t i = 0; i < n; ++i) give += equations.reach[i] * by_force_[i];
  give = 0.5 * (give + give.transpose()).eval();
  negative_ += negatives(-give);
  give_inverse_ = give.inverse();
}

FactoredChain::Answer FactoredChain::solve(const std::vector<Vec3>& load, const Vec3& way) const {
  Answer answer{without_far_end(load), Vec3::Zero()};
  Vec3 gone = Vec3::Zero();
  for (std::size_t i = 0; i < load.size(); ++i) gone += equations_->reach[i] * answer.turns[i];
  answer.force_change = give_inverse_ * (way - gone);
  for (std::size_t i = 0; i < load.size(); ++i) answer.turns[i] += by_force_[i] * answer.force_change;
  return answer;
}

}  // namespace hosefit
