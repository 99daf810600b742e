// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/model/bay.h"

#include <catch2/catch.hpp>

using namespace hosefit;

namespace {

Obstacle box(std::string name, Vec3 centre, Vec3 half) {
  Obstacle o;
  o.name = std::move(name);
  BoxShape shape;
  shape.frame.origin_mm = centre;
  shape.half_size_mm = half;
  o.shape = shape;
  return o;
}

std::shared_ptr<const Body> body(std::string name, Carrier carrier, std::vector<Obstacle> obstacles) {
  return std::make_shared<const Body>(Body{std::move(name), carrier, std::move(obstacles)});
}

Neck neck(std::string name, Vec3 at, Vec3 outward) {
  Neck n;
  n.name = std::move(name);
  n.end_mm.value = at;
  n.outward = outward;
  n.outside_diameter = n.bore = Length::mm(38);
  n.straight = Length::mm(35);
  return n;
}

std::vector<GapRow> full_table() {
  std::vector<GapRow> rows;
  for (const Runner runner : {Runner::hose, Runner::clamp, Runner::rigid_part})
    for (const Hazard hazard : kHazards)
      for (const bool same : {false, true}) {
        GapRow row;
        row.runner = runner;
        row.hazard = hazard;
        row.same_carrier = same;
        row.at_rest = Length::mm(same ? 6 : 15);
        row.after_motion = Length::mm(same ? 3 : 10);
        rows.push_back(row);
      }
  return rows;
}

// Radiator ahead of an engine whose pump takes its outlet from a housing on a seat that looks up.
Job small_job() {
  Job job{{}, {}, {}, GapTable(full_table()), ""};
  Vehicle& v = job.vehicle;
  v.engine_at_mm.value = {300, 0, 500};
  v.chassis = body("chassis", Carrier::chassis, {box("core", {0, 0, 500}, {20, 200, 200})});
  v.hood = body("hood", Carrier::chassis, {});
  v.fan = body("fan", Carrier::chassis, {});
  v.on_engine = body("on engine", Carrier::engine, {});
  v.necks = {neck("radiator.top", {40, 100, 700}, Vec3::UnitX())};
  Line line;
  line.name = "upper";
  line.from = "pump.outlet";
  line.to = "radiator.top";
  v.lines = {line};
  job.family.engine.body = body("engine", Carrier::engine, {box("block", {250, 0, 0}, {250, 150, 150})});
  Pump pump;
  pump.body = body("pump", Carrier::engine, {box("casting", {-40, 0, 100}, {40, 60, 60})});
  pump.seat.frame = Pose::from_axes({-40, 0, 160}, Vec3::UnitZ(), Vec3::UnitX());
  job.family.pumps = {pump};
  Drive drive;
  drive.body = body("drive", Carrier::engine, {});
  job.family.drives = {drive};
  Housing housing;
  housing.body = body("housing", Carrier::engine, {box("elbow", {0, 0, 10}, {20, 20, 10})});
  housing.neck = neck("housing", {50, 0, 30}, Vec3::UnitX());
  housing.neck.on = {"elbow"};
  housing.clocks = {Angle::deg(0), Angle::deg(90)};
  job.family.housings = {housing};
  Intake intake;
  intake.drawn_height = Length::mm(300);
  intake.base = {box("base", {100, 0, 200}, {80, 80, 20})};
  intake.stretch = {box("runners", {100, 0, 250}, {80, 80, 30})};
  intake.top = {box("plenum", {100, 0, 290}, {80, 80, 10})};
  job.family.intakes = {intake};
  return job;
}

Bay at_height(const Job& job, double height_mm, std::size_t clock = 0) {
  const BodyStore store(job);
  Candidate candidate;
  candidate.height = Length::mm(height_mm);
  candidate.clock = clock;
  return assemble(job, store, candidate);
}

AxisBox placed_bounds(const Bay& bay, BayBody which, std::size_t obstacle_index) {
  const PlacedBody& placed = bay.bodies[index(which)];
  return bounds(transformed(placed.body->obstacles[obstacle_index].shape, placed.pose));
}

}  // namespace

TEST_CASE("the top of the intake moves by the height and the base stays") {
  const Job job = small_job();
  const Bay low = at_height(job, 280);
  const Bay high = at_height(job, 310);
  CHECK((placed_bounds(high, BayBody::intake_top, 0).min() - placed_bounds(low, BayBody::intake_top, 0).min())
            .isApprox(Vec3(0, 0, 30)));
  CHECK(placed_bounds(high, BayBody::intake_base, 0)
            .min()
            .isApprox(placed_bounds(low, BayBody::intake_base, 0).min()));
}

TEST_CASE("the stretch region reaches from the base to the top at every height") {
  const Job job = small_job();
  for (const double height : {260.0, 300.0, 345.0}) {
    CAPTURE(height);
    const Bay bay = at_height(job, height);
    CHECK(placed_bounds(bay, BayBody::intake_stretch, 0).min().z() == Approx(500 + 220));
    CHECK(placed_bounds(bay, BayBody::intake_stretch, 0).max().z() ==
          Approx(placed_bounds(bay, BayBody::intake_top, 0).min().z()));
  }
}

TEST_CASE("candidates of one job share the bodies that do not depend on the height") {
  const Job job = small_job();
  const BodyStore store(job);
  Candidate low, high;
  low.height = Length::mm(280);
  high.height = Length::mm(320);
  const Bay a = assemble(job, store, low);
  const Bay b = assemble(job, store, high);
  for (const BayBody which :
       {BayBody::chassis, BayBody::engine, BayBody::pump, BayBody::housing, BayBody::intake_top})
    CHECK(a.bodies[index(which)].body == b.bodies[index(which)].body);
}

TEST_CASE("a housing turns about its seat's axis and gives the pump its outlet") {
  const Job job = small_job();
  const Bay straight = at_height(job, 300, 0);
  const Bay turned = at_height(job, 300, 1);
  const PlacedNeck& a = straight.necks.back();
  const PlacedNeck& b = turned.necks.back();
  CHECK(a.name == "pump.outlet");
  CHECK(a.end_mm.isApprox(Vec3(300 - 40 + 50, 0, 500 + 160 + 30)));
  CHECK(a.outward.isApprox(Vec3::UnitX()));
  CHECK(b.end_mm.isApprox(
      Vec3(300 - 40, 50, 500 + 160 + 30)));  // right-handed about the seat's Z, which looks up
  CHECK(b.outward.isApprox(Vec3::UnitY()));
  CHECK(a.own_part == std::vector<ObstacleRef>{{a.body, 0}});
  CHECK(straight.lines.at(0).carrier == LineCarrier::both);
}

TEST_CASE("a positive tilt lifts the front of the engine") {
  Job job = small_job();
  job.vehicle.engine_tilt = Angle::deg(4);
  const Pose pose = engine_pose(job.vehicle);
  CHECK(pose.point({-100, 0, 0}).z() > pose.point({0, 0, 0}).z());
  CHECK(pose.point({0, 0, 0}).isApprox(Vec3(300, 0, 500)));
  CHECK(pose.direction(Vec3::UnitY()).isApprox(Vec3::UnitY()));
}

TEST_CASE("known space is the union of its boxes, faces included") {
  Bay bay;
  CHECK_FALSE(in_known_space(bay, Vec3::Zero()));
  BoxShape first, second;
  first.half_size_mm = {10, 10, 10};
  second.frame.origin_mm = {20, 0, 0};
  second.half_size_mm = {10, 10, 10};
  bay.known_space = {first, second};
  CHECK(in_known_space(bay, {10, 10, -10}));
  CHECK(in_known_space(bay, {29, 0, 0}));
  CHECK_FALSE(in_known_space(bay, {31, 0, 0}));
  CHECK_FALSE(in_known_space(bay, {0, 10.001, 0}));
}

TEST_CASE("a gap set by the shop replaces the table's and keeps its share after motion") {
  GapTable table(full_table());
  const Provenance shop{Source::shop, "", "A. Fitter", "sleeved"};
  table.set_by_shop(Runner::hose, Hazard::steering, std::nullopt, Length::mm(30), shop);
  CHECK(table.row(Runner::hose, Hazard::steering, false).at_rest == Length::mm(30));
  CHECK(table.row(Runner::hose, Hazard::steering, false).after_motion.mm() == Approx(20));
  CHECK(table.row(Runner::hose, Hazard::steering, true).at_rest == Length::mm(30));
  CHECK(table.row(Runner::clamp, Hazard::steering, false).at_rest == Length::mm(15));
  CHECK(table.row(Runner::hose, Hazard::fan, false).at_rest == Length::mm(15));
  CHECK(is_signed(table.row(Runner::hose, Hazard::steering, true).provenance));
}

TEST_CASE("a line between engine and chassis counts every obstacle as moving against it") {
  const GapTable table(full_table());
  const Obstacle o = box("bracket", Vec3::Zero(), Vec3::Ones());
  CHECK(required_gap(table, Runner::hose, LineCarrier::engine, o, Carrier::engine).gap == Length::mm(6));
  CHECK(required_gap(table, Runner::hose, LineCarrier::engine, o, Carrier::chassis).gap == Length::mm(15));
  CHECK(required_gap(table, Runner::hose, LineCarrier::both, o, Carrier::engine).gap == Length::mm(15));
  CHECK(required_gap(table, Runner::hose, LineCarrier::both, o, Carrier::chassis).gap == Length::mm(15));
}

TEST_CASE("an obstacle's own gap wins over the table") {
  const GapTable table(full_table());
  Obstacle o = box("loom", Vec3::Zero(), Vec3::Ones());
  o.own_gap = OwnGap{Length::mm(2), {Source::shop, "", "A. Fitter", "clipped together"}};
  const RequiredGap gap = required_gap(table, Runner::hose, LineCarrier::both, o, Carrier::engine);
  CHECK(gap.gap == Length::mm(2));
  CHECK(gap.provenance.signer == "A. Fitter");
}

TEST_CASE("a fan on the engine stands and tilts with it, one on the chassis does not") {
  Job job = small_job();
  job.vehicle.engine_tilt = Angle::deg(5);
  job.vehicle.fan = body("fan", Carrier::engine, {box("blades", {-80, 0, 100}, {5, 50, 50})});
  Bay bay = at_height(job, 300);
  const Vec3 centre = bay.bodies[index(BayBody::fan)].pose.point({-80, 0, 100});
  CHECK(centre.isApprox(engine_pose(job.vehicle).point({-80, 0, 100})));
  job.vehicle.fan = body("fan", Carrier::chassis, {box("blades", {-80, 0, 100}, {5, 50, 50})});
  bay = at_height(job, 300);
  CHECK(bay.bodies[index(BayBody::fan)].pose.point({-80, 0, 100}).isApprox(Vec3(-80, 0, 100)));
}

TEST_CASE("a line runs between the necks that it names and is carried by what carries both") {
  Job job = small_job();
  job.vehicle.necks.push_back(neck("tank.top", {40, -100, 700}, Vec3::UnitX()));
  Line tank;
  tank.name = "tank";
  tank.from = "radiator.top";
  tank.to = "tank.top";
  job.vehicle.lines.push_back(tank);
  job.family.pumps[0].necks = {neck("pump.heater", {-60, 0, 120}, -Vec3::UnitX())};
  Line stub;
  stub.name = "stub";
  stub.from = "pump.heater";
  stub.to = "pump.outlet";
  job.vehicle.lines.push_back(stub);
  const Bay bay = at_height(job, 300);
  REQUIRE(bay.lines.size() == 3);
  for (const BayLine& line : bay.lines) {
    CHECK(bay.necks[line.from].name == line.line.from);
    CHECK(bay.necks[line.to].name == line.line.to);
  }
  CHECK(bay.lines[0].carrier == LineCarrier::both);
  CHECK(bay.lines[1].carrier == LineCarrier::chassis);
  CHECK(bay.lines[2].carrier == LineCarrier::engine);
}

TEST_CASE("after motion the table's other column holds, and an obstacle's own gap at rest and after") {
  const GapTable table(full_table());
  Obstacle past = box("edge", Vec3::Zero(), Vec3::Ones());
  CHECK(required_gap(table, Runner::hose, LineCarrier::both, past, Carrier::engine).gap.mm() == 15);
  CHECK(required_gap_after_motion(table, Runner::hose, LineCarrier::both, past, Carrier::engine).gap.mm() ==
        10);
  CHECK(required_gap_after_motion(table, Runner::hose, LineCarrier::engine, past, Carrier::engine).gap.mm() ==
        3);
  past.own_gap = OwnGap{Length::mm(33), {}};
  CHECK(required_gap_after_motion(table, Runner::hose, LineCarrier::both, past, Carrier::engine).gap.mm() ==
        33);
}

TEST_CASE("a neck whose place is chosen moves with what goes along, and nothing else does") {
  Job job = small_job();
  job.vehicle.chassis =
      body("chassis", Carrier::chassis,
           {box("core", {0, 0, 500}, {20, 200, 200}), box("root", {20, 100, 700}, {10, 9, 9}),
            box("tank", {0, 0, 700}, {20, 200, 20})});
  Neck& neck = job.vehicle.necks[0];
  neck.on = {"root", "tank"};
  neck.choice =
      NeckChoice{{"root"}, {{Vec3::UnitY(), Length::mm(-60), Length::mm(0), Length::mm(60)}}, std::nullopt};
  const BodyStore store(job);
  REQUIRE(store.chosen_necks().size() == 1);
  Candidate candidate;
  candidate.height = Length::mm(300);
  const Bay written = assemble(job, store, candidate);
  candidate.neck_places = {1};
  const Bay moved = assemble(job, store, candidate);

  CHECK(written.necks[0].end_mm == Vec3(40, 100, 700));
  CHECK(moved.necks[0].end_mm == Vec3(40, 40, 700));
  CHECK(moved.necks[0].outward == Vec3::UnitX());
  REQUIRE(moved.bodies.size() == kFirstNeckBody + 1);
  CHECK(moved.necks[0].goes_along == kFirstNeckBody);
  // The same Body objects in both, so that an index made for one serves the other.
  for (std::size_t i = 0; i < moved.bodies.size(); ++i) {
    CHECK(moved.bodies[i].body == written.bodies[i].body);
    const Vec3 by = moved.bodies[i].pose.origin_mm - written.bodies[i].pose.origin_mm;
    CHECK(by == (i == kFirstNeckBody ? Vec3(0, -60, 0) : Vec3::Zero().eval()));
  }
  REQUIRE(moved.bodies[kFirstNeckBody].body->obstacles.size() == 1);
  CHECK(moved.bodies[kFirstNeckBody].body->obstacles[0].name == "root");
  const auto& standing = moved.bodies[index(BayBody::chassis)].body->obstacles;
  REQUIRE(standing.size() == 2);
  CHECK(standing[0].name == "core");
  CHECK(standing[1].name == "tank");
  CHECK(is_own_part(moved.necks[0], {kFirstNeckBody, 0}));
  CHECK(is_own_part(moved.necks[0], {index(BayBody::chassis), 1}));
  CHECK_FALSE(is_own_part(moved.necks[0], {index(BayBody::chassis), 0}));
}

TEST_CASE("without a choice the chassis is the vehicle's own body") {
  const Job job = small_job();
  const BodyStore store(job);
  CHECK(store.chassis() == job.vehicle.chassis);
  CHECK(store.chosen_necks().empty());
}

TEST_CASE("candidates that differ only in where necks are have the same parts") {
  Candidate a, b;
  b.neck_places = {2};
  CHECK(same_parts(a, b));
  CHECK_FALSE(a == b);
  CHECK(necks_as_written(a));
  CHECK_FALSE(necks_as_written(b));
  b.clock = 1;
  CHECK_FALSE(same_parts(a, b));
}
