// SPDX-License-Identifier: GPL-3.0-or-later
#include <unistd.h>

#include <catch2/catch.hpp>

#include "tests/viewer/late_solver.h"
#include "tests/viewer/vehicle_on_disk.h"

using namespace hosefit;

namespace {

// No pane may claim anything but what the solver said about exactly the height on screen.
void check_claims(const Session& session, const LateSolver& solver) {
  const State& state = session.state();
  for (const Pane& pane : state.panes) {
    const ShownVerdict verdict = shown_verdict(state, pane);
    if (!verdict.fit) {
      CHECK(verdict.words.find("not proved") == 0);
      continue;
    }
    CHECK(current_answer(state, pane)->result->candidate.height == state.height);
    CHECK((*verdict.fit == Fit::fits) == (state.height.mm() >= solver.fits_from_mm));
  }
}

bool open_vehicle(Session& session, const std::string& folder) {
  session.apply(OpenVehicle{folder});
  return tick_until(session, [&] { return session.state().prepared != nullptr; });
}

struct SolvedSession {
  VehicleOnDisk disk;
  LateSolver solver;
  Session session;
  explicit SolvedSession(const std::string& name)
      : disk(name), session(solver.calls(), source_places(), [] {}) {
    solver.fits_from_mm = 300;
    solver.open();
    REQUIRE(open_vehicle(session, disk.folder()));
    REQUIRE(tick_until(session, [&] { return session.settled(); }));
  }
};

}  // namespace

TEST_CASE("before any answer every pane says not proved yet", "[session]") {
  const VehicleOnDisk disk("fresh");
  LateSolver solver;
  Session session(solver.calls(), source_places(), [] {});
  REQUIRE(open_vehicle(session, disk.folder()));
  REQUIRE_FALSE(session.state().panes.empty());
  for (const Pane& pane : session.state().panes) {
    CHECK_FALSE(shown_verdict(session.state(), pane).fit);
    CHECK(shown_verdict(session.state(), pane).words == "not proved yet");
    CHECK_FALSE(tightest_mark(session.state(), pane));
  }
  solver.open();
}

TEST_CASE("an answer that comes after the slider has moved on is never shown as a verdict", "[session]") {
  SolvedSession one("late");
  Session& session = one.session;
  for (const Pane& pane : session.state().panes) REQUIRE(shown_verdict(session.state(), pane).fit);
  one.solver.close();
  const int asked = one.solver.asked();
  session.apply(SetHeight{Length::mm(310)});
  REQUIRE(one.solver.wait_asked(asked + 1));  // it now holds the question for 310 mm
  session.apply(SetHeight{Length::mm(280)});
  check_claims(session, one.solver);
  for (const Pane& pane : session.state().panes) CHECK_FALSE(shown_verdict(session.state(), pane).fit);
  one.solver.open();  // the answer for 310 mm (fits) arrives while 280 mm is on screen
  for (int i = 0; i < 200; ++i) {
    session.tick(0);
    check_claims(session, one.solver);
    std::this_thread::sleep_for(std::chrono::milliseconds(1));
  }
  REQUIRE(tick_until(session, [&] { return session.settled(); }));
  for (const Pane& pane : session.state().panes)
    CHECK(shown_verdict(session.state(), pane).fit == Fit::does_not_fit);
}

TEST_CASE("going to and fro over the boundary never leaves a claim of the other side", "[session]") {
  SolvedSession one("to_and_fro");
  for (int i = 0; i < 60; ++i) {
    one.session.apply(SetHeight{Length::mm(i % 2 == 0 ? 290 : 311)});
    check_claims(one.session, one.solver);
    one.session.tick(0);
    check_claims(one.session, one.solver);
    if (i % 7 == 0) std::this_thread::sleep_for(std::chrono::milliseconds(3));
  }
  REQUIRE(tick_until(one.session, [&] { return one.session.settled(); }));
  check_claims(one.session, one.solver);
}

TEST_CASE("moving the engine takes every verdict away until it is proved for the new place", "[session]") {
  SolvedSession one("engine");
  one.solver.close();
  const Vehicle& vehicle = one.session.state().prepared->job().vehicle;
  const Vec3 at_mm = vehicle.engine_at_mm.value + Vec3(0, 0, 5);
  one.session.apply(SetEngine{at_mm, vehicle.engine_tilt});
  CHECK(one.session.state().prepared->job().vehicle.engine_at_mm.value == at_mm);
  for (const Pane& pane : one.session.state().panes)
    CHECK_FALSE(shown_verdict(one.session.state(), pane).fit);
  one.solver.open();
  REQUIRE(tick_until(one.session, [&] { return one.session.settled(); }));
  for (const Pane& pane : one.session.state().panes) CHECK(shown_verdict(one.session.state(), pane).fit);
  one.session.apply(TakeBackChanges{});
  CHECK(one.session.state().prepared->job().vehicle.engine_at_mm.value == at_mm - Vec3(0, 0, 5));
}

TEST_CASE("a file that breaks dims the last good state, tells its place, and comes back when cured",
          "[session]") {
  SolvedSession one("broken");
  const std::string good = one.disk.text();
  one.disk.write(good + "\nsurprise: 1\n");
  REQUIRE(tick_until(one.session, [&] { return !one.session.state().problems.empty(); }));
  const State& state = one.session.state();
  CHECK(state.problems.find("vehicle.yaml:") != std::string::npos);
  CHECK(state.problems.find("surprise") != std::string::npos);
  REQUIRE_FALSE(state.panes.empty());
  for (const Pane& pane : state.panes) {
    CHECK(shown_verdict(state, pane).words == "not proved: file has problems");
    CHECK_FALSE(shown_verdict(state, pane).fit);
    CHECK_FALSE(pane.scene.bodies.empty());
  }
  one.session.apply(SetHeight{Length::mm(305)});  // the slider may still be moved
  for (const Pane& pane : state.panes) CHECK_FALSE(shown_verdict(state, pane).fit);
  one.disk.write(good);
  REQUIRE(tick_until(one.session, [&] { return state.problems.empty() && one.session.settled(); }));
  for (const Pane& pane : state.panes) CHECK(shown_verdict(state, pane).fit);
}

TEST_CASE("a folder without a vehicle is told, and the first screen can be shown again", "[session]") {
  LateSolver solver;
  Session session(solver.calls(), source_places(), [] {});
  session.apply(OpenVehicle{"/nowhere/at/all"});
  REQUIRE(tick_until(session, [&] { return !session.state().problems.empty(); }));
  CHECK_FALSE(session.state().start_shown);
  session.apply(ShowStart{true});
  CHECK(session.state().start_shown);
}

TEST_CASE("stopping leaves what is not proved marked so, and solving again settles it", "[session]") {
  SolvedSession one("stop");
  one.solver.close();
  one.session.apply(SetHeight{Length::mm(295)});
  one.session.apply(StopSolving{});
  CHECK(one.session.state().stopped);
  one.solver.open();
  for (int i = 0; i < 50; ++i) {
    one.session.tick(0);
    std::this_thread::sleep_for(std::chrono::milliseconds(1));
  }
  check_claims(one.session, one.solver);
  one.session.apply(SolveAgain{});
  REQUIRE(tick_until(one.session, [&] { return one.session.settled(); }));
  for (const Pane& pane : one.session.state().panes) CHECK(shown_verdict(one.session.state(), pane).fit);
}

TEST_CASE("the last make of a line cannot be switched off", "[session]") {
  SolvedSession one("makes");
  const auto makes = one.session.state().as_read->vehicle.lines[0].makes;
  for (const Make make : makes) one.session.apply(SetMake{0, make, false});
  CHECK(one.session.state().prepared->job().vehicle.lines[0].makes.size() == 1);
  CHECK(one.session.state().as_read->vehicle.lines[0].makes == makes);
}

TEST_CASE(
    "a piece of stock that is switched off is gone from the job, and one the file holds a line to stays",
    "[session]") {
  SolvedSession one("stock");
  const State& state = one.session.state();
  const std::size_t before = state.prepared->job().stock.size();
  const auto free = std::find_if(state.as_read->stock.begin(), state.as_read->stock.end(),
                                 [&](const Stock& s) { return may_be_off(*state.as_read, s); });
  REQUIRE(free != state.as_read->stock.end());
  const std::uint64_t job = state.job;
  one.session.apply(SetStock{{free->id}, false});
  CHECK(state.prepared->job().stock.size() == before - 1);
  CHECK(state.as_read->stock.size() == before);
  CHECK(state.job == job + 1);
  for (const Pane& pane : state.panes) CHECK_FALSE(shown_verdict(state, pane).fit);
  REQUIRE(tick_until(one.session, [&] { return one.session.settled(); }));
  for (const Pane& pane : state.panes) CHECK(shown_verdict(state, pane).fit);
  one.session.apply(SetStock{{free->id}, true});
  CHECK(state.prepared->job().stock.size() == before);

  Job held = *state.as_read;
  held.vehicle.lines[0].stock = free->id;
  CHECK_FALSE(may_be_off(held, *free));
}

TEST_CASE(
    "height windows begin with the chosen pump, and after a change the old ones stay marked until the new "
    "are done",
    "[session]") {
  const VehicleOnDisk disk("windows");
  LateSolver solver;
  solver.fits_from_mm = 9999;
  solver.always_fits = 3;
  solver.open();
  solver.allow_windows(0);
  Session session(solver.calls(), source_places(), [] {});
  const State& state = session.state();
  REQUIRE(open_vehicle(session, disk.folder()));
  REQUIRE(tick_until(session, [&] { return session.settled() && !solver.windows_asked().empty(); }));
  CHECK(state.panes[0].pump == 3);
  CHECK(solver.windows_asked() == std::vector<std::size_t>{3});
  solver.allow_windows(100);
  REQUIRE(tick_until(session, [&] { return !state.windows_running; }));
  std::vector<std::size_t> ranked;
  for (const Pane& pane : state.panes) ranked.push_back(pane.pump);
  CHECK(solver.windows_asked() == ranked);

  solver.allow_windows(0);
  const Vehicle& vehicle = state.prepared->job().vehicle;
  session.apply(SetEngine{vehicle.engine_at_mm.value + Vec3(0, 0, 5), vehicle.engine_tilt});
  for (const auto& [pump, bar] : state.windows) {
    CHECK(bar.known.empty());
    CHECK_FALSE(bar.done);
    CHECK(bar.before.size() == 1);
  }
  solver.allow_windows(1);
  REQUIRE(tick_until(session, [&] { return session.settled() && state.windows.at(3).done; }));
  CHECK(state.windows.at(3).before.empty());
  CHECK(state.windows.at(3).known.size() == 1);
  for (const auto& [pump, bar] : state.windows)
    if (pump != 3) CHECK(bar.before.size() == 1);
}

TEST_CASE("heights beyond the intake's range are held at its ends", "[session]") {
  SolvedSession one("range");
  const Intake& intake = one.session.state().prepared->job().family.intakes[one.session.state().intake];
  one.session.apply(SetHeight{Length::mm(9999)});
  CHECK(one.session.state().height == intake.most_height);
  one.session.apply(SetHeight{Length::mm(std::nan(""))});
  CHECK(one.session.state().height == intake.most_height);
  one.session.apply(SetHeight{Length::mm(-5)});
  CHECK(one.session.state().height == intake.least_height);
}

TEST_CASE("cameras move together when they are tied and alone when not", "[session]") {
  SolvedSession one("cameras");
  Orbit moved;
  moved.turn_rad = 1.25;
  one.session.apply(MoveCamera{0, moved});
  for (const Pane& pane : one.session.state().panes) CHECK(pane.scene.camera == moved);
  one.session.apply(TieCameras{false});
  moved.turn_rad = 0.5;
  one.session.apply(MoveCamera{1, moved});
  CHECK(one.session.state().panes[1].scene.camera == moved);
  CHECK_FALSE(one.session.state().panes[0].scene.camera == moved);
}
