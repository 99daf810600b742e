// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "solver/model/bay.h"
#include "tests/input/edited_job.h"

namespace hosefit::test {
namespace {

Result<Job> load_teed(const std::string& old = "", const std::string& fresh = "") {
  const ScratchFolder scratch;
  Files files = good_files();
  if (!old.empty()) replace_once(files.at("vehicles/teed/vehicle.yaml"), old, fresh);
  for (const auto& [name, bytes] : files) write_file(scratch.path() / name, bytes);
  JobPaths paths = paths_in(scratch.path());
  paths.vehicle_folder = (scratch.path() / "vehicles/teed").string();
  return load_job(paths);
}

Job teed(const std::string& old = "", const std::string& fresh = "") {
  const Result<Job> job = load_teed(old, fresh);
  INFO((job ? std::string() : format_problems(job.problems())));
  REQUIRE(job);
  return *job;
}

}  // namespace

TEST_CASE("a tee is read with its sizes in their units, its range and its angles") {
  const Job job = teed();
  REQUIRE(job.vehicle.tee);
  const Tee& tee = *job.vehicle.tee;
  CHECK(tee.name == "side tee");
  CHECK(tee.run.outside_diameter == Length::mm(38.1));
  CHECK(tee.run.bore == Length::mm(34));
  CHECK(tee.run.straight == Length::mm(36));
  CHECK(tee.run.bead);
  CHECK(tee.body_length.mm() == Approx(50.8));
  CHECK(tee.body_outside == Length::mm(44));
  CHECK(tee.branch_off_axis == Length::mm(80));
  REQUIRE(tee.within);
  CHECK_FALSE(tee.within->from_start);
  CHECK(tee.within->least == Length::mm(120));
  CHECK(tee.within->most == Length::mm(260));
  CHECK(tee.clocks == std::vector<Angle>{Angle::deg(0), Angle::deg(270)});
  CHECK(tee.place.line == 29);
}

TEST_CASE("the line that carries a tee is read as two lines, and the other ends at its branch") {
  const Job job = teed();
  const auto& lines = job.vehicle.lines;
  const Tee& tee = *job.vehicle.tee;
  REQUIRE(lines.size() == 5);
  CHECK(tee.whole.name == "side");
  CHECK(lines[tee.before].name == "side to side tee");
  CHECK(lines[tee.before].from == "tank.low");
  CHECK(lines[tee.after].name == "side from side tee");
  CHECK(lines[tee.after].to == "cooler.high");
  CHECK(lines[tee.after].makes == std::vector<Make>{Make::straight_hose});
  CHECK(lines[tee.branch_line].name == "fill");
  CHECK(lines[tee.branch_line].to == "side tee.branch");
  CHECK(assemble(job, BodyStore(job), Candidate{0, 0, 0, 0, 0, Length::mm(290)}).lines.size() == 5);
}

TEST_CASE("a tee that is free to stand and turn has no range and every angle") {
  CHECK_FALSE(teed("place: {from: cooler.high, least: 120, most: 260}", "place: free").vehicle.tee->within);
  const Job turning = teed("clock_deg: [0, 270]", "clock_deg: free");
  CHECK(turning.vehicle.tee->clocks.empty());
  CHECK(clocks_of(*turning.vehicle.tee).size() == 24);
  CHECK(teed("place: {from: cooler.high", "place: {from: tank.low").vehicle.tee->within->from_start);
}

}  // namespace hosefit::test
