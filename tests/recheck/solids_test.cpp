// SPDX-License-Identifier: GPL-3.0-or-later
// The recheck's distances against those of geometry and verify, which share no code with them, and against
// plain sampling.
#include "solver/recheck/solids.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "solver/base/dice.h"
#include "solver/geometry/shape.h"
#include "solver/recheck/curve.h"
#include "solver/verify/mesh_distance.h"
#include "solver/verify/proof_bodies.h"

using namespace hosefit;

namespace {

Vec3 any_place(Dice& dice, double reach) {
  return {dice.between(-reach, reach), dice.between(-reach, reach), dice.between(-reach, reach)};
}
Vec3 any_direction(Dice& dice) {
  Vec3 d = any_place(dice, 1);
  while (d.norm() < 0.1) d = any_place(dice, 1);
  return d.normalized();
}
Pose any_pose(Dice& dice) {
  const Vec3 z = any_direction(dice);
  return Pose::from_axes(any_place(dice, 50), z, any_perpendicular(z));
}
recheck::Frame frame_of(const Pose& pose) {
  return {pose.rotation, pose.origin_mm};
}

struct Both {
  Shape first;
  recheck::Solid second;
};
const std::vector<Vec2> kOutline{{0, 0}, {60, 0}, {60, 20}, {25, 20}, {25, 50}, {0, 50}};

Both any_shape(Dice& dice, int kind) {
  const Vec3 a = any_place(dice, 60), b = a + dice.between(5, 80) * any_direction(dice);
  const double r = dice.between(3, 30), q = dice.between(0, 30);
  const Pose pose = any_pose(dice);
  switch (kind) {
    case 0: {
      const Vec3 half(dice.between(2, 40), dice.between(2, 40), dice.between(2, 40));
      return {BoxShape{pose, half}, recheck::Block{frame_of(pose), half}};
    }
    case 1:
      return {CylinderShape{a, b, r}, recheck::Round{a, b, r, r}};
    case 2:
      return {ConeShape{a, b, r, q}, recheck::Round{a, b, r, q}};
    case 3:
      return {CapsuleShape{a, b, r}, recheck::Ball{a, b, r}};
    case 4:
      return {SphereShape{a, r}, recheck::Ball{a, a, r}};
    default:
      return {ExtrusionShape{pose, kOutline, 30}, recheck::Prism{frame_of(pose), kOutline, 30}};
  }
}

std::vector<recheck::Corners> corners_of(const TriangleMesh& mesh) {
  std::vector<recheck::Corners> out;
  for (const auto& t : mesh.triangles)
    out.push_back({mesh.vertices_mm[t[0]], mesh.vertices_mm[t[1]], mesh.vertices_mm[t[2]]});
  return out;
}

}  // namespace

TEST_CASE("distances to solids with a closed form are those of the geometry stage") {
  Dice dice(RunSeed{5}, 0);
  for (int i = 0; i < 30000; ++i) {
    const Both both = any_shape(dice, i % 6);
    const Vec3 p = any_place(dice, 120);
    INFO("kind " << i % 6 << ", case " << i);
    REQUIRE(recheck::distance_mm(both.second, p, 1e9) ==
            Approx(signed_distance_mm(both.first, p)).margin(1e-9));
    const AxisBox first = bounds(both.first), second = recheck::box_of(both.second);
    REQUIRE((first.min() - second.min()).norm() < 1e-9);
    REQUIRE((first.max() - second.max()).norm() < 1e-9);
  }
}

TEST_CASE("rails are the same solids as the first proof's") {
  Dice dice(RunSeed{6}, 0);
  for (int i = 0; i < 60; ++i) {
    RailShape rail{{{0, 0, 0}}, Vec3::UnitZ(), dice.between(10, 60), dice.between(10, 60)};
    for (int k = 0; k < 3; ++k)
      rail.path_mm.push_back(rail.path_mm.back() +
                             Vec3(dice.between(150, 300), dice.between(-80, 80), dice.between(-40, 40)));
    const recheck::Pieces pieces{recheck::rail_pieces(rail.path_mm, rail.up, rail.width_mm, rail.height_mm)};
    REQUIRE(pieces.pieces.size() == 3);
    const MeshDistance first(std::make_shared<const TriangleMesh>(tessellate(rail, 0.1)),
                             MeshDistance::Inside::solid);
    for (int k = 0; k < 40; ++k) {
      const Vec3 p = Vec3(400, 0, 0) + any_place(dice, 1).cwiseProduct(Vec3(500, 200, 120));
      const double here = recheck::distance_mm(pieces, p, 1e9), there = first.signed_distance_mm(p);
      INFO(p.transpose());
      if (there > 0)
        REQUIRE(here == Approx(there).margin(1e-7));
      else
        REQUIRE(here <= 1e-9);  // inside the least distance may be to a face between two pieces
    }
  }
}

TEST_CASE("the grid of triangles finds the nearest as trying them all does, inside and out") {
  Dice dice(RunSeed{7}, 0);
  const TriangleMesh mesh = tessellate(CapsuleShape{{-40, 0, 0}, {60, 20, 10}, 25}, 0.05);
  const recheck::TriangleGrid grid(corners_of(mesh));
  CHECK(recheck::is_watertight(grid.triangles()));
  for (int i = 0; i < 500; ++i) {
    const Vec3 p = any_place(dice, 150);
    double least = 1e9;
    for (const recheck::Corners& t : grid.triangles())
      least = std::min(least, recheck::distance_to_triangle(p, t[0], t[1], t[2]));
    REQUIRE(grid.distance_mm(p, 1e9) == Approx(least).margin(1e-12));
    REQUIRE(grid.distance_mm(p, 20) == Approx(std::min(least, 20.0)).margin(1e-12));
    REQUIRE(std::abs(grid.turns_around(p)) == Approx(winding_number(mesh, p)).margin(1e-9));
  }
}

TEST_CASE("a mesh with a hole or a face turned round is not watertight") {
  std::vector<recheck::Corners> triangles = corners_of(tessellate(SphereShape{{0, 0, 0}, 20}, 0.5));
  CHECK(recheck::is_watertight(triangles));
  std::swap(triangles.front()[0], triangles.front()[1]);
  CHECK_FALSE(recheck::is_watertight(triangles));
  triangles.erase(triangles.begin());
  CHECK_FALSE(recheck::is_watertight(triangles));
}

TEST_CASE("how far two solids are apart lies between its bounds and agrees with the first proof's trees") {
  Dice dice(RunSeed{8}, 0);
  ProofStore store;
  double widest = 0;
  for (int i = 0; i < 1500; ++i) {
    const Both a = any_shape(dice, i % 6), b = any_shape(dice, i / 6 % 6);
    const Vec3 shift = dice.between(0, 160) * any_direction(dice);
    const recheck::Frame moved{Mat3::Identity(), shift};
    const recheck::Apart found = recheck::apart(a.second, recheck::moved(b.second, moved), 100);
    const auto body = [](const Shape& shape) {
      Body made;
      Obstacle obstacle;
      obstacle.shape = shape;
      made.obstacles.push_back(obstacle);
      return std::make_shared<const Body>(made);
    };
    const SolidGap first = store.gap(body(a.first), 0, body(b.first), 0, Pose::translation(shift), 100);
    INFO("case " << i << ": " << found.at_least_mm << " to " << found.at_most_mm << ", trees "
                 << first.distance_mm);
    REQUIRE(found.at_least_mm <= found.at_most_mm + 1e-9);
    // The trees' triangles stand off by up to 0.02 mm on either side, outward.
    REQUIRE(std::max(0.0, first.distance_mm) <= found.at_most_mm + 1e-6);
    if (first.distance_mm > 0) REQUIRE(first.distance_mm >= found.at_least_mm - 0.041);
    widest = std::max(widest, found.at_most_mm - found.at_least_mm);
  }
  CHECK(widest <= 0.01);
}

TEST_CASE("a solid inside a hollow mesh is not apart from it") {
  const auto grid =
      std::make_shared<const recheck::TriangleGrid>(corners_of(tessellate(SphereShape{{0, 0, 0}, 50}, 0.5)));
  const recheck::Ball inner{{0, 0, 0}, {5, 0, 0}, 3};
  CHECK(recheck::apart(inner, recheck::Surface{grid, true, {}}, 10).at_most_mm == 0);
  CHECK(recheck::apart(inner, recheck::Surface{grid, false, {}}, 10).at_most_mm == 10);
}

TEST_CASE("distance to an arc is the least over its points") {
  Dice dice(RunSeed{9}, 0);
  for (int i = 0; i < 400; ++i) {
    const Vec3 normal = any_direction(dice);
    const recheck::ArcPiece arc{any_perpendicular(normal) * dice.between(10, 100), Vec3::Zero(), normal,
                                dice.between(0.05, 6.2)};
    const Vec3 p = any_place(dice, 150);
    double least = 1e9;
    const double length = recheck::length_mm(arc);
    for (int k = 0; k <= 4000; ++k) least = std::min(least, (recheck::at(arc, length * k / 4000) - p).norm());
    const double found = recheck::distance_mm(arc, p);
    REQUIRE(found <= least + 1e-9);
    REQUIRE(found >= least - length / 8000);
    REQUIRE(
        recheck::box_of(recheck::CurvePiece(arc)).contains(recheck::at(arc, length * dice.between(0, 1))));
  }
}
