// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/geometry/alignment.h"

#include <Eigen/Eigenvalues>
#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>

namespace hosefit {
namespace {

using Points = Eigen::Matrix3Xd;

struct Fit {
  double scale = 1;
  Mat3 rotation;
  Vec3 shift;
  double rms_mm = 0;
};

Fit fit(const Points& scan, const Points& vehicle, ScanScale scale, double fixed) {
  const bool free = scale == ScanScale::free;
  const Points from = free ? scan : Points(fixed * scan);
  const Eigen::Matrix4d t = Eigen::umeyama(from, vehicle, free);
  Fit out;
  const Mat3 scaled = t.topLeftCorner<3, 3>();
  out.scale = free ? std::cbrt(std::max(0.0, scaled.determinant())) : fixed;
  out.rotation = free && out.scale > 0 ? Mat3(scaled / out.scale) : scaled;
  out.shift = t.topRightCorner<3, 1>();
  const Points off = (scaled * from).colwise() + out.shift - vehicle;
  out.rms_mm = std::sqrt(off.squaredNorm() / static_cast<double>(scan.cols()));
  return out;
}

// Roots of the eigenvalues of the scatter, ascending.
Vec3 extents(const Points& points) {
  const Points centred = points.colwise() - points.rowwise().mean().eval();
  const Mat3 scatter = centred * centred.transpose();
  return Eigen::SelfAdjointEigenSolver<Mat3>(scatter, Eigen::EigenvaluesOnly)
      .eigenvalues()
      .cwiseMax(0.0)
      .cwiseSqrt();
}

void into_columns(std::span<const SpotPair> pairs, Points& scan, Points& vehicle) {
  scan.resize(3, static_cast<Eigen::Index>(pairs.size()));
  vehicle.resize(3, scan.cols());
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    scan.col(static_cast<Eigen::Index>(i)) = pairs[i].in_scan;
    vehicle.col(static_cast<Eigen::Index>(i)) = pairs[i].at_mm;
  }
}

}  // namespace

Alignment align(std::span<const SpotPair> pairs, ScanScale scale, double scale_mm) {
  Points scan, vehicle;
  into_columns(pairs, scan, vehicle);
  const Fit best = fit(scan, vehicle, scale, scale_mm);
  Alignment out;
  out.scale_mm = best.scale;
  out.pose = {best.rotation, best.shift};
  double squares = 0;
  for (const SpotPair& pair : pairs) {
    const double off_mm = (out.point(pair.in_scan) - pair.at_mm).norm();
    squares += off_mm * off_mm;
    out.residuals.push_back({pair.name, off_mm});
    if (off_mm > out.residuals[out.worst].off_mm) out.worst = out.residuals.size() - 1;
    for (const SpotPair& other : pairs)
      out.spread_mm = std::max(out.spread_mm, (other.at_mm - pair.at_mm).norm());
  }
  const auto n = static_cast<double>(pairs.size());
  out.rms_mm = std::sqrt(squares / n);
  out.per_coordinate_mm = std::sqrt(squares / (3 * n - (scale == ScanScale::free ? 7 : 6)));
  Points mirrored = scan;
  mirrored.row(0) *= -1;
  out.mirrored_rms_mm = fit(mirrored, vehicle, scale, scale_mm).rms_mm;
  return out;
}

Spread how_spread(std::span<const SpotPair> pairs) {
  Points scan, vehicle;
  into_columns(pairs, scan, vehicle);
  Spread out{1, 1};
  for (const Points& points : {scan, vehicle}) {
    const Vec3 roots = extents(points);
    const double longest = roots[2];
    out.off_line = std::min(out.off_line, longest > 0 ? roots[1] / longest : 0.0);
    out.off_plane = std::min(out.off_plane, longest > 0 ? roots[0] / longest : 0.0);
  }
  return out;
}

}  // namespace hosefit
