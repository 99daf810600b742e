// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/part_gaps.h"

#include <algorithm>
#include <catch2/catch.hpp>

#include "solver/decide/decide.h"
#include "tests/support/box_job.h"
#include "tests/support/scan_mesh.h"

using namespace hosefit;

namespace {

// With the drive of the box bay replaced by these obstacles, and the fan by those.
std::vector<Finding> clashes(std::vector<Obstacle> drive, std::vector<Obstacle> fan = {}) {
  Job job = box_job::make();
  job.family.drives[0].body = box_job::body("drive", Carrier::engine, std::move(drive));
  job.vehicle.fan = box_job::body("fan", Carrier::chassis, std::move(fan));
  const Prepared prepared(std::move(job));
  Candidate candidate;
  candidate.height = Length::mm(300);
  const Bay bay = assemble(prepared.job(), prepared.bodies(), candidate);
  ProofStore proofs;
  return part_findings(bay, part_gaps(bay, proofs, prepared.job().gaps));
}

// The pump's casing ends at y = 60; this one begins `gap_mm` beside it.
Obstacle alternator(double gap_mm) {
  return box_job::box("alternator", {-25, 60 + gap_mm + 40, 50}, {30, 40, 40}, Hazard::electrics);
}

}  // namespace

TEST_CASE("an accessory that stands too near the pump is a clash, by the missing mm") {
  CHECK(clashes({alternator(12.2)}).empty());
  const std::vector<Finding> found = clashes({alternator(7)});
  REQUIRE(found.size() == 1);
  CHECK(found[0].rule == RuleId::rigid_clash);
  CHECK(found[0].severity == Severity::stop);
  CHECK(found[0].subject == "low");
  CHECK(found[0].other == "alternator");
  CHECK(found[0].parameters.at("obstacle") == "casing");
  CHECK(*found[0].margin == Approx(-5).margin(0.06));
}

TEST_CASE("a belt too near the pump's casing is a clash, on its pulley it is not") {
  const Obstacle belt = box_job::box("belt", {-75, 0, 50}, {10, 60, 10}, Hazard::belt_or_pulley);
  const std::vector<Finding> found = clashes({belt});
  REQUIRE(found.size() == 1);
  CHECK(found[0].other == "belt");
  CHECK(*found[0].margin == Approx(-7).margin(0.06));

  Job job = box_job::make();
  std::vector<Obstacle> turning = job.family.pumps[0].body->obstacles;
  turning.push_back(box_job::box("pulley", {-90, 0, 50}, {10, 30, 30}, Hazard::belt_or_pulley));
  job.family.pumps[0].body = box_job::body("low", Carrier::engine, turning);
  job.family.drives[0].body = box_job::body(
      "drive", Carrier::engine, {box_job::box("belt", {-90, 0, 80}, {10, 60, 10}, Hazard::belt_or_pulley)});
  const Prepared prepared(std::move(job));
  Candidate candidate;
  candidate.height = Length::mm(300);
  const Bay bay = assemble(prepared.job(), prepared.bodies(), candidate);
  ProofStore proofs;
  CHECK(part_findings(bay, part_gaps(bay, proofs, prepared.job().gaps)).empty());
}

TEST_CASE("of the vehicle's own parts the fan is measured against the core and nothing else") {
  // The rear of the core is at x = -30. Rigid parts on the chassis: 12 mm in this bay.
  const auto disc = [](double gap_mm) {
    return box_job::box("fan disc", {-30 + gap_mm + 10, 0, 550}, {10, 100, 100}, Hazard::fan);
  };
  CHECK(clashes({}, {disc(12.2)}).empty());
  const std::vector<Finding> found = clashes({}, {disc(8)});
  REQUIRE(found.size() == 1);
  CHECK(found[0].rule == RuleId::fan_to_core);
  CHECK(found[0].subject == "fan disc");
  CHECK(found[0].other == "core");
  CHECK(*found[0].margin == Approx(-4).margin(0.06));
}

TEST_CASE("a pump behind a scan leaves a candidate undecided until somebody has looked there") {
  // A scanned sheet between radiator and pump, seen from the radiator; belt and casing stand behind it.
  Job job = box_job::make();
  TriangleMesh sheet;
  test::add_plate(sheet, {170, -40, 420}, {0, 0, 180}, {0, 80, 0}, 10);
  Body chassis = *job.vehicle.chassis;
  Obstacle scan;
  scan.name = "scan";
  scan.closed = false;
  scan.hazard = Hazard::smooth_metal;
  scan.shape = MeshShape{"scan.ply", std::make_shared<const TriangleMesh>(std::move(sheet))};
  chassis.obstacles.push_back(scan);
  job.vehicle.chassis = std::make_shared<const Body>(chassis);
  std::vector<Obstacle> two_parts = job.family.pumps[0].body->obstacles;
  two_parts.push_back(box_job::box("boss", {-25, 0, 153}, {10, 20, 3}));
  job.family.pumps[0].body = box_job::body("low", Carrier::engine, two_parts);
  job.vehicle.fan = box_job::body("fan", Carrier::chassis,
                                  {box_job::box("motor", {200, 0, 300}, {10, 20, 20}, Hazard::electrics)});
  // The space of both hoses was looked into.
  const auto looked = [](const Vec3& centre, const Vec3& half) {
    BoxShape box;
    box.frame.origin_mm = centre;
    box.half_size_mm = half;
    return box;
  };
  job.vehicle.looked_behind = {looked({150, 130, 550}, {200, 70, 400}),
                               looked({150, -130, 550}, {200, 70, 400})};
  const auto of_low = [](const Job& asked) {
    const Prepared prepared(asked);
    Query query = question_of(prepared.job());
    query.height = Length::mm(300);
    const Choice choice = decide(prepared, query, Budget{}, {}, {});
    return choice.candidates.front();
  };
  const CandidateResult behind = of_low(job);
  CHECK(behind.verdict.fit == Fit::undecided);
  CHECK(behind.lines_tried);
  for (const LineProof& line : behind.proof.lines) CHECK(line.proved);
  const auto told = std::find_if(behind.findings.begin(), behind.findings.end(), [](const Finding& f) {
    return f.rule == RuleId::unseen_space && f.subject == "low";
  });
  REQUIRE(told != behind.findings.end());
  CHECK(told->undecided);
  CHECK(told->subject == "low");
  CHECK(told->other == "scan");
  CHECK(told->parameters.at("obstacle") == "casing");
  CHECK(told->where_mm);

  // Once for each part, whatever of it stands there; the vehicle's own fan stood there when it was scanned.
  const auto about = [&](const char* part) {
    return std::count_if(behind.findings.begin(), behind.findings.end(), [&](const Finding& f) {
      return f.rule == RuleId::unseen_space && f.subject == part;
    });
  };
  CHECK(about("low") == 1);
  CHECK(about("fan") == 0);

  Job seen = job;
  chassis.obstacles.back().seen_from = SeenFrom::both;
  seen.vehicle.chassis = std::make_shared<const Body>(chassis);
  CHECK(of_low(seen).verdict.fit == Fit::fits);

  job.vehicle.looked_behind.push_back(looked({420, 0, 550}, {249, 200, 400}));
  CHECK(of_low(job).verdict.fit == Fit::fits);
}
