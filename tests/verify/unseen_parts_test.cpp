// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/unseen_parts.h"

#include <algorithm>
#include <catch2/catch.hpp>

#include "solver/verify/parts_in_motion.h"
#include "tests/support/scan_mesh.h"
#include "tests/verify/moving_job.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

// A scan on the chassis (body 0) and a block on the engine (body 1).
struct ScannedBay {
  Bay bay;
  std::pair<std::size_t, std::size_t> pair{1, 0};
  std::unique_ptr<ProofStore> store = std::make_unique<ProofStore>();  // remembers what it was asked

  ScannedBay(TriangleMesh scan, Shape block, SeenFrom seen_from = SeenFrom::front) {
    Obstacle o = obstacle_of("scan", Hazard::smooth_metal,
                             MeshShape{"scan.ply", std::make_shared<const TriangleMesh>(std::move(scan))});
    o.closed = false;
    o.seen_from = seen_from;
    bay.bodies.push_back(body_of("chassis", Carrier::chassis, {o}));
    bay.bodies.push_back(
        body_of("pump", Carrier::engine, {obstacle_of("casing", Hazard::smooth_metal, std::move(block))}));
  }
  std::vector<UnseenPart> unseen(const Pose& moved = Pose{}) const {
    return unseen_parts(bay, *store, std::span(&pair, 1), moved);
  }
  PartsInMotion in_motion(double lift_mm) const {
    const EnginePlaces places = places_about(motion_of(0, lift_mm, 0, 0, 0), Vec3::Zero());
    return prove_parts_in_motion(bay, *store, test_gaps(), std::span(&pair, 1),
                                 [](ObstacleRef, ObstacleRef) { return true; }, places, {});
  }
};

Shape block_at(const Vec3& centre, const Vec3& half = Vec3::Constant(50)) {
  return BoxShape{Pose::translation(centre), half};
}

// A wall in the plane x = 0, seen from the side of negative x.
TriangleMesh wall(double half_mm = 600) {
  TriangleMesh mesh;
  add_plate(mesh, {0, -half_mm, -half_mm}, {0, 0, 2 * half_mm}, {0, 2 * half_mm, 0}, 20);
  return mesh;
}

}  // namespace

TEST_CASE("a part before a scanned wall is seen, one behind it is not, however far behind") {
  CHECK(ScannedBay(wall(), block_at({-120, 0, 0})).unseen().empty());
  for (const double behind : {70.0, 200.0, 500.0}) {
    CAPTURE(behind);
    const auto found = ScannedBay(wall(), block_at({behind, 0, 0})).unseen();
    REQUIRE(found.size() == 1);
    CHECK(found[0].sight == Sight::behind);
    CHECK(found[0].part == ObstacleRef{1, 0});
    CHECK(found[0].scan == ObstacleRef{0, 0});
  }
  CHECK(ScannedBay(wall(), block_at({200, 0, 0}), SeenFrom::both).unseen().empty());
}

TEST_CASE("a part of which only a corner reaches past the edge of a scan is not seen there") {
  // The wall ends at y = 600; the part stands 20 mm before it.
  CHECK(ScannedBay(wall(), block_at({-70, 400, 0})).unseen().empty());
  const auto found = ScannedBay(wall(), block_at({-70, 640, 0})).unseen();
  REQUIRE(found.size() == 1);
  CHECK(found[0].sight == Sight::past_edge);
  CHECK(found[0].where_mm.y() > 600);
}

TEST_CASE("a part within a hollow block, scanned from outside and holed, is not seen") {
  const TriangleMesh block =
      with_hole(small_faced_box({-300, -300, -300}, {300, 300, 300}, 20), {300, 0, 0}, 90);
  const auto found = ScannedBay(block, block_at({0, 0, 0})).unseen();
  REQUIRE(found.size() == 1);
  CHECK(found[0].sight == Sight::behind);
}

TEST_CASE(
    "a large face with all its corners before a scan is not seen where it covers a hole as deep as wide") {
  // Corners are 800 mm apart; only places between them lie over the hole.
  const TriangleMesh holed = with_hole(wall(900), {0, 0, 0}, 200);
  const Shape plate = block_at({-20, 0, 0}, {5, 400, 400});
  CHECK(ScannedBay(wall(900), plate).unseen().empty());
  const auto found = ScannedBay(holed, plate).unseen();
  REQUIRE(found.size() == 1);
  CHECK(found[0].where_mm.tail<2>().norm() < 200);
}

TEST_CASE("what the shop has looked into counts as seen") {
  ScannedBay job(wall(), block_at({200, 0, 0}));
  job.bay.looked_behind.push_back({Pose::translation({200, 0, 0}), Vec3::Constant(49)});
  CHECK(job.unseen().size() == 1);  // its faces are 1 mm outside
  job.bay.looked_behind.back().half_size_mm = Vec3::Constant(51);
  CHECK(job.unseen().empty());
}

TEST_CASE("a scan carried by the engine goes with it, and a part on the chassis is asked too") {
  ScannedBay job(wall(), block_at({-70, 400, 0}));
  CHECK(job.unseen(Pose::translation({0, 150, 0})).size() == 1);
  CHECK(job.unseen(Pose::translation({0, -150, 0})).empty());
  std::swap(job.pair.first, job.pair.second);  // the scan first
  CHECK(job.unseen(Pose::translation({0, 150, 0})).size() == 1);
  Body scanned = *job.bay.bodies[0].body;
  scanned.carrier = Carrier::engine;
  job.bay.bodies[0].body = std::make_shared<const Body>(std::move(scanned));
  CHECK(job.unseen(Pose::translation({0, 150, 0})).empty());
}

TEST_CASE("of a part and a scan it is told which the engine carries") {
  ScannedBay job(wall(), block_at({200, 0, 0}));
  const ObstacleRef scan{0, 0}, block{1, 0};
  REQUIRE(job.unseen().size() == 1);
  CHECK(job.unseen()[0].on_engine(job.bay) == block);
  CHECK(job.unseen()[0].on_chassis(job.bay) == scan);
  Body scanned = *job.bay.bodies[0].body, part = *job.bay.bodies[1].body;
  scanned.carrier = Carrier::engine;
  part.carrier = Carrier::chassis;
  job.bay.bodies[0].body = std::make_shared<const Body>(std::move(scanned));
  job.bay.bodies[1].body = std::make_shared<const Body>(std::move(part));
  REQUIRE(job.unseen().size() == 1);
  CHECK(job.unseen()[0].on_engine(job.bay) == scan);
  CHECK(job.unseen()[0].on_chassis(job.bay) == block);
}

TEST_CASE("a part that the engine lifts past the edge of a scan is undecided in motion") {
  const ScannedBay job(wall(), block_at({-120, 0, 500}));
  const PartsInMotion little = job.in_motion(5);
  CHECK(little.unseen.empty());
  CHECK(little.proved);
  const PartsInMotion far = job.in_motion(120);
  REQUIRE(far.unseen.size() == 1);
  CHECK_FALSE(far.proved);
}

TEST_CASE("what is told of a part that no scan has seen") {
  const ScannedBay job(wall(), block_at({200, 0, 0}));
  const auto found = job.unseen();
  REQUIRE(found.size() == 1);
  const Finding told = unseen_part_finding(job.bay, found[0]);
  CHECK(told.rule == RuleId::unseen_space);
  CHECK(told.severity == Severity::stop);
  CHECK(told.undecided);
  CHECK(told.subject == "pump");
  CHECK(told.other == "scan");
  CHECK(told.parameters.at("obstacle") == "casing");
  CHECK(told.parameters.at("reason") == "behind_scan");
  CHECK(told.where_mm);
}
