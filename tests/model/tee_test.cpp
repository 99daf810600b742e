// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/model/tee.h"

#include <catch2/catch.hpp>

#include "solver/model/bay.h"
#include "tests/support/tee_job.h"

using namespace hosefit;

namespace {

TeeStand stand(const Vec3& along, double clock_deg) {
  return {{100, 20, 30}, along.normalized(), Angle::deg(clock_deg)};
}
Vec3 branch_of(const Vec3& along, double clock_deg) {
  return tee_pose(stand(along, clock_deg)).direction(Vec3::UnitX());
}

}  // namespace

TEST_CASE("a tee's branch points up at clock 0 and turns clockwise seen the way the line goes") {
  CHECK(branch_of(Vec3::UnitX(), 0).isApprox(Vec3::UnitZ(), 1e-12));
  // Whoever looks rearward has the vehicle's left, -Y, on his right.
  CHECK(branch_of(Vec3::UnitX(), 90).isApprox(-Vec3::UnitY(), 1e-12));
  CHECK(branch_of(-Vec3::UnitX(), 90).isApprox(Vec3::UnitY(), 1e-12));
  CHECK(branch_of(Vec3(1, 0, 1), 0).isApprox(Vec3(-1, 0, 1).normalized(), 1e-12));
}

TEST_CASE("on a steep run a tee's branch points rearward at clock 0") {
  CHECK(branch_of(Vec3::UnitZ(), 0).isApprox(Vec3::UnitX(), 1e-12));
  CHECK(branch_of(Vec3(0.1, 0, -1), 0).x() > 0.99);
}

TEST_CASE("a tee's pose keeps lengths, has the run as its third axis and its middle as origin") {
  for (const double clock_deg : {0.0, 15.0, 200.0}) {
    const TeeStand at = stand({3, -2, 0.5}, clock_deg);
    const Pose pose = tee_pose(at);
    CHECK((pose.rotation.transpose() * pose.rotation).isApprox(Mat3::Identity(), 1e-12));
    CHECK(pose.rotation.determinant() == Approx(1));
    CHECK(pose.direction(Vec3::UnitZ()).isApprox(at.along, 1e-12));
    CHECK(pose.origin_mm == at.middle_mm);
  }
}

TEST_CASE("the tube ends of a tee stand out of what is drawn of it by what hose is pushed over") {
  Tee tee = tee_job::tee();
  const auto necks = tee_necks(tee);
  CHECK(necks[0].end_mm.value == Vec3(0, 0, -55));
  CHECK(necks[1].end_mm.value == Vec3(0, 0, 55));
  CHECK(necks[2].end_mm.value == Vec3(60, 0, 0));
  CHECK(necks[0].outward == Vec3(0, 0, -1));
  CHECK(necks[2].outward == Vec3(1, 0, 0));
  // 28 mm of hose of the 35 on the run, 20 of the 25 on the branch.
  const auto drawn = tee_obstacles(tee);
  CHECK(bounds(drawn[0].shape).max().isApprox(Vec3(22, 22, 27), 1e-12));
  CHECK(bounds(drawn[1].shape).max().isApprox(Vec3(40, 8, 8), 1e-12));
}

TEST_CASE("the line that carries a tee stands in two parts between which the tee is, all else as it was") {
  std::vector<Line> lines{box_job::line("upper", "a", "b", Duty::hot),
                          box_job::line("small", "c", "T", Duty::vent),
                          box_job::line("lower", "d", "e", Duty::suction)};
  Tee tee = tee_job::tee();
  tee.name = "T";
  const std::vector<Line> cut = split_at_tee(lines, "lower", tee);
  REQUIRE(cut.size() == 4);
  CHECK(tee.branch_line == 1);
  CHECK(tee.before == 2);
  CHECK(tee.after == 3);
  CHECK(tee.whole.name == "lower");
  CHECK(cut[0].name == "upper");
  CHECK(cut[1].to == "T.branch");
  CHECK(cut[1].from == "c");
  CHECK(cut[2].name == "lower to T");
  CHECK(cut[2].from == "d");
  CHECK(cut[2].to == "T.run start");
  CHECK(cut[3].name == "lower from T");
  CHECK(cut[3].from == "T.run end");
  CHECK(cut[3].to == "e");
  CHECK(cut[3].duty == Duty::suction);
}

TEST_CASE("a tee is a body of the bay where it is put, with its tube ends, and nothing where it is not") {
  const Job job = tee_job::make();
  const BodyStore store(job);
  Candidate candidate;
  candidate.height = Length::mm(300);
  const Bay without = assemble(job, store, candidate);
  REQUIRE(without.tee);
  CHECK_FALSE(without.tee->stands);
  CHECK(without.bodies[without.tee->body].body->obstacles.empty());

  candidate.tees = {{{400, 300, 700}, Vec3::UnitX(), Angle::deg(270)}};
  CHECK(has_its_places(store, candidate));
  const Bay bay = assemble(job, store, candidate);
  REQUIRE(bay.tee);
  CHECK(bay.tee->stands);
  CHECK_FALSE(bay.tee->floats);
  CHECK(bay.bodies[bay.tee->body].body->carrier == Carrier::chassis);
  CHECK(bay.bodies[bay.tee->body].body->obstacles.size() == 2);
  const PlacedNeck& branch = bay.necks[bay.tee->neck + 2];
  CHECK(branch.name == "side tee.branch");
  CHECK(branch.end_mm.isApprox(Vec3(400, 360, 700), 1e-12));
  CHECK(branch.outward.isApprox(Vec3::UnitY(), 1e-12));
  CHECK(branch.own_part.size() == 2);
  for (const std::size_t line : {bay.tee->before, bay.tee->after, bay.tee->branch_line})
    CHECK(bay.lines[line].carrier == LineCarrier::chassis);
  CHECK(same_parts(candidate, Candidate{0, 0, 0, 0, 0, Length::mm(300)}));
  CHECK_FALSE(has_its_places(BodyStore(box_job::make()), candidate));
}

TEST_CASE("a tee goes with what carries both ends of its line, and floats between two") {
  Tee tee = tee_job::tee();
  const Job job = tee_job::make(tee, "upper");
  const Bay bay = assemble(job, BodyStore(job), Candidate{0, 0, 0, 0, 0, Length::mm(300)});
  REQUIRE(bay.tee);
  CHECK(bay.tee->floats);
  for (const std::size_t line : {bay.tee->before, bay.tee->after, bay.tee->branch_line})
    CHECK(bay.lines[line].carrier == LineCarrier::both);
}
