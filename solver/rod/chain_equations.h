// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <vector>

#include "solver/rod/rod.h"

/// The equations of a chain of links; for this stage's own files.
namespace hosefit {

using Mat36 = Eigen::Matrix<double, 3, 6>;

/// Energy, its slope and its second derivatives over turns of the links, each in the link's own frame:
/// block tridiagonal. `reach` is how the far end moves with each turn.
struct ChainEquations {
  double energy = 0;
  std::vector<Vec3> slope;     ///< of energy - force . far end
  std::vector<Mat3> diagonal;  ///< of the same
  std::vector<Mat3> beside;    ///< row i, column i + 1
  std::vector<Mat3> reach;     ///< 3 x 3 per link
  Vec3 gap_mm = Vec3::Zero();  ///< from the chain's end to where it shall be
  Mat3 end_coupling =
      Mat3::Zero();  ///< second derivative over the last link's turn and the far clamp's (own frame)
};
ChainEquations chain_equations(const Rod& rod, const RodEnd& from, const RodEnd& to, const RodShape& shape);
double chain_energy(const Rod& rod, const RodEnd& from, const RodEnd& to, const RodShape& shape);

/// The same equations, factored; `shift` times each link's stiffness is added on the diagonal.
class FactoredChain {
 public:
  FactoredChain(const ChainEquations& equations, const std::vector<double>& stiffness, double shift);
  /// Negative directions of energy among turns that keep the far end where it is; 0 for a strict minimum.
  int negative_directions() const { return negative_ - 3; }

  /// Turns of all links and change of the force for a load on each link and a way that the far end shall go.
  struct Answer {
    std::vector<Vec3> turns;
    Vec3 force_change;
  };
  Answer solve(const std::vector<Vec3>& load, const Vec3& way) const;

 private:
  template <class Columns>  // Vec3, or Mat3 for three loads at once
  std::vector<Columns> without_far_end(const std::vector<Columns>& load) const;

  const ChainEquations* equations_;
  std::vector<Mat3> pivot_inverse_, carry_;
  std::vector<Mat3> by_force_;  ///< turns per unit of force
  Mat3 give_inverse_;           ///< of the far end's way per unit of force
  int negative_ = 0;
};

}  // namespace hosefit
