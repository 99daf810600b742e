// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/rigid_gaps.h"

#include <array>
#include <catch2/catch.hpp>

#include "solver/verify/triangle_tree.h"
#include "tests/support/random_bay.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

constexpr std::array<std::pair<std::size_t, std::size_t>, 1> kBoth{{{0, 1}}};

Bay two_bodies(Shape a, const Pose& pose_a, Shape b, const Pose& pose_b,
               Carrier carrier_b = Carrier::chassis) {
  Bay bay;
  bay.bodies.push_back(
      body_of("one", Carrier::chassis, {obstacle_of("a", Hazard::smooth_metal, std::move(a))}, pose_a));
  bay.bodies.push_back(body_of("two", carrier_b, {obstacle_of("b", Hazard::hood, std::move(b))}, pose_b));
  return bay;
}

}  // namespace

TEST_CASE("two spheres are as far apart as their centres less their radii") {
  for (std::uint64_t task = 0; task < 10; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{21}, task);
    const Pose one = random_pose(dice, 300), two = random_pose(dice, 300);
    const double ra = dice.between(5, 40), rb = dice.between(5, 40);
    const Vec3 ca = random_point(dice, 20);
    const Vec3 cb = two.point_inverse(one.point(ca) + (ra + rb + 12.5) * random_direction(dice));
    const auto gaps =
        rigid_gaps(two_bodies(SphereShape{ca, ra}, one, SphereShape{cb, rb}, two), test_gaps(), kBoth, 100);
    REQUIRE(gaps.size() == 1);
    CHECK(gaps[0].distance_mm <= 12.505);
    CHECK(gaps[0].distance_mm >= 12.5 - 0.05);
    CHECK((gaps[0].where_mm - one.point(ca)).norm() == Approx(ra).margin(0.05));
  }
}

TEST_CASE("two boxes edge over edge, corner over face and face over face have their closed form gaps") {
  const BoxShape unit{Pose{}, {10, 10, 10}};
  const auto gap_to = [&](const Pose& pose) {
    const auto gaps = rigid_gaps(two_bodies(unit, {}, unit, pose), test_gaps(), kBoth, 100);
    REQUIRE(gaps.size() == 1);
    return gaps[0].distance_mm;
  };
  const double root2 = std::sqrt(2.0);
  CHECK(gap_to(Pose::translation({27, 3, -4})) == Approx(7).margin(0.005));
  // Turned 45 deg about X resp. Y: two edges crossed at right angles.
  const Mat3 about_x = Eigen::AngleAxisd(std::numbers::pi / 4, Vec3::UnitX()).toRotationMatrix();
  const Mat3 about_y = Eigen::AngleAxisd(std::numbers::pi / 4, Vec3::UnitY()).toRotationMatrix();
  CHECK(rigid_gaps(two_bodies(unit, {about_x, Vec3::Zero()}, unit, {about_y, {0, 0, 20 * root2 + 3}}),
                   test_gaps(), kBoth, 100)[0]
            .distance_mm == Approx(3).margin(0.005));
  // A corner down on a face: half the space diagonal below the centre.
  const Mat3 corner = Eigen::Quaterniond::FromTwoVectors(Vec3(1, 1, 1), Vec3(0, 0, -1)).toRotationMatrix();
  CHECK(gap_to({corner, {1, 2, 10 + 10 * std::sqrt(3.0) + 5}}) == Approx(5).margin(0.005));
}

TEST_CASE("bodies that cross have no gap and one inside the other has a negative one") {
  const BoxShape big{Pose{}, {50, 50, 50}};
  const BoxShape small{Pose{}, {5, 5, 5}};
  CHECK(rigid_gaps(two_bodies(big, {}, small, Pose::translation({50, 0, 0})), test_gaps(), kBoth, 30)[0]
            .distance_mm == 0);
  for (const bool swapped : {false, true}) {
    const Bay bay = swapped ? two_bodies(small, {}, big, {}) : two_bodies(big, {}, small, {});
    const auto gaps = rigid_gaps(bay, test_gaps(), kBoth, 30);  // 45 mm from any face, beyond `within`
    REQUIRE(gaps.size() == 1);
    CHECK(gaps[0].distance_mm < 0);
  }
  CHECK(
      rigid_gaps(two_bodies(big, {}, small, Pose::translation({90, 0, 0})), test_gaps(), kBoth, 30).empty());
}

TEST_CASE("the stricter of both hazards is required, by carrier, and own gaps hold") {
  const BoxShape unit{Pose{}, {10, 10, 10}};
  const GapTable table = test_gaps();
  for (const Carrier carrier : {Carrier::chassis, Carrier::engine}) {
    Bay bay = two_bodies(unit, {}, unit, Pose::translation({30, 0, 0}), carrier);
    const double hood = table.row(Runner::rigid_part, Hazard::hood, carrier == Carrier::chassis).at_rest.mm();
    CHECK(rigid_gaps(bay, table, kBoth, 50)[0].required_mm ==
          hood);  // hood asks for more than smooth metal in test_gaps
    Body own = *bay.bodies[0].body;
    own.obstacles[0].own_gap = OwnGap{Length::mm(99), {}};
    bay.bodies[0].body = std::make_shared<const Body>(own);
    CHECK(rigid_gaps(bay, table, kBoth, 50)[0].required_mm == 99);
  }
}

TEST_CASE("the tree descent agrees with measuring every pair of triangles") {
  for (std::uint64_t task = 0; task < 12; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{22}, task);
    const TriangleMesh a = bumpy_ball(dice, random_point(dice, 60), 30, 5);
    const TriangleMesh b = bumpy_ball(dice, random_point(dice, 60), 30, 5);
    const Pose one = random_pose(dice, 30), two = random_pose(dice, 30);
    double least = 500;
    for (const auto& s : a.triangles)
      for (const auto& t : b.triangles)
        for (std::size_t k = 0; k < 3; ++k) {
          const auto va = [&](std::size_t i) { return one.point(a.vertices_mm[s[i % 3]]); };
          const auto vb = [&](std::size_t i) { return two.point(b.vertices_mm[t[i % 3]]); };
          least =
              std::min(least, closest_segment_triangle(va(k), va(k + 1), vb(0), vb(1), vb(2)).distance_mm());
          least =
              std::min(least, closest_segment_triangle(vb(k), vb(k + 1), va(0), va(1), va(2)).distance_mm());
        }
    CHECK(least_gap(TriangleTree(a), one, TriangleTree(b), two, 500).distance_mm ==
          Approx(least).margin(0.005));
  }
}

TEST_CASE("rigid gaps come tightest first, and a shared store changes nothing") {
  Dice dice(RunSeed{23}, 1);
  const Bay bay = random_bay(dice, 2, 4, 200);
  ProofStore store;
  const auto first = rigid_gaps(bay, store, test_gaps(), kBoth, 200);
  const auto again = rigid_gaps(bay, store, test_gaps(), kBoth, 200);
  const auto fresh = rigid_gaps(bay, test_gaps(), kBoth, 200);
  REQUIRE(first.size() > 5);
  REQUIRE(first.size() == again.size());
  REQUIRE(first.size() == fresh.size());
  for (std::size_t i = 0; i < first.size(); ++i) {
    CHECK(first[i].distance_mm == again[i].distance_mm);
    CHECK(first[i].distance_mm == fresh[i].distance_mm);
    if (i > 0)
      CHECK(first[i - 1].distance_mm - first[i - 1].required_mm <=
            first[i].distance_mm - first[i].required_mm);
  }
}
