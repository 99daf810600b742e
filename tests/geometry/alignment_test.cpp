// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/geometry/alignment.h"

#include <catch2/catch.hpp>

#include "tests/support/random_shapes.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

std::vector<SpotPair> exact_pairs(Dice& dice, std::size_t n, const Pose& pose, double scale) {
  std::vector<SpotPair> pairs;
  for (std::size_t i = 0; i < n; ++i) {
    const Vec3 p = random_point(dice, 3);
    pairs.push_back({"spot " + std::to_string(i), p, pose.point(scale * p)});
  }
  return pairs;
}

double sum_of_squares(const std::vector<SpotPair>& pairs, const Pose& pose, double scale) {
  double sum = 0;
  for (const SpotPair& p : pairs) sum += (pose.point(scale * p.in_scan) - p.at_mm).squaredNorm();
  return sum;
}

}  // namespace

TEST_CASE("exact spots give back the motion and the scale that made them") {
  for (std::uint64_t task = 0; task < 50; ++task) {
    CAPTURE(task);
    Dice dice({17}, task);
    const Pose pose = random_pose(dice, 1000);
    const double scale = dice.between(0.2, 900);
    const std::vector<SpotPair> pairs = exact_pairs(dice, 3 + dice.below(6), pose, scale);
    if (how_spread(pairs).off_line < 0.05) continue;
    const Alignment free = align(pairs, ScanScale::free, 1);
    CHECK(free.scale_mm == Approx(scale).epsilon(1e-9));
    CHECK((free.pose.rotation - pose.rotation).norm() < 1e-8);
    CHECK((free.pose.origin_mm - pose.origin_mm).norm() < 1e-6);
    CHECK(free.residuals[free.worst].off_mm < 1e-6);
    const Alignment fixed = align(pairs, ScanScale::fixed, scale);
    CHECK(fixed.scale_mm == scale);
    CHECK(fixed.residuals[fixed.worst].off_mm < 1e-6);
  }
}

TEST_CASE("no motion or scale nearby brings the spots closer") {
  for (std::uint64_t task = 0; task < 20; ++task) {
    CAPTURE(task);
    Dice dice({19}, task);
    std::vector<SpotPair> pairs = exact_pairs(dice, 6, random_pose(dice, 1000), 400);
    for (SpotPair& p : pairs) p.at_mm += random_point(dice, 5);
    for (const ScanScale scale : {ScanScale::free, ScanScale::fixed}) {
      const Alignment found = align(pairs, scale, 400);
      const double least = sum_of_squares(pairs, found.pose, found.scale_mm);
      CHECK(least == Approx(6 * found.rms_mm * found.rms_mm));
      CHECK(found.per_coordinate_mm == Approx(std::sqrt(least / (scale == ScanScale::free ? 11.0 : 12.0))));
      for (int i = 0; i < 30; ++i) {
        Pose other = found.pose;
        other.rotation =
            Eigen::AngleAxisd(dice.between(-1e-3, 1e-3), random_direction(dice)) * other.rotation;
        other.origin_mm += random_point(dice, 0.3);
        const double factor = scale == ScanScale::free ? dice.between(0.9995, 1.0005) : 1.0;
        CHECK(sum_of_squares(pairs, other, factor * found.scale_mm) >= least - 1e-9);
      }
    }
  }
}

TEST_CASE("a mirrored scan is never fitted by a mirroring, and its mirror image fits") {
  Dice dice({23}, 0);
  std::vector<SpotPair> pairs = exact_pairs(dice, 6, random_pose(dice, 1000), 400);
  for (SpotPair& p : pairs) p.in_scan.y() *= -1;
  const Alignment found = align(pairs, ScanScale::free, 1);
  CHECK(found.pose.rotation.determinant() == Approx(1));
  CHECK(found.rms_mm > 50);
  CHECK(found.mirrored_rms_mm < 1e-6);
}

TEST_CASE("the spread tells spots in a line and in a plane") {
  std::vector<SpotPair> pairs;
  for (const double x : {0.0, 1.0, 2.0, 5.0}) pairs.push_back({"", {x, 2 * x, 0}, {x, 0, 0}});
  CHECK(how_spread(pairs).off_line == Approx(0).margin(1e-7));
  pairs[3].in_scan.z() = 3;
  CHECK(how_spread(pairs).off_line == Approx(0).margin(1e-7));  // the vehicle's are still in line
  pairs[3].at_mm.z() = 3;
  CHECK(how_spread(pairs).off_line > 0.05);
  CHECK(how_spread(pairs).off_plane == Approx(0).margin(1e-7));
}
