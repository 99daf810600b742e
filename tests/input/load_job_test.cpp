// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/load_job.h"

#include <catch2/catch.hpp>
#include <numbers>

#include "solver/model/bay.h"
#include "tests/input/edited_job.h"

namespace hosefit::test {
namespace {

Job good_job() {
  auto job = load_job(paths_in(good_folder()));
  if (!job) FAIL(format_problems(job.problems()));
  return *std::move(job);
}
template <class S>
const S& shape_of(const Obstacle& o) {
  REQUIRE(std::holds_alternative<S>(o.shape));
  return std::get<S>(o.shape);
}
bool near(const Vec3& a, const Vec3& b) {
  return (a - b).norm() < 1e-9;
}

}  // namespace

TEST_CASE("the head of the vehicle and the engine's place are read as written") {
  const Vehicle v = good_job().vehicle;
  CHECK(v.name == "Tiny coupe");
  CHECK(v.description == "A made-up coupe for tests.");
  CHECK(v.shown_in == LengthUnit::inch);
  CHECK(v.family == "small");
  CHECK(v.engine_at_mm.value == Vec3(200, 0, 100));
  CHECK(v.engine_at_mm.method == MeasuredBy::jig);
  CHECK(v.engine_at_mm.accuracy == Length::mm(2.5));
  CHECK(v.engine_at_mm.place.line == 12);
  CHECK(v.engine_at_mm.place.column == 7);
  CHECK(v.engine_tilt.deg() == Approx(3.5));
  CHECK(v.mounts == Mounts::firm);
}

TEST_CASE("the engine's motion is the shop's where it is given, else that of its mounts") {
  const Job job = good_job();
  REQUIRE(job.vehicle.motion);
  CHECK(job.motion.roll.deg() == Approx(2));
  CHECK(job.motion.lift.mm() == 5);
  CHECK(job.motion.forward.mm() == 8);
  CHECK(job.motion.rearward.mm() == 6);
  CHECK(job.motion.sideways.mm() == 4);
  CHECK(job.motion.axis_below_crank.mm() == 110);
  CHECK(is_signed(job.motion.provenance));
  CHECK(job.motion.provenance.reason == "measured with a pointer");
  Files files = good_files();
  replace_once(files.at("vehicles/tiny/vehicle.yaml"), "  motion: {roll_deg: 2", "  # motion: {roll_deg: 2");
  const ScratchFolder scratch;
  for (const auto& [name, bytes] : files) write_file(scratch.path() / name, bytes);
  const auto of_mounts = load_job(paths_in(scratch.path()));
  REQUIRE(of_mounts);
  CHECK_FALSE(of_mounts->vehicle.motion);
  CHECK(of_mounts->motion.roll.deg() == Approx(1.5));
  CHECK(of_mounts->motion.axis_below_crank.mm() == 90);
  CHECK(of_mounts->motion.provenance.source == Source::from_memory);
}

TEST_CASE("hose in hand is read in either unit") {
  const std::vector<OwnedHose> hoses = good_job().vehicle.in_hand.hoses;
  REQUIRE(hoses.size() == 2);
  CHECK(hoses[0].stock == "corrugated-38");
  CHECK(hoses[0].length.mm() == Approx(300.0));
  CHECK_FALSE(hoses[0].angle);
  CHECK(hoses[1].length.mm() == 90);
  REQUIRE(hoses[1].angle);
  CHECK(hoses[1].angle->deg() == Approx(45));
}

TEST_CASE("the chassis holds the radiator's core, its tanks, then the rest") {
  const Vehicle v = good_job().vehicle;
  const std::vector<Obstacle>& o = v.chassis->obstacles;
  REQUIRE(o.size() == 7);
  CHECK(v.chassis->carrier == Carrier::chassis);
  CHECK(o[0].name == "radiator core");
  CHECK(o[0].hazard == Hazard::radiator_core);
  CHECK(o[0].method == MeasuredBy::caliper);
  CHECK(o[0].accuracy == Length::mm(1));
  CHECK(shape_of<BoxShape>(o[0]).frame.origin_mm == Vec3(-370, 0, 200));
  CHECK(shape_of<BoxShape>(o[0]).half_size_mm == Vec3(30, 300, 200));
  CHECK(o[1].name == "top tank");
  CHECK(o[1].method == MeasuredBy::tape);
  CHECK(o[1].accuracy == default_accuracy(MeasuredBy::tape));
  CHECK(shape_of<BoxShape>(o[1]).half_size_mm == Vec3(30, 300, 30));
  const RailShape& rail = shape_of<RailShape>(o[2]);
  CHECK(o[2].method == MeasuredBy::scan);
  CHECK(rail.path_mm.size() == 3);
  CHECK(rail.path_mm[2] == Vec3(900, 400, 0));
  CHECK(rail.up == Vec3(0, 0, 1));
  CHECK(rail.width_mm == 60);
  CHECK(rail.height_mm == 120);
  const ConeShape& cone = shape_of<ConeShape>(o[3]);
  CHECK(cone.a_mm == Vec3(0, -400, 0));
  CHECK(cone.b_mm == Vec3(600, -350, 250));
  CHECK(cone.radius_a_mm == 10);
  CHECK(cone.radius_b_mm == 12);
  REQUIRE(o[3].own_gap);
  CHECK(o[3].own_gap->gap == Length::mm(25));
  CHECK(is_signed(o[3].own_gap->provenance));
  CHECK(o[3].own_gap->provenance.reason == "the shaft has a joint");
  CHECK(shape_of<SphereShape>(o[4]).radius_mm == 40);
  CHECK(o[4].hazard == Hazard::electrics);
  const MeshShape& mesh = shape_of<MeshShape>(o[5]);
  CHECK(o[5].closed);
  CHECK(mesh.file == "bracket.stl");
  CHECK(mesh.mesh->triangles.size() == 4);
  CHECK(bounds(*mesh.mesh).min() == Vec3(600, 300, 100));
  CHECK(bounds(*mesh.mesh).max() == Vec3(640, 330, 120));
}

TEST_CASE("hood, fan and what the vehicle adds to the engine are bodies of their own") {
  const Vehicle v = good_job().vehicle;
  const ExtrusionShape& skin = shape_of<ExtrusionShape>(v.hood->obstacles.at(0));
  CHECK(skin.outline_mm.size() == 4);
  CHECK(skin.outline_mm[2] == Vec2(1500, 1400));
  CHECK(skin.height_mm == 2);
  CHECK(near(skin.frame.origin_mm, {-500, -700, 800}));
  CHECK(v.fan->carrier == Carrier::engine);
  CHECK(shape_of<CylinderShape>(v.fan->obstacles.at(0)).radius_mm == 180);
  CHECK(v.on_engine->carrier == Carrier::engine);
  CHECK(shape_of<CapsuleShape>(v.on_engine->obstacles.at(0)).b_mm == Vec3(500, -320, 150));
  REQUIRE(v.known_space.size() == 1);
  CHECK(v.known_space[0].half_size_mm == Vec3(750, 600, 450));
}

TEST_CASE("necks are read with their units, methods and accuracies") {
  const std::vector<Neck> necks = good_job().vehicle.necks;
  REQUIRE(necks.size() == 4);
  CHECK(necks[0].name == "radiator.top");
  CHECK(necks[0].end_mm.value == Vec3(-295, 220, 430));
  CHECK(necks[0].end_mm.method == MeasuredBy::tape);
  CHECK(necks[0].outward == Vec3(1, 0, 0));
  CHECK(necks[0].outside_diameter.mm() == Approx(38.1));
  CHECK(necks[0].bore == Length::mm(34));
  CHECK(necks[0].straight == Length::mm(38));
  CHECK(necks[0].bead);
  CHECK(necks[0].on == std::vector<std::string>{"top tank"});
  CHECK(necks[1].end_mm.method == MeasuredBy::jig);  // the point's own word before the neck's
  CHECK(necks[1].end_mm.accuracy == Length::mm(3));  // and with it the method's accuracy
  CHECK_FALSE(necks[1].bead);
  CHECK(necks[2].name == "heater.feed");
}

TEST_CASE("a neck's choice is read with its ways as unit vectors, lengths in their units and turns") {
  const Job job = good_job();
  const std::vector<Neck>& necks = job.vehicle.necks;
  for (const std::size_t written_only : {0, 1, 3}) CHECK_FALSE(necks[written_only].choice);
  REQUIRE(necks[2].choice);
  const NeckChoice& choice = *necks[2].choice;
  CHECK(choice.with == std::vector<std::string>{"washer ball"});
  REQUIRE(choice.slides.size() == 2);
  CHECK(choice.slides[0].along == Vec3::UnitY());
  CHECK(choice.slides[0].from == Length::mm(-20));
  CHECK(choice.slides[0].to == Length::mm(25));
  CHECK(choice.slides[0].step == Length::mm(10));
  CHECK(choice.slides[1].along == -Vec3::UnitZ());
  CHECK(choice.slides[1].step.mm() == Approx(12.7));
  REQUIRE(choice.turn);
  CHECK(choice.turn->about_mm == Vec3(900, 210, 500));
  CHECK(choice.turn->axis == Vec3::UnitZ());
  REQUIRE(choice.turn->by.size() == 3);
  CHECK(choice.turn->by[0].deg() == Approx(-45));
  // -20 to 20 in steps of 10, 0 to 25.4 in steps of 12.7, and three turns of which 0 is one.
  CHECK(count_of_places(choice) == 5 * 3 * 3);
  CHECK(job.vehicle.radiator.necks == std::vector<std::string>{"radiator.top", "radiator.bottom"});
  CHECK(job.vehicle.radiator.obstacles == std::vector<std::string>{"radiator core", "top tank"});
}

TEST_CASE("lines, gaps, coolant, working points and the question are read as written") {
  const Job job = good_job();
  const Vehicle& v = job.vehicle;
  REQUIRE(v.lines.size() == 3);
  CHECK(v.lines[0].name == "upper");
  CHECK(v.lines[0].from == "pump.outlet");
  CHECK(v.lines[0].to == "radiator.top");
  CHECK(v.lines[0].grade == Grade::one_way);
  CHECK(v.lines[0].makes == std::vector<Make>{Make::elbows_and_straights, Make::bent_tube});
  CHECK(v.lines[1].duty == Duty::suction);
  CHECK(v.lines[1].makes == std::vector<Make>{Make::bent_tube});
  CHECK(v.lines[1].stock == std::string("shelf-tube-38"));
  CHECK(v.lines[1].stock_reason == "the customer wants metal");
  CHECK(v.lines[2].grade == Grade::free);
  CHECK(v.lines[2].duty == Duty::heater_feed);
  CHECK(job.gaps.row(Runner::hose, Hazard::bare_exhaust, false).at_rest == Length::mm(60));
  CHECK(is_signed(job.gaps.row(Runner::hose, Hazard::bare_exhaust, false).provenance));
  CHECK(job.gaps.row(Runner::hose, Hazard::bare_exhaust, true).at_rest == Length::mm(20));
  CHECK(job.gaps.row(Runner::hose, Hazard::bare_exhaust, true).after_motion == Length::mm(10));
  CHECK(v.coolant.fluid == CoolantFluid::ethylene_glycol);
  CHECK(v.coolant.share_by == ShareBy::volume);
  CHECK(v.coolant.share == 0.5);
  CHECK(v.coolant.cap_gauge == Pressure::kpa(110));
  CHECK(v.coolant.altitude == Length::metre(300));
  CHECK(v.coolant.radiator_core.b_pa_per_m3s2 == 2.0e9);
  CHECK(v.coolant.heater_core.provenance == Provenance{Source::handbook, "A book that readers find", "", ""});
  CHECK(v.coolant.radiator_ua_w_per_k == 900);
  CHECK(v.coolant.air_capacity_w_per_k == 1200);
  CHECK(v.coolant.air == Temperature::celsius(30));
  REQUIRE(v.working_points.size() == 2);
  CHECK(v.working_points[1].name == "cruise");
  CHECK(v.working_points[1].crank_rpm == 2200);
  CHECK(v.working_points[1].heat_to_coolant_w == Approx(35500));
  CHECK(v.in_hand.pump == "long nose");
  CHECK(v.in_hand.owned == std::vector<std::string>{"long nose"});
  CHECK(v.question.intake == "low rise");
  CHECK(v.question.height == Length::mm(290));
}

TEST_CASE("a pump written in inches comes out in millimetres") {
  const Family f = good_job().family;
  REQUIRE(f.pumps.size() == 1);
  const Pump& p = f.pumps[0];
  CHECK(p.name == "long nose");
  REQUIRE(p.necks.size() == 2);
  CHECK(near(p.necks[0].end_mm.value, {-2 * 25.4, -6.75 * 25.4, 4 * 25.4}));
  CHECK(p.necks[0].end_mm.method == MeasuredBy::assumed);
  CHECK(p.necks[0].outside_diameter.mm() == Approx(1.75 * 25.4));
  CHECK(p.necks[1].end_mm.method == MeasuredBy::caliper);
  CHECK(p.necks[1].end_mm.accuracy.mm() == Approx(0.02 * 25.4));
  CHECK(p.seat.place == SeatPlace::outlet);
  CHECK(p.seat.flange == "two bolt");
  CHECK(near(p.seat.frame.origin_mm, {-2 * 25.4, 2 * 25.4, 9 * 25.4}));
  CHECK(near(p.seat.frame.rotation.col(2), Vec3::UnitZ()));
  CHECK(near(p.seat.frame.rotation.col(0), Vec3::UnitX()));  // made square to outward
  CHECK(p.rotation == Rotation::clockwise);
  CHECK(p.pulley_plane_mm.value == Approx(5.25 * 25.4));
  CHECK(p.pulley_plane_mm.method == MeasuredBy::caliper);
  CHECK(p.pulley_plane_mm.accuracy.mm() == Approx(0.254));
  CHECK(p.pulley_diameter.mm() == Approx(6 * 25.4));
  CHECK(p.depth.mm() == Approx(6.5 * 25.4));
  CHECK(p.curve.at_rpm == 5000);
  CHECK(p.curve.a0_pa == 120000);
  CHECK(p.curve.a1_pa_per_m3s == -1.0e6);
  CHECK(p.curve.a2_pa_per_m3s2 == -4.0e9);
  CHECK(p.curve.band == 0.15);
  CHECK(is_sourced(p.curve.provenance));
  CHECK(p.price == 149.5);
  CHECK(p.lead_days == 3);
}

TEST_CASE("engine, drive, housing and intake are read as written") {
  const Family f = good_job().family;
  CHECK(f.name == "small");
  CHECK_FALSE(f.engine.crank_clockwise);
  CHECK(f.engine.necks.at(0).name == "engine.vent");
  CHECK(f.engine.necks.at(0).end_mm.method == MeasuredBy::drawing);
  CHECK(f.engine.jacket.a_pa_per_m3s == 2.0e5);
  CHECK(f.engine.bypass.b_pa_per_m3s2 == 5.0e10);
  CHECK(f.engine.thermostat_r_open == 4.0e9);
  CHECK(f.engine.thermostat_starts == Temperature::celsius(82));
  CHECK(f.engine.thermostat_full == Temperature::celsius(95));
  const Drive& d = f.drives.at(0);
  CHECK(d.belt_plane_mm.value == 133);
  CHECK(d.belt_plane_mm.method == MeasuredBy::caliper);
  CHECK(d.crank_pulley_diameter == Length::mm(170));
  CHECK(d.pump_contact == BeltContact::back_side);
  CHECK(d.longest_span == Length::mm(310));
  const Housing& h = f.housings.at(0);
  CHECK(h.neck.name == "housing");
  CHECK(h.neck.end_mm.value == Vec3(70, 0, 25));
  CHECK(h.flange == "two bolt");
  CHECK(h.places == std::vector<SeatPlace>{SeatPlace::outlet, SeatPlace::inlet});
  REQUIRE(h.clocks.size() == 3);
  CHECK(h.clocks[1].deg() == Approx(45));
  const Intake& i = f.intakes.at(0);
  CHECK(i.drawn_height == Length::mm(300));
  CHECK(i.least_height == Length::mm(280));
  CHECK(i.most_height == Length::mm(340));
  CHECK(i.base.size() == 1);
  CHECK(i.stretch.size() == 1);
  CHECK(i.top.size() == 2);
  CHECK(i.top[1].hazard == Hazard::throttle_linkage);
  CHECK(i.lead_days == 14);
}

TEST_CASE("the shop's own clamps come before the general ones, in whatever unit they are written") {
  const Job job = good_job();
  REQUIRE(job.clamps.size() == 3);
  const ClampSize& own = job.clamps[0];
  CHECK(own.id == "drawer-44");
  CHECK(own.kind == ClampKind::lined_spring);
  CHECK(own.most.mm() == Approx(53.975));  // 2-1/8 in
  CHECK(own.band.mm() == Approx(12.7));
  CHECK(own.provenance.signer == "A. Fitter");
  CHECK(own.torque_reused_nm == 7.4);
  CHECK(job.clamps[1].id == "f_28");
  CHECK(job.clamps[1].torque_note == "the clamp maker's figure wins");
  CHECK(job.clamps[2].torque_reused_nm == 0);
}

TEST_CASE("a stock file may hold reducers") {
  const Job job = good_job();
  REQUIRE(job.reducers.size() == 2);
  CHECK(job.reducers[0].kind == ReducerKind::stepped_joiner);
  CHECK(job.reducers[0].wide == Length::mm(44.45));
  CHECK(job.reducers[0].narrow == Length::mm(38.1));
  CHECK(job.reducers[0].length == Length::mm(80));
  CHECK(job.reducers[0].price == 12);
  CHECK(job.reducers[1].kind == ReducerKind::reducing_hose);
  CHECK(job.reducers[1].price == 0);
}

TEST_CASE("the shop's shelf comes before the stock that is on sale") {
  const Job job = good_job();
  REQUIRE(job.stock.size() == 4);
  const Stock& tube = job.stock[0];
  CHECK(tube.id == "shelf-tube-38");
  CHECK(tube.make == Make::bent_tube);
  CHECK(tube.radii == std::vector<Length>{Length::mm(57), Length::mm(76)});
  CHECK(tube.most_bend.deg() == Approx(120));
  CHECK(tube.straight_between == Length::mm(40));
  CHECK(tube.cuff == Length::mm(30));
  CHECK(tube.coupler_outside == Length::mm(48));
  CHECK(tube.coupler_gap == Length::mm(6));
  CHECK(tube.bore_roughness_mm == 0.01);
  CHECK(tube.provenance == Provenance{Source::shop, "", "the shop", "our own dies"});
  const Stock& elbow = job.stock[1];
  CHECK(elbow.id == "elbow-38");
  CHECK(elbow.leg == Length::mm(150));
  CHECK(elbow.angles.size() == 2);
  CHECK(elbow.lengths == std::vector<Length>{Length::mm(500), Length::mm(1000)});
  CHECK(elbow.bore_roughness_mm == 0.02);
  CHECK(job.stock[2].cuff_trim == Length::mm(15));
  CHECK(job.stock[2].corrugation_pitch == Length::mm(6));
}

TEST_CASE("moulded shapes are read with their lists, in the file's unit or the one written") {
  const Stock moulded = good_job().stock[3];
  CHECK(moulded.make == Make::moulded_shape);
  CHECK(moulded.radii.empty());
  REQUIRE(moulded.shapes.size() == 2);
  CHECK(moulded.shapes[0].name == "elbow");
  CHECK(moulded.shapes[0].turns.empty());
  CHECK(moulded.shapes[0].straights == std::vector<Length>{Length::mm(120), Length::mm(150)});
  const MouldedShape& swan = moulded.shapes[1];
  CHECK(swan.straights ==
        std::vector<Length>{Length::mm(110), Length::mm(80), Length::inch(5), Length::mm(140)});
  CHECK(swan.radii == std::vector<Length>{Length::mm(60), Length::mm(50), Length::mm(60)});
  REQUIRE(swan.angles.size() == 3);
  CHECK(swan.angles[2].deg() == Approx(90));
  REQUIRE(swan.turns.size() == 2);
  CHECK(swan.turns[1].deg() == Approx(-120));
  CHECK(price_of(moulded, moulded.shapes[0]) == 30);
  CHECK(price_of(moulded, swan) == 36);
  CHECK(least_radius(moulded) == Length::mm(50));
}

TEST_CASE("what the command line asks for replaces what the file asks for") {
  JobPaths paths = paths_in(good_folder());
  paths.height = Length::mm(333);
  paths.intake = "low rise";
  paths.family = "small";
  const auto job = load_job(paths);
  REQUIRE(job);
  CHECK(job->vehicle.question.height == Length::mm(333));
}

TEST_CASE("a turned box is turned about X, then Y, then Z of its frame") {
  Files files = good_files();
  replace_once(files.at("vehicles/tiny/vehicle.yaml"), "{sphere: {centre: [-200, 400, 300], radius: 40}}",
               "{box: {centre: [-200, 400, 300], size: [20, 40, 60], turn_deg: [90, 0, 90]}}");
  const ScratchFolder scratch;
  const auto job = load_from(scratch, files);
  REQUIRE(job);
  const BoxShape& box = shape_of<BoxShape>(job->vehicle.chassis->obstacles.at(4));
  // Its own y goes up after the turn about X and stays there; its own x goes to the right after the turn
  // about Z.
  CHECK(near(box.frame.rotation.col(1), Vec3::UnitZ()));
  CHECK(near(box.frame.rotation.col(0), Vec3::UnitY()));
}

TEST_CASE("a job that loads can be assembled") {
  const Job job = good_job();
  const Bay bay = assemble(job, BodyStore(job), {0, 0, 0, 0, 0, job.vehicle.question.height});
  CHECK(bay.lines.size() == job.vehicle.lines.size());
}

TEST_CASE("every vehicle of the repository loads without a problem") {
  const fs::path root(HOSEFIT_ROOT_DIR);
  int vehicles = 0;
  for (const auto& entry : fs::directory_iterator(root / "vehicles")) {
    if (!fs::exists(entry.path() / "vehicle.yaml")) continue;
    ++vehicles;
    const auto job =
        load_job({entry.path().string(), (root / "pumps").string(), (root / "solver/data").string()});
    if (!job) FAIL_CHECK(format_problems(job.problems()));
  }
  CHECK(vehicles > 0);
}

}  // namespace hosefit::test
