// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>

#include "solver/verify/clamp_proof.h"
#include "tests/verify/plain_bay.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

double touching_z() {
  return kHoseOutside_mm / 2 + kSmoothGap_mm;
}  // plate height at which the gap is exactly the required one

}  // namespace

TEST_CASE("a line in an empty bay is proved without a finding") {
  for (const Centreline& centreline : {straight_run(), corner_run()}) {
    PlainJob job;
    job.add_line(centreline);
    const LineProof proof = job.proof();
    CHECK(proof.proved);
    CHECK(proof.findings.empty());
    CHECK(proof.gaps.empty());
    CHECK(proof.clamps.size() == 2);
  }
}

TEST_CASE("the required gap to the last micrometre is accepted and 0.06 mm less is refused") {
  for (const double short_by : {0.0, 0.06}) {
    PlainJob job;
    job.add_line(straight_run());
    // Beyond the clamps, so that only the run is measured.
    job.add_obstacle(
        "bar", CapsuleShape{
                   {200, -100, touching_z() + 10 - short_by}, {200, 100, touching_z() + 10 - short_by}, 10});
    const LineProof proof = job.proof();
    CAPTURE(short_by);
    CHECK(proof.proved == (short_by == 0.0));
    REQUIRE(proof.gaps.size() == 1);
    CHECK(proof.gaps[0].found_mm == Approx(kSmoothGap_mm - short_by).margin(0.05));
    CHECK(proof.gaps[0].required_mm == kSmoothGap_mm);
    if (short_by == 0.0) continue;
    REQUIRE(only_stop(proof, RuleId::gap));
    CHECK(find(proof, RuleId::gap)->other == "bar");
    CHECK(find(proof, RuleId::gap)->where_mm->x() == Approx(200).margin(3));
  }
}

TEST_CASE("a tube in an exact-fit duct has the duct's own gap all along") {
  // Four bars around a straight tube; closed form: their distance from the axis minus both radii.
  for (const double spare : {0.0, 0.4, -0.06}) {
    PlainJob job;
    job.add_line(straight_run());
    const double off = touching_z() + 5 + spare;
    for (const Vec3& side : {Vec3(0, 1, 0), Vec3(0, -1, 0), Vec3(0, 0, 1), Vec3(0, 0, -1)})
      job.add_obstacle("bar", CapsuleShape{off * side + Vec3(60, 0, 0), off * side + Vec3(340, 0, 0), 5});
    const LineProof proof = job.proof();
    CAPTURE(spare);
    CHECK(proof.proved == (spare >= 0));
    REQUIRE(proof.gaps.size() == 4);
    for (const GapRecord& gap : proof.gaps) {
      CHECK(gap.found_mm == Approx(kSmoothGap_mm + spare).margin(1e-9));
      CHECK(gap.proved_mm <= gap.found_mm);
      CHECK(gap.proved_mm >= gap.found_mm - 0.05);
    }
  }
}

TEST_CASE("a bend inside a torus-like ring of spheres has the closed form gap") {
  PlainJob job;
  job.add_line(corner_run());
  const Vec3 centre(150, 100, 0);  // of the bend, radius 100
  job.add_obstacle("ball", SphereShape{centre + Vec3(std::sqrt(0.5), -std::sqrt(0.5), 0) * 170, 30});
  const LineProof proof = job.proof();
  REQUIRE(proof.gaps.size() == 1);
  CHECK(proof.gaps[0].found_mm == Approx(70 - 30 - 24).margin(1.3));  // spare 12: found within a tenth of it
  CHECK(proof.gaps[0].found_mm >= 16 - 1e-9);
  CHECK(proof.gaps[0].proved_mm <= 16 + 1e-9);
}

TEST_CASE("how deep a line lies in an obstacle is told where it is deepest, not where that was seen first") {
  PlainJob job;
  job.add_line(straight_run());  // along X from 0 to 400
  job.routes[0].sections = {{0, 200, 48, Runner::hose}, {200, 400, 48, Runner::hose}};
  // Its axis comes nearer to that of the hose, from 60 mm at one end to 0 at the other.
  job.add_obstacle("beam", CapsuleShape{{0, 0, 60}, {400, 0, 0}, 100});
  const LineProof proof = job.proof();
  REQUIRE_FALSE(proof.proved);
  REQUIRE(proof.gaps.size() == 1);
  const double deepest = -100 - 24;
  CHECK(proof.gaps[0].found_mm >= deepest - 1e-9);
  CHECK(proof.gaps[0].found_mm < deepest + 14);  // found within a tenth of what is short
  CHECK(proof.gaps[0].proved_mm <= deepest + 1e-9);
}

TEST_CASE("the same gap raised past what was found turns proved into refused") {
  PlainJob job;
  job.add_line(straight_run());
  job.add_obstacle("bar", CapsuleShape{{200, -100, 60}, {200, 100, 60}, 10});
  const LineProof before = job.proof();
  REQUIRE(before.proved);
  REQUIRE(before.gaps.size() == 1);
  const GapRecord gap = before.gaps[0];
  job.gaps.set_by_shop(Runner::hose, Hazard::smooth_metal, true, Length::mm(gap.found_mm + 0.1), {});
  CHECK(only_stop(job.proof(), RuleId::gap));
  job.gaps.set_by_shop(Runner::hose, Hazard::smooth_metal, true, Length::mm(gap.proved_mm), {});
  CHECK(job.proof().proved);
}

TEST_CASE("each stretch is measured with the diameter and runner of its section") {
  PlainJob job;
  job.add_line(straight_run());
  job.add_obstacle("bar", CapsuleShape{{200, -100, touching_z() + 11}, {200, 100, touching_z() + 11}, 10});
  REQUIRE(job.proof().proved);  // 1 mm spare
  auto& sections = job.routes[0].sections;
  sections = {{0, 150, 48, Runner::hose}, {150, 250, 51, Runner::hose}, {250, 400, 48, Runner::hose}};
  CHECK(only_stop(job.proof(), RuleId::gap));
  sections[1].outside_diameter_mm = 48;
  sections[1].runner = Runner::clamp;  // 1.5 mm more than a hose in test_gaps
  CHECK(only_stop(job.proof(), RuleId::gap));
  sections = {{0, 150, 48, Runner::hose}, {150, 350, 48, Runner::hose}, {350, 400, 51, Runner::hose}};
  CHECK(job.proof().proved);
}

TEST_CASE("a hose inside a closed solid is refused, whatever the solid is made of") {
  const auto mesh = std::make_shared<const TriangleMesh>(
      tessellate(BoxShape{Pose::translation({200, 0, 0}), {150, 120, 120}}, 0.05));
  const RailShape rail{{{50, 0, 0}, {350, 0, 0}}, Vec3::UnitZ(), 300, 300};
  const std::vector<Shape> solids{BoxShape{Pose::translation({200, 0, 0}), {150, 120, 120}},
                                  MeshShape{"block.stl", mesh}, rail};
  for (const Shape& solid : solids) {
    PlainJob job;
    job.add_line(chain({Vec3(180, 0, 0), Vec3(220, 0, 0)}, 0));
    job.add_obstacle("block", solid);
    CAPTURE(solid.index());
    const LineProof proof = job.proof();
    REQUIRE(find(proof, RuleId::gap));
    CHECK(*find(proof, RuleId::gap)->measured < -24);
  }
}

TEST_CASE(
    "the part a neck grows out of may be near on the neck, untouched along the lead, and clear beyond") {
  const auto job_with_plate_at = [](double x_of_face) {
    PlainJob job;
    job.add_line(straight_run());
    // A block square to the line, behind `x_of_face`, with the hose running out of it; no wider than the
    // hose, so that the clamp's housing stands beside it.
    job.add_obstacle("block", BoxShape{Pose::translation({x_of_face - 50, 0, 0}), {50, 20, 20}});
    job.bay.necks[0].own_part = {{0, 0}};
    return job;
  };
  // Hose over the neck from x = -28; lead 24 mm; the ball around a centreline point reaches 24 mm back.
  CHECK(job_with_plate_at(-24).proof().proved);                     // touches at s = 0, clear by 24 at s = 24
  CHECK(only_stop(job_with_plate_at(-23.9).proof(), RuleId::gap));  // touched at the neck's end
  PlainJob foreign = job_with_plate_at(-24);
  foreign.bay.necks[0].own_part.clear();
  CHECK(find(foreign.proof(), RuleId::gap));
  // A bar of the own part beside the run, nearer than its full gap: let pass along the lead, refused beyond
  // it.
  for (const double x : {5.0, 60.0}) {
    PlainJob job;
    job.add_line(straight_run());
    job.add_obstacle("lug", SphereShape{{x, 0, touching_z() + 3 - 2}, 3});
    job.bay.necks[0].own_part = {{0, 0}};
    CAPTURE(x);
    CHECK(job.proof().proved == (x == 5.0));
  }
}

TEST_CASE("the hose over a neck keeps its gap to everything that is not the neck's own part") {
  PlainJob job;
  job.add_line(straight_run());
  job.add_obstacle("stud", SphereShape{{-20, 0, touching_z() + 2 - 1}, 2});
  const LineProof proof = job.proof();
  REQUIRE(find(proof, RuleId::gap));
  CHECK(find(proof, RuleId::gap)->parameters.at("part") == "over_neck");
  job.bay.necks[0].own_part = {{0, 0}};
  CHECK_FALSE(find(job.proof(), RuleId::gap));
}

TEST_CASE("a clamp's housing lies along the hose's round, 35 mm long, where the band sits") {
  ClampSeat seat;
  seat.band_mm = {-2, 20, 30};
  seat.axis = Vec3::UnitX();
  seat.outside_mm = 48;
  for (const double clock : {0.0, 0.7, 2.0, 4.5}) {
    CAPTURE(clock);
    const Straight housing = clamp_housing(seat, clock);
    const Vec3 along = housing.to_mm - housing.from_mm, centre = 0.5 * (housing.to_mm + housing.from_mm);
    CHECK(along.norm() + 2 * kClampRadius_mm == Approx(35));  // SAE J1508 type F envelope, second-hand
    CHECK(std::abs(along.dot(seat.axis)) < 1e-9);
    const Vec3 off = centre - seat.band_mm;
    CHECK(std::abs(off.dot(seat.axis)) < 1e-9);
    CHECK(off.norm() == Approx(24 + kClampRadius_mm));
    CHECK(std::abs(along.dot(off)) < 1e-9);
  }
  CHECK(clamp_housing(seat, 0).from_mm.z() > 30 + 30);  // clock 0 looks up
}

TEST_CASE("a clamp takes the free clock position and is blocked when there is none") {
  PlainJob job;
  job.add_line(straight_run());
  const auto wall = [](double x) {
    return BoxShape{Pose::translation({-12, x > 0 ? 80.0 : -80.0, 0}), {60, 40, 200}};
  };
  job.add_obstacle("left wall", wall(-1));
  job.add_obstacle("right wall", wall(1));
  LineProof proof = job.proof();
  CHECK_FALSE(find(proof, RuleId::clamp_blocked));
  REQUIRE(proof.clamps.size() == 2);
  CHECK(std::abs(std::sin(proof.clamps[0].clock_rad)) < 0.3);  // up or down, between the walls
  CHECK(proof.clamps[0].neck == 0U);
  job.add_obstacle("lid", BoxShape{Pose::translation({-12, 0, 80}), {60, 200, 40}});
  job.add_obstacle("floor", BoxShape{Pose::translation({-12, 0, -80}), {60, 200, 40}});
  proof = job.proof();
  REQUIRE(only_stop(proof, RuleId::clamp_blocked));
  const Finding* blocked = find(proof, RuleId::clamp_blocked);
  // Housing out to 24 + 20 = 44 mm, walls at 40 mm: 4 mm inside at the four clocks square to them, more in
  // the corners' favour.
  CHECK(*blocked->measured < *blocked->limit);
  CHECK(blocked->parameters.at("neck") == "line 0 from");
}

namespace {

// One run of 400 mm with a joiner in its middle: hose ends at 198 and 202 mm.
PlainJob joined_run() {
  PlainJob job;
  job.stock[0].make = Make::elbows_and_straights;
  job.stock[0].leg = Length::mm(102);
  job.add_line(straight_run());
  Route& route = job.routes[0];
  route.make = Make::elbows_and_straights;
  route.pieces = {{"hose", "straight hose", 226, 0, std::nullopt},
                  {"joiner", "joiner", 60, 0, std::nullopt},
                  {"hose", "straight hose", 226, 0, std::nullopt}};
  return job;
}

// Four walls 40 mm from the axis about x = 200, some of them.
void wall_in(PlainJob& job, std::initializer_list<Vec3> sides) {
  for (const Vec3& side : sides) {
    const Vec3 half = Vec3::Constant(200) - 160 * side.cwiseAbs() - Vec3(140, 0, 0);
    job.add_obstacle("wall", BoxShape{Pose::translation(Vec3(200, 0, 0) + 80 * side), half});
  }
}

}  // namespace

TEST_CASE("clamps at a joiner sit where their bands have room on both hose ends") {
  const LineProof proof = joined_run().proof();
  REQUIRE(proof.clamps.size() == 4);
  // 28 mm of hose on each end of the joiner; a band of 13.5 mm has 5.5 mm of hose behind it.
  for (const std::size_t at : {std::size_t{1}, std::size_t{2}}) {
    const ClampRecord& clamp = proof.clamps[at];
    CHECK_FALSE(clamp.neck);
    CHECK(clamp.piece == (at == 1 ? 0U : 2U));
    CHECK(clamp.at_start == (at == 2));
    CHECK(clamp.from_end_mm == Approx(12.25));
    const Vec3 middle = 0.5 * (clamp.housing.from_mm + clamp.housing.to_mm);
    CHECK(middle.x() == Approx(at == 1 ? 198 - 12.25 : 202 + 12.25));
  }
  CHECK(proof.proved);
}

TEST_CASE("a clamp at a joiner turns to where it has room, and stops the line when there is none") {
  PlainJob job = joined_run();
  wall_in(job, {Vec3::UnitY(), -Vec3::UnitY()});
  LineProof proof = job.proof();
  CHECK(proof.proved);
  REQUIRE(proof.clamps.size() == 4);
  CHECK(std::abs(std::sin(proof.clamps[1].clock_rad)) < 0.3);  // up or down, between the walls
  wall_in(job, {Vec3::UnitZ(), -Vec3::UnitZ()});
  proof = job.proof();
  REQUIRE(only_stop(proof, RuleId::clamp_blocked));
  const Finding* blocked = find(proof, RuleId::clamp_blocked);
  CHECK(blocked->other == "wall");
  CHECK(*blocked->measured < *blocked->limit);
  CHECK(std::abs(blocked->where_mm->x() - 200) < 40);
  CHECK(blocked->parameters.contains("s_mm"));
  CHECK(std::count_if(proof.findings.begin(), proof.findings.end(),
                      [](const Finding& f) { return f.rule == RuleId::clamp_blocked; }) == 2);
}

TEST_CASE("clamps on a tube's ends sit inside the couplers") {
  PlainJob job;
  Stock& stock = job.stock[0];
  stock.make = Make::bent_tube;
  stock.outside_diameter = stock.bore;
  stock.cuff = Length::mm(35);
  stock.coupler_gap = Length::mm(12);
  stock.coupler_outside = Length::mm(48);
  job.add_line(straight_run());
  Route& route = job.routes[0];
  route.make = Make::bent_tube;
  route.pieces = {{"hose", "coupler", 75, 0, std::nullopt},
                  {"hose", "tube", 376, 0, std::nullopt},
                  {"hose", "coupler", 75, 0, std::nullopt}};
  const LineProof proof = job.proof();
  REQUIRE(proof.clamps.size() == 4);
  // The coupler ends at 47 mm, the tube begins at 12; middle of the band 14.5 mm from the coupler's end.
  CHECK(0.5 * (proof.clamps[1].housing.from_mm + proof.clamps[1].housing.to_mm).x() == Approx(47 - 14.5));
  CHECK(0.5 * (proof.clamps[2].housing.from_mm + proof.clamps[2].housing.to_mm).x() == Approx(353 + 14.5));
  CHECK(proof.proved);
}

TEST_CASE("pieces that do not add up to the line are refused, for nobody knows where their clamps sit") {
  PlainJob job = joined_run();
  job.routes[0].pieces[0].cut_length_mm -= 30;
  const LineProof proof = job.proof();
  REQUIRE(only_stop(proof, RuleId::clamp_blocked));
  CHECK(find(proof, RuleId::clamp_blocked)->parameters.at("reason") == "pieces_do_not_add_up");
  CHECK(proof.clamps.size() == 2);
}

TEST_CASE("a clamp inside a run must not stand in its own line's way") {
  PlainJob job = joined_run();
  Stock& stock = job.stock[0];
  stock.radii = {Length::mm(30)};
  stock.most_bend = Angle::deg(180);
  stock.leg = Length::mm(400);
  // Out along y = 0, back along y = 64: the other leg's hose begins 40 mm from the axis, as the walls do.
  const Centreline there_and_back =
      chain({Vec3::Zero(), Vec3(400, 0, 0), Vec3(400, 64, 0), Vec3(100, 64, 0)}, 31.9);
  job.set_centreline(there_and_back);
  job.bay.necks[1] = plain_neck("line 0 to", end_point(there_and_back), -end_direction(there_and_back));
  Route& route = job.routes[0];
  const double rest = length_mm(there_and_back) - 202 + 28;
  route.pieces = {{"hose", "straight hose", 226, 0, std::nullopt},
                  {"joiner", "joiner", 60, 0, std::nullopt},
                  {"hose", "elbow 90 deg", rest, 0, std::nullopt}};
  wall_in(job, {-Vec3::UnitY(), Vec3::UnitZ(), -Vec3::UnitZ()});
  const LineProof proof = job.proof();
  const Finding* blocked = find(proof, RuleId::clamp_blocked);
  REQUIRE(blocked);
  CHECK(blocked->parameters.contains("s_mm"));
  CHECK(std::any_of(proof.findings.begin(), proof.findings.end(), [](const Finding& f) {
    return f.rule == RuleId::clamp_blocked && (f.other == "line 0" || f.other == "wall");
  }));
}

TEST_CASE("a clamp on a neck must not stand in the way of its own line that comes back past it") {
  for (const bool comes_back : {false, true}) {
    PlainJob job;
    job.stock[0].radii = {Length::mm(30)};
    job.stock[0].most_bend = Angle::deg(180);
    // Out along y = 0; back along y = 64 past the first neck, or ending before it.
    const Centreline there_and_back =
        chain({Vec3::Zero(), Vec3(400, 0, 0), Vec3(400, 64, 0), Vec3(comes_back ? -100 : 150, 64, 0)}, 31.9);
    job.add_line(there_and_back);
    for (const Vec3& side : {Vec3(-Vec3::UnitY()), Vec3(Vec3::UnitZ()), Vec3(-Vec3::UnitZ())}) {
      const Vec3 half = Vec3::Constant(200) - 160 * side.cwiseAbs() - Vec3(140, 0, 0);
      job.add_obstacle("wall", BoxShape{Pose::translation(Vec3(-14, 0, 0) + 80 * side), half});
    }
    const LineProof proof = job.proof();
    CAPTURE(comes_back);
    const Finding* blocked = find(proof, RuleId::clamp_blocked);
    CHECK((blocked != nullptr) == comes_back);
    if (blocked != nullptr) CHECK(blocked->parameters.at("neck") == "line 0 from");
  }
}

TEST_CASE("two lines keep the gap of two hoses, and both are told") {
  for (const double spare : {0.0, -0.06}) {
    PlainJob job;
    const double row = job.gaps.row(Runner::hose, Hazard::another_hose, true).at_rest.mm();
    job.add_line(straight_run());
    const double z = kHoseOutside_mm + row + spare;
    job.add_line(chain({Vec3(200, -300, z), Vec3(200, 300, z)}, 0));
    const ProofReport report = job.prove_all();
    CAPTURE(spare);
    for (std::size_t i : {0U, 1U}) {
      const LineProof& proof = report.lines[i];
      CHECK(proof.proved == (spare == 0.0));
      REQUIRE(proof.gaps.size() == 1);
      CHECK(proof.gaps[0].other == job.bay.lines[1 - i].line.name);
      CHECK_FALSE(proof.gaps[0].ref);
      CHECK(proof.gaps[0].found_mm == Approx(row + spare).margin(0.05));
      CHECK(proof.gaps[0].where_mm.z() == Approx(i == 0 ? 0 : z).margin(1e-6));
      CHECK(proof.gaps[0].s_mm == Approx(i == 0 ? 200 : 300).margin(3));
      if (spare < 0) CHECK(only_stop(proof, RuleId::gap));
    }
  }
}

TEST_CASE("the hoses over necks of two lines keep clear of each other") {
  PlainJob job;
  job.add_line(straight_run());
  job.add_line(
      chain({Vec3(-20, 0, 40 + 28), Vec3(-20, 0, 400)}, 0));  // its engaged part reaches down to z = 40
  const ProofReport report = job.prove_all();
  CHECK(find(report.lines[0], RuleId::gap));
  CHECK(find(report.lines[1], RuleId::gap));
}

TEST_CASE("a line that comes back onto itself is refused when it touches and flagged when it is near") {
  const auto loop_rising = [](double rise) {  // a full turn, the end passes over the start `rise` higher
    return chain({Vec3(0, 0, 0), Vec3(400, 0, 0), Vec3(400, 400, rise / 2), Vec3(100, 400, rise),
                  Vec3(100, -300, rise)},
                 100);
  };
  PlainJob job;
  job.add_line(loop_rising(40));
  CHECK(only_stop(job.proof(), RuleId::self_gap));
  job = {};
  job.add_line(loop_rising(51));
  CHECK(find(job.proof(), RuleId::self_gap, Severity::flag));
  CHECK(job.proof().proved);
  job = {};
  job.add_line(loop_rising(60));
  CHECK(job.proof().findings.empty());
}
