// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/field/line_field.h"

#include <catch2/catch.hpp>

#include "solver/base/parallel.h"
#include "tests/support/random_bay.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

constexpr RunSeed kSeed{20};

// The slow way: every triangle of every obstacle, inside by winding number.
Spare slow_spare(const Bay& bay, const GapTable& gaps, LineCarrier carrier, const Vec3& p) {
  Spare best;
  for (std::size_t b = 0; b < bay.bodies.size(); ++b) {
    const PlacedBody& placed = bay.bodies[b];
    const Vec3 q = placed.pose.point_inverse(p);
    for (std::size_t i = 0; i < placed.body->obstacles.size(); ++i) {
      const Obstacle& o = placed.body->obstacles[i];
      const TriangleMesh mesh = tessellate(o.shape, LineField::kOvershoot_mm);
      const double d = o.closed ? slow_signed_distance_mm(mesh, q) : slow_distance_mm(mesh, q);
      const double gap = required_gap(gaps, Runner::hose, carrier, o, placed.body->carrier).gap.mm();
      if (d - gap < best.spare_mm) best = {d - gap, d, gap, {b, i}, -1, Vec3::Zero()};
    }
  }
  return best;
}

// Points all over, and points close to surfaces where it matters.
std::vector<Vec3> probe_points(Dice& dice, const Bay& bay, int count, double half_size = 400) {
  std::vector<Vec3> points;
  for (int i = 0; i < count; ++i) {
    if (i % 2 == 0) {
      points.push_back(random_point(dice, half_size));
      continue;
    }
    const PlacedBody& placed = bay.bodies[dice.below(bay.bodies.size() - 1)];
    const Obstacle& o = placed.body->obstacles[dice.below(placed.body->obstacles.size())];
    const Vec3 on = random_surface_point(dice, tessellate(o.shape, 1.0));
    points.push_back(placed.pose.point(on + dice.between(0, 20) * random_direction(dice)));
  }
  return points;
}

Bay moved(Bay bay, const Pose& pose) {
  for (PlacedBody& body : bay.bodies) body.pose = pose * body.pose;
  return bay;
}

LaidRoute bent_hose() {
  LaidRoute laid;
  laid.centreline = *centreline_of({{Vec3(-200, 0, 0), Vec3(0, 0, 0), Vec3(0, 200, 0)}, {80}});
  const double length = length_mm(laid.centreline);
  laid.sections = {{0, 100, 50, Runner::clamp}, {100, length, 40, Runner::hose}};
  return laid;
}

}  // namespace

TEST_CASE("the field agrees with measuring every triangle") {
  const GapTable gaps = test_gaps();
  for (std::uint64_t task = 0; task < 12; ++task) {
    CAPTURE(task);
    Dice dice(kSeed, task);
    const Bay bay = random_bay(dice);
    FieldStore store;
    const LineCarrier carrier = task % 2 == 0 ? LineCarrier::both : LineCarrier::engine;
    const LineField field(bay, store, gaps, Runner::hose, carrier);
    for (const Vec3& p : probe_points(dice, bay, 40)) {
      const Spare expected = slow_spare(bay, gaps, carrier, p);
      const Spare found = field.exact(p);
      REQUIRE(found.spare_mm == Approx(expected.spare_mm).epsilon(0).margin(0.001));
      REQUIRE(found.spare_mm == found.distance_mm - found.required_mm);
      REQUIRE(field.distance_to(found.obstacle, p) == Approx(found.distance_mm).epsilon(0).margin(1e-9));
      REQUIRE(field.required_mm(found.obstacle) == found.required_mm);
    }
  }
}

TEST_CASE("the nearest point named is where the distance says, in the frame of the body that holds it") {
  const GapTable gaps = test_gaps();
  Dice dice(kSeed, 100);
  const Bay bay = random_bay(dice);
  FieldStore store;
  const LineField field(bay, store, gaps, Runner::hose, LineCarrier::both);
  for (const Vec3& p : probe_points(dice, bay, 200)) {
    const Spare found = field.exact(p);
    REQUIRE((p - found.nearest_mm).norm() == Approx(std::abs(found.distance_mm)).epsilon(0).margin(1e-6));
    REQUIRE(std::abs(field.distance_to(found.obstacle, found.nearest_mm)) < 1e-6);
  }
}

TEST_CASE("the lower bound is never above the exact spare gap, and the estimate is near it") {
  const GapTable gaps = test_gaps();
  double worst = 0;
  for (std::uint64_t task = 200; task < 206; ++task) {
    CAPTURE(task);
    Dice dice(kSeed, task);
    const Bay bay = random_bay(dice);
    FieldStore store;
    const std::vector<LaidRoute> laid{bent_hose()};
    const LineField field(bay, store, gaps, Runner::hose, LineCarrier::both, laid);
    for (const Vec3& p : probe_points(dice, bay, 4000, 700)) {
      const double exact = field.exact(p).spare_mm;
      REQUIRE(field.lower_bound_mm(p) <= exact);
      if (exact < 40) worst = std::max(worst, std::abs(field.estimate_mm(p) - exact));
    }
  }
  CHECK(worst < 10);
  CHECK(worst > 0);
}

TEST_CASE("moving the whole world changes no spare gap") {
  const GapTable gaps = test_gaps();
  Dice dice(kSeed, 300);
  const Bay bay = random_bay(dice);
  const Pose pose{random_pose(dice, 1).rotation, Vec3(1200, -800, 450)};
  const Bay elsewhere = moved(bay, pose);
  FieldStore store;
  const LineField here(bay, store, gaps, Runner::hose, LineCarrier::both);
  const LineField there(elsewhere, store, gaps, Runner::hose, LineCarrier::both);
  for (const Vec3& p : probe_points(dice, bay, 400)) {
    REQUIRE(there.exact(pose.point(p)).spare_mm == Approx(here.exact(p).spare_mm).epsilon(0).margin(0.001));
    REQUIRE(there.estimate_mm(pose.point(p)) == Approx(here.estimate_mm(p)).epsilon(0).margin(0.01));
  }
}

TEST_CASE("a greater required gap never leaves more spare, and takes off just the difference") {
  Dice dice(kSeed, 400);
  Bay bay = random_bay(dice);
  FieldStore store;
  const LineField field(bay, store, test_gaps(), Runner::hose, LineCarrier::both);
  const LineField stricter(bay, store, test_gaps(5), Runner::hose, LineCarrier::both);
  int fully = 0;
  for (const Vec3& p : probe_points(dice, bay, 400)) {
    const double before = field.exact(p).spare_mm;
    const double after = stricter.exact(p).spare_mm;
    REQUIRE(after <= before);
    REQUIRE(after >= before - 5 - 1e-9);
    REQUIRE(stricter.lower_bound_mm(p) <= field.lower_bound_mm(p));
    if (after < before - 4.99) ++fully;
  }
  CHECK(fully > 100);
}

TEST_CASE("a clamp never has more spare than a bare hose where its gaps are larger") {
  Dice dice(kSeed, 401);
  const Bay bay = random_bay(dice);
  FieldStore store;
  const LineField hose(bay, store, test_gaps(), Runner::hose, LineCarrier::both);
  const LineField clamp(bay, store, test_gaps(), Runner::clamp, LineCarrier::both);
  for (const Vec3& p : probe_points(dice, bay, 200))
    REQUIRE(clamp.exact(p).spare_mm <= hose.exact(p).spare_mm);
}

TEST_CASE("inside a closed obstacle the distance is negative, even beside the surface of another one") {
  const GapTable gaps = test_gaps();
  FieldStore store;
  Bay bay;
  bay.bodies.push_back(
      body_of("block", Carrier::engine,
              {obstacle_of("big", Hazard::smooth_metal, BoxShape{Pose{}, Vec3(100, 100, 100)}),
               obstacle_of("peg", Hazard::smooth_metal, BoxShape{Pose{}, Vec3(5, 5, 5)})}));
  const LineField field(bay, store, gaps, Runner::hose, LineCarrier::engine);
  const Spare found = field.exact({7, 0, 0});
  CHECK(found.distance_mm == Approx(-93));
  CHECK(found.obstacle == ObstacleRef{0, 0});
  CHECK(field.exact({7, 0, 0}, -50).distance_mm == Approx(-93));
}

TEST_CASE("a sheet has no inside") {
  FieldStore store;
  Bay bay;
  Dice dice(kSeed, 450);
  Obstacle ball =
      obstacle_of("ball", Hazard::smooth_metal,
                  MeshShape{"", std::make_shared<const TriangleMesh>(bumpy_ball(dice, Vec3::Zero(), 50, 8))});
  ball.closed = false;
  bay.bodies.push_back(body_of("shell", Carrier::engine, {ball}));
  const LineField field(bay, store, test_gaps(), Runner::hose, LineCarrier::engine);
  CHECK(field.exact(Vec3::Zero()).distance_mm > 20);
}

TEST_CASE("the spare gap changes by no more than the point moves") {
  Dice dice(kSeed, 500);
  const Bay bay = random_bay(dice);
  FieldStore store;
  const LineField field(bay, store, test_gaps(), Runner::hose, LineCarrier::both, std::vector{bent_hose()});
  for (const Vec3& p : probe_points(dice, bay, 1000)) {
    const Vec3 q = p + dice.between(0, 30) * random_direction(dice);
    REQUIRE(std::abs(field.exact(p).spare_mm - field.exact(q).spare_mm) <= (p - q).norm() + 0.001);
  }
}

TEST_CASE("an answer is given in full up to the limit asked for, and none beyond it") {
  Dice dice(kSeed, 600);
  const Bay bay = random_bay(dice);
  FieldStore store;
  const LineField field(bay, store, test_gaps(), Runner::hose, LineCarrier::both, std::vector{bent_hose()});
  for (const Vec3& p : probe_points(dice, bay, 400)) {
    const Spare full = field.exact(p);
    const double limit = dice.between(-40, 80);
    const Spare limited = field.exact(p, limit);
    if (full.spare_mm < limit - 0.001) {
      REQUIRE(limited.spare_mm == Approx(full.spare_mm).epsilon(0).margin(0.001));
      REQUIRE(limited.hose == full.hose);
    } else {
      REQUIRE(limited.spare_mm > limit - 0.002);
    }
  }
}

TEST_CASE("ignored obstacles do not count, whatever their number") {
  const GapTable gaps = test_gaps();
  Dice dice(kSeed, 700);
  const Bay bay = random_bay(dice);
  Bay without = bay;
  std::vector<ObstacleRef> ignore;
  std::vector<Obstacle> kept;
  for (std::size_t i = 0; i < bay.bodies[1].body->obstacles.size(); ++i) {
    if (i % 2 == 0) {
      ignore.push_back({1, i});
    } else {
      kept.push_back(bay.bodies[1].body->obstacles[i]);
    }
  }
  without.bodies[1].body = std::make_shared<const Body>(Body{"body 1", bay.bodies[1].body->carrier, kept});
  FieldStore store;
  const LineField field(bay, store, gaps, Runner::hose, LineCarrier::both);
  const LineField fewer(without, store, gaps, Runner::hose, LineCarrier::both);
  int differing = 0;
  for (const Vec3& p : probe_points(dice, bay, 400)) {
    REQUIRE(field.exact(p, std::numeric_limits<double>::infinity(), ignore).spare_mm ==
            fewer.exact(p).spare_mm);
    if (field.exact(p).spare_mm != fewer.exact(p).spare_mm) ++differing;
  }
  CHECK(differing > 10);
}

TEST_CASE("a laid hose counts by its own diameter and the stricter gap") {
  const GapTable gaps = test_gaps();
  FieldStore store;
  const LineField field(Bay{}, store, gaps, Runner::hose, LineCarrier::engine, std::vector{bent_hose()});
  const double hose_gap = gaps.row(Runner::hose, Hazard::another_hose, false).at_rest.mm();
  const double clamp_gap = gaps.row(Runner::clamp, Hazard::another_hose, false).at_rest.mm();
  REQUIRE(hose_gap > gaps.row(Runner::hose, Hazard::another_hose, true).at_rest.mm());

  SECTION("beside a straight") {
    const Spare found = field.exact({0, 150, 60});
    CHECK(found.spare_mm == Approx(60 - 20 - hose_gap));
    CHECK(found.hose == 0);
    CHECK((found.nearest_mm - Vec3(0, 150, 20)).norm() < 1e-9);
  }
  SECTION("beside the bend: centre (-80, 80), radius 80") {
    const Vec3 out = Vec3(1, -1, 0).normalized();
    const Spare found = field.exact(Vec3(-80, 80, 0) + 130 * out);
    CHECK(found.spare_mm == Approx(130 - 80 - 20 - hose_gap));
  }
  SECTION("beside the stretch under a clamp") {
    CHECK(field.exact({-150, -70, 0}).spare_mm == Approx(70 - 25 - clamp_gap));
  }
  SECTION("on its centreline") {
    CHECK(field.exact({0, 150, 0}).spare_mm == Approx(-20 - hose_gap));
  }
}

TEST_CASE("an empty bay has unlimited spare") {
  FieldStore store;
  Bay bay;
  bay.bodies.push_back(body_of("nothing", Carrier::chassis, {}));
  bay.bodies.push_back(
      body_of("empty mesh", Carrier::chassis,
              {obstacle_of("mesh", Hazard::fan, MeshShape{"", std::make_shared<const TriangleMesh>()})}));
  const LineField field(bay, store, test_gaps(), Runner::hose, LineCarrier::both);
  CHECK(std::isinf(field.exact(Vec3::Zero()).spare_mm));
  CHECK(std::isinf(field.lower_bound_mm(Vec3::Zero())));
  CHECK(std::isinf(field.estimate_mm(Vec3::Zero())));
  CHECK(std::isinf(field.distance_to({1, 0}, Vec3::Zero())));
  CHECK(field.bounds().isEmpty());
}

TEST_CASE("the bounds hold every obstacle") {
  Dice dice(kSeed, 750);
  const Bay bay = random_bay(dice);
  FieldStore store;
  const LineField field(bay, store, test_gaps(), Runner::hose, LineCarrier::both);
  for (const PlacedBody& placed : bay.bodies)
    for (const Obstacle& o : placed.body->obstacles)
      for (const Vec3& v : tessellate(o.shape, LineField::kOvershoot_mm).vertices_mm)
        REQUIRE(field.bounds().exteriorDistance(placed.pose.point(v)) < 1e-9);
}

TEST_CASE("one thread and four give the same answers, bit for bit") {
  Dice dice(kSeed, 800);
  const Bay bay = random_bay(dice);
  const std::vector<Vec3> points = probe_points(dice, bay, 600);
  const auto answers = [&](Threads threads) {
    FieldStore store;
    const LineField field(bay, store, test_gaps(), Runner::hose, LineCarrier::both);
    std::vector<std::array<double, 3>> out(points.size());
    parallel_for(points.size(), threads, [&](std::size_t i) {
      out[i] = {field.exact(points[i]).spare_mm, field.lower_bound_mm(points[i]),
                field.estimate_mm(points[i])};
    });
    return out;
  };
  CHECK(answers({1}) == answers({4}));
}

TEST_CASE("bays that hold the same body share its field") {
  FieldStore store;
  const PlacedBody a =
      body_of("a", Carrier::engine, {obstacle_of("ball", Hazard::fan, SphereShape{Vec3::Zero(), 10})});
  std::vector<std::shared_ptr<const BodyField>> fields(8);
  parallel_for(8, {4}, [&](std::size_t i) { fields[i] = store.of(a.body); });
  for (const auto& field : fields) CHECK(field == fields[0]);
}

TEST_CASE("a store that saw many bodies still answers for each one held") {
  FieldStore store;
  const PlacedBody kept =
      body_of("kept", Carrier::engine, {obstacle_of("ball", Hazard::fan, SphereShape{Vec3::Zero(), 10})});
  const auto field = store.of(kept.body);
  for (int i = 0; i < 600; ++i) {
    const auto body = body_of("passing", Carrier::engine,
                              {obstacle_of("box", Hazard::fan, BoxShape{Pose{}, Vec3(1 + i, 1, 1)})});
    REQUIRE(store.of(body.body)->box(0).max().x() == 1 + i);
  }
  CHECK(store.of(kept.body) == field);
}
