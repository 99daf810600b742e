// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/recheck/put_in_place.h"

#include <Eigen/Eigenvalues>
#include <Eigen/Geometry>
#include <cmath>

namespace hosefit::recheck {

std::optional<Placing> placing_of(const std::vector<Spot>& spots, std::optional<double> scale) {
  if (spots.size() < 3) return std::nullopt;
  V3 middle_scan = V3::Zero(), middle = V3::Zero();
  for (const Spot& spot : spots) {
    middle_scan += spot.in_scan / static_cast<double>(spots.size());
    middle += spot.at_mm / static_cast<double>(spots.size());
  }
  M3 s = M3::Zero(), spread = M3::Zero();  // sum of scan times vehicle; of scan times scan
  for (const Spot& spot : spots) {
    const V3 a = spot.in_scan - middle_scan, b = spot.at_mm - middle;
    s += a * b.transpose();
    spread += a * a.transpose();
  }
  const V3 along = Eigen::SelfAdjointEigenSolver<M3>(spread).eigenvalues();
  if (!(along[1] > 1e-8 * along[2])) return std::nullopt;
  Eigen::Matrix4d n;
  n << s(0, 0) + s(1, 1) + s(2, 2), s(1, 2) - s(2, 1), s(2, 0) - s(0, 2), s(0, 1) - s(1, 0),  //
      s(1, 2) - s(2, 1), s(0, 0) - s(1, 1) - s(2, 2), s(0, 1) + s(1, 0), s(2, 0) + s(0, 2),   //
      s(2, 0) - s(0, 2), s(0, 1) + s(1, 0), s(1, 1) - s(0, 0) - s(2, 2), s(1, 2) + s(2, 1),   //
      s(0, 1) - s(1, 0), s(2, 0) + s(0, 2), s(1, 2) + s(2, 1), s(2, 2) - s(0, 0) - s(1, 1);
  const Eigen::Vector4d q = Eigen::SelfAdjointEigenSolver<Eigen::Matrix4d>(n).eigenvectors().col(3);
  Placing out;
  out.turn = Eigen::Quaterniond(q[0], q[1], q[2], q[3]).normalized().toRotationMatrix();
  double with = 0;
  for (const Spot& spot : spots) with += (spot.at_mm - middle).dot(out.turn * (spot.in_scan - middle_scan));
  out.scale = scale ? *scale : with / spread.trace();
  if (!std::isfinite(out.scale) || out.scale <= 0) return std::nullopt;
  out.shift_mm = middle - out.scale * (out.turn * middle_scan);
  return out;
}

}  // namespace hosefit::recheck
