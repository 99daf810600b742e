// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/paper/bend_planes.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "solver/base/dice.h"

using namespace hosefit;

namespace {

constexpr double kPi = std::numbers::pi;

// Straights of 60 to 160 mm with bends of 20 to 100 degrees of radius 30 in planes turned at random.
Centreline random_centreline(int bends, std::uint64_t task) {
  Dice dice(RunSeed{11}, task);
  FilletChain chain;
  Vec3 at(300, -40, 500);
  Vec3 direction = Vec3(dice.between(-1, 1), dice.between(-1, 1), dice.between(-1, 1)).normalized();
  chain.points_mm = {at};
  for (int i = 0; i <= bends; ++i) {
    at += dice.between(100, 200) * direction;
    chain.points_mm.push_back(at);
    const Vec3 about = Eigen::AngleAxisd(dice.between(0, 2 * kPi), direction) * any_perpendicular(direction);
    direction = Eigen::AngleAxisd(dice.between(20, 100) * kPi / 180, about) * direction;
  }
  chain.radii_mm.assign(static_cast<std::size_t>(bends), 30.0);
  const auto made = centreline_of(chain);
  REQUIRE(made.has_value());
  return *made;
}

Vec3 in_vehicle(const BendPlane& plane, const Vec2& p) {
  return plane.frame.point({p.x(), p.y(), 0});
}

}  // namespace

TEST_CASE("every plane put back into the vehicle is the centreline that it was taken from") {
  for (std::uint64_t task = 0; task < 60; ++task) {
    CAPTURE(task);
    const Centreline centreline = random_centreline(1 + static_cast<int>(task % 5), task);
    for (BendPlane plane : bend_planes(centreline)) {
      if (task % 2 == 1) plane = turned(plane, 0.7 * static_cast<double>(task));
      double s = plane.from_s_mm;
      for (const FlatPiece& piece : plane.pieces) {
        const double length = piece.radius_mm > 0 ? piece.radius_mm * std::abs(piece.sweep_rad)
                                                  : (piece.to_mm - piece.from_mm).norm();
        for (const double share : {0.0, 0.3, 1.0})
          CHECK(
              (in_vehicle(plane, point_at(piece, share)) - point_at(centreline, s + share * length)).norm() <
              1e-6);
        s += length;
      }
      CHECK(s == Approx(plane.to_s_mm).margin(1e-6));
    }
  }
}

TEST_CASE("the planes cover the centreline and share the straight between two of them") {
  for (std::uint64_t task = 0; task < 20; ++task) {
    const Centreline centreline = random_centreline(4, task);
    const std::vector<BendPlane> planes = bend_planes(centreline);
    REQUIRE(planes.size() == 4);  // no two neighbours of random planes are the same
    CHECK(planes.front().from_s_mm == 0);
    CHECK(planes.back().to_s_mm == Approx(length_mm(centreline)));
    for (std::size_t i = 1; i < planes.size(); ++i) {
      CHECK(planes[i].from_s_mm < planes[i - 1].to_s_mm);
      CHECK(planes[i].pieces.front().radius_mm == 0);
      CHECK(planes[i - 1].pieces.back().radius_mm == 0);
    }
  }
}

TEST_CASE("the turn between planes is that of the bend table") {
  const Centreline centreline = random_centreline(5, 3);
  const BendTable table = bend_table(centreline);
  const std::vector<BendPlane> planes = bend_planes(centreline);
  REQUIRE(planes.size() == table.rows.size());
  for (std::size_t i = 0; i < planes.size(); ++i)
    CHECK(planes[i].turn_rad == Approx(table.rows[i].rotate_rad).margin(1e-9));
}

TEST_CASE("bends to both sides of one plane lie on one drawing") {
  FilletChain chain;
  chain.points_mm = {{0, 0, 0}, {100, 0, 0}, {200, 100, 0}, {300, 100, 0}};
  chain.radii_mm = {40, 40};
  const std::vector<BendPlane> planes = bend_planes(*centreline_of(chain));
  REQUIRE(planes.size() == 1);
  REQUIRE(planes[0].pieces.size() == 5);
  CHECK(planes[0].pieces[1].sweep_rad == Approx(kPi / 4));
  CHECK(planes[0].pieces[3].sweep_rad == Approx(-kPi / 4));
}

TEST_CASE("the box of an arc holds it and touches it on all four sides") {
  Dice dice(RunSeed{5}, 1);
  for (int i = 0; i < 200; ++i) {
    FlatPiece arc;
    arc.centre_mm = {dice.between(-50, 50), dice.between(-50, 50)};
    arc.radius_mm = dice.between(10, 100);
    arc.from_rad = dice.between(-7, 7);
    arc.sweep_rad = dice.between(-5, 5);
    arc.from_mm = point_at(arc, 0);
    arc.to_mm = point_at(arc, 1);
    const Eigen::AlignedBox2d box = box_of(arc, 0);
    Eigen::AlignedBox2d sampled;
    for (int k = 0; k <= 4000; ++k) sampled.extend(point_at(arc, k / 4000.0));
    CHECK((box.min() - sampled.min()).norm() < 0.001);
    CHECK((box.max() - sampled.max()).norm() < 0.001);
  }
}
