// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <numbers>

#include "tests/verify/plain_bay.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

PlainJob job_with(const Centreline& centreline) {
  PlainJob job;
  job.add_line(centreline);
  return job;
}
Stock& stock(PlainJob& job) {
  return job.stock.front();
}

}  // namespace

TEST_CASE("a bend 0.1 mm under the least radius is refused, at it accepted") {
  PlainJob job = job_with(corner_run());
  stock(job).radii = {Length::mm(100)};
  CHECK(job.proof().proved);
  stock(job).radii = {Length::mm(100.1)};
  REQUIRE(only_stop(job.proof(), RuleId::bend_radius));
  CHECK(*find(job.proof(), RuleId::bend_radius)->margin == Approx(-0.1));
}

TEST_CASE("a bent tube takes only the radii of the bender's dies") {
  PlainJob job = job_with(corner_run());
  stock(job).make = job.routes[0].make = Make::bent_tube;
  stock(job).coupler_outside = Length::mm(kHoseOutside_mm);
  stock(job).radii = {Length::mm(60), Length::mm(100)};
  CHECK(job.proof().proved);
  stock(job).radii = {Length::mm(60), Length::mm(100.001)};
  CHECK(only_stop(job.proof(), RuleId::bend_radius));
  stock(job).radii = {Length::mm(60), Length::mm(99.999)};
  CHECK(only_stop(job.proof(), RuleId::bend_radius));
}

TEST_CASE("a bent tube shorter than its two couplers is refused") {
  PlainJob job = job_with(straight_run(70));
  stock(job).make = job.routes[0].make = Make::bent_tube;
  stock(job).coupler_gap = Length::mm(5);
  stock(job).cuff = Length::mm(30);
  CHECK(job.proof().proved);
  stock(job).cuff = Length::mm(30.1);
  CHECK(only_stop(job.proof(), RuleId::length_on_sale));
}

TEST_CASE("an elbow of an angle that is not on sale is refused") {
  PlainJob job = job_with(corner_run());
  stock(job).make = job.routes[0].make = Make::elbows_and_straights;
  stock(job).leg = Length::mm(150);
  stock(job).angles = {Angle::deg(45), Angle::deg(90)};
  CHECK(job.proof().proved);
  stock(job).angles = {Angle::deg(45), Angle::deg(90.001)};
  CHECK(only_stop(job.proof(), RuleId::bend_angle));
}

TEST_CASE("a bend larger than the stock's largest is refused") {
  PlainJob job = job_with(corner_run());
  stock(job).most_bend = Angle::deg(89.999);
  CHECK(only_stop(job.proof(), RuleId::bend_angle));
}

TEST_CASE("an elbow whose leg cannot take a clamp past its bend is refused") {
  PlainJob job = job_with(corner_run());
  stock(job).make = job.routes[0].make = Make::elbows_and_straights;
  stock(job).leg = Length::mm(128);  // tangent length 100 + 28
  CHECK(job.proof().proved);
  stock(job).leg = Length::mm(127.9);
  CHECK(only_stop(job.proof(), RuleId::length_on_sale));
}

TEST_CASE("elbow pieces are one per bend and no longer than sold") {
  PlainJob job = job_with(corner_run());
  stock(job).make = job.routes[0].make = Make::elbows_and_straights;
  stock(job).leg = Length::mm(150);
  const double sold = 2 * 50 + 100 * std::numbers::pi / 2;
  job.routes[0].pieces = {{"hose", "elbow 90 deg", sold, 0, {}}};
  CHECK(job.proof().proved);
  job.routes[0].pieces[0].cut_length_mm += 0.1;
  CHECK(only_stop(job.proof(), RuleId::length_on_sale));
  job.routes[0].pieces = {{"hose", "straight hose", 100, 0, {}}};
  CHECK(only_stop(job.proof(), RuleId::no_stock));
}

TEST_CASE("too short a straight between two bends is refused; one bend drawn as two arcs is one") {
  PlainJob job =
      job_with(chain({Vec3::Zero(), Vec3(200, 0, 0), Vec3(200, 220, 0), Vec3(200, 220, 200)}, 100));
  CHECK(job.proof().proved);  // 20 mm of straight
  stock(job).straight_between = Length::mm(20.1);
  CHECK(only_stop(job.proof(), RuleId::straight_between_bends));
  PlainJob split = job_with(corner_run());
  Centreline drawn;
  for (const Piece& piece : corner_run().pieces) {
    const auto* arc = std::get_if<Arc>(&piece);
    if (!arc) {
      drawn.pieces.push_back(piece);
      continue;
    }
    drawn.pieces.push_back(Arc{arc->start_mm, arc->centre_mm, arc->normal, 0.5});
    drawn.pieces.push_back(Arc{point_at(piece, 50), arc->centre_mm, arc->normal, arc->angle_rad - 0.5});
  }
  split.set_centreline(drawn);
  CHECK(split.proof().proved);
}

TEST_CASE("a bend that begins before the least lead is refused at either end") {
  for (const bool at_start : {true, false}) {
    Centreline short_lead =
        chain({Vec3::Zero(), Vec3(123.9, 0, 0), Vec3(123.9, 250, 0)}, 100);  // 23.9 of 24 mm
    PlainJob job = job_with(at_start ? short_lead : reversed(short_lead));
    CHECK(only_stop(job.proof(), RuleId::lead));
  }
}

TEST_CASE("a corrugated hose must come out of a length on sale by trimming its cuffs") {
  PlainJob job = job_with(straight_run());  // 456 mm with both ends
  stock(job).make = job.routes[0].make = Make::corrugated_hose;
  stock(job).cuff = Length::mm(45);
  stock(job).cuff_trim = Length::mm(15);
  stock(job).lengths = {Length::mm(400), Length::mm(486)};
  CHECK(job.proof().proved);
  stock(job).lengths = {Length::mm(400), Length::mm(487)};
  CHECK(only_stop(job.proof(), RuleId::length_on_sale));
  stock(job).lengths = {Length::mm(455)};
  CHECK(only_stop(job.proof(), RuleId::length_on_sale));
}

TEST_CASE("a straight hose must come out of a stick on sale, and be cut as long as the line") {
  PlainJob job = job_with(straight_run());
  stock(job).lengths = {Length::mm(456), Length::mm(900)};
  job.routes[0].pieces = {{"hose", "straight hose", 456, 900, {}}};
  CHECK(job.proof().proved);
  job.routes[0].pieces[0].cut_length_mm = 455.9;
  CHECK(only_stop(job.proof(), RuleId::length_on_sale));
  job.routes[0].pieces[0] = {"hose", "straight hose", 456, 800, {}};
  CHECK(only_stop(job.proof(), RuleId::length_on_sale));
  job.routes[0].pieces.clear();
  stock(job).lengths = {Length::mm(455)};
  CHECK(only_stop(job.proof(), RuleId::length_on_sale));
}

TEST_CASE("a stock that is unknown or of another make is refused") {
  PlainJob job = job_with(straight_run());
  job.routes[0].stock = "hoze";
  CHECK(only_stop(job.proof(), RuleId::no_stock));
  job.routes[0].stock = "hose";
  job.routes[0].make = Make::corrugated_hose;
  CHECK(only_stop(job.proof(), RuleId::no_stock));
}

TEST_CASE("a section thinner than its stock, or a hose measured as a rigid part, is refused") {
  PlainJob job = job_with(straight_run());
  job.routes[0].sections[0].outside_diameter_mm = 47.9;
  CHECK(only_stop(job.proof(), RuleId::no_stock));
  job.routes[0].sections[0] = {0, 400, 48, Runner::rigid_part};
  CHECK(only_stop(job.proof(), RuleId::no_stock));
  stock(job).make = job.routes[0].make = Make::bent_tube;
  stock(job).coupler_gap = Length::mm(5);
  stock(job).cuff = Length::mm(30);
  CHECK(job.proof().proved);
  stock(job).coupler_outside = Length::mm(52);
  CHECK(only_stop(job.proof(), RuleId::no_stock));
  job.routes[0].sections = {
      {0, 35, 52, Runner::hose}, {35, 365, 48, Runner::rigid_part}, {365, 400, 52, Runner::hose}};
  CHECK(job.proof().proved);
  job.routes[0].sections[0].to_s_mm = job.routes[0].sections[1].from_s_mm = 34;
  CHECK(only_stop(job.proof(), RuleId::no_stock));
}

TEST_CASE("sections with a hole, or that stop short, are refused") {
  PlainJob job = job_with(straight_run());
  job.routes[0].sections = {{0, 100, 48, Runner::hose}, {101, 400, 48, Runner::hose}};
  CHECK(only_stop(job.proof(), RuleId::tangent_break));
  job.routes[0].sections = {{0, 399, 48, Runner::hose}};
  CHECK(only_stop(job.proof(), RuleId::tangent_break));
  job.routes[0].sections.clear();
  CHECK(only_stop(job.proof(), RuleId::tangent_break));
}

TEST_CASE("a kink of 1e-4 rad is refused and one of 1e-7 rad is not") {
  for (const double kink : {1e-4, 1e-7}) {
    const Centreline bent{
        {Straight{Vec3::Zero(), Vec3(200, 0, 0)},
         Straight{Vec3(200, 0, 0), Vec3(200 + 200 * std::cos(kink), 200 * std::sin(kink), 0)}}};
    CAPTURE(kink);
    const LineProof proof = job_with(bent).proof();
    CHECK(proof.proved == (kink == 1e-7));
    if (kink > 1e-6) CHECK(only_stop(proof, RuleId::tangent_break));
  }
}

TEST_CASE("pieces that do not meet are refused") {
  PlainJob job = job_with(straight_run());
  job.set_centreline(
      {{Straight{Vec3::Zero(), Vec3(200, 0, 0)}, Straight{Vec3(200.001, 0, 0), Vec3(400, 0, 0)}}});
  CHECK(only_stop(job.proof(), RuleId::tangent_break));
}

TEST_CASE("what is no curve is refused and not measured") {
  const double none = std::numeric_limits<double>::quiet_NaN();
  const Arc good{Vec3::Zero(), Vec3(0, 100, 0), Vec3::UnitZ(), 1.0};
  Arc not_unit = good;
  not_unit.normal *= 1.001;
  Arc not_square = good;
  not_square.normal = Vec3(0, 0.01, 1).normalized();
  Arc no_angle = good;
  no_angle.angle_rad = 0;
  Arc whole_turns = good;
  whole_turns.angle_rad = 7;
  Arc not_finite = good;
  not_finite.centre_mm.z() = none;
  const std::vector<Piece> bad{not_unit,
                               not_square,
                               no_angle,
                               whole_turns,
                               not_finite,
                               Straight{Vec3::Zero(), Vec3::Zero()},
                               Straight{Vec3::Zero(), Vec3(none, 0, 0)}};
  for (std::size_t i = 0; i < bad.size(); ++i) {
    CAPTURE(i);
    PlainJob job = job_with(straight_run());
    job.routes[0].centreline.pieces = {bad[i]};
    const LineProof proof = job.proof();
    REQUIRE(only_stop(proof, RuleId::tangent_break));
    CHECK(find(proof, RuleId::tangent_break)->parameters.at("reason") == "no_curve");
    CHECK(proof.distance_queries == 0);
  }
  PlainJob job = job_with(straight_run());
  job.routes[0].centreline.pieces.clear();
  CHECK(only_stop(job.proof(), RuleId::tangent_break));
}

TEST_CASE("ends off their necks in place or direction are refused") {
  for (const std::size_t neck : {0U, 1U}) {
    PlainJob job = job_with(straight_run());
    job.bay.necks[neck].end_mm += Vec3(0, 1e-4, 0);
    REQUIRE(only_stop(job.proof(), RuleId::end_mismatch));
    CHECK(find(job.proof(), RuleId::end_mismatch)->other == job.bay.necks[neck].name);
    job = job_with(straight_run());
    job.bay.necks[neck].outward = (job.bay.necks[neck].outward + Vec3(0, 1e-5, 0)).normalized();
    CHECK(only_stop(job.proof(), RuleId::end_mismatch));
  }
  PlainJob turned = job_with(straight_run());
  std::swap(turned.bay.lines[0].from, turned.bay.lines[0].to);
  CHECK(find(turned.proof(), RuleId::end_mismatch));
}

TEST_CASE("a hose not pushed on far enough is refused, a short spigot flagged") {
  PlainJob job = job_with(straight_run());
  job.routes[0].engagement_to_mm = 27.9;
  CHECK(only_stop(job.proof(), RuleId::engagement));
  job.routes[0].engagement_to_mm = 36;
  CHECK(job.proof().proved);
  CHECK(find(job.proof(), RuleId::engagement, Severity::flag));
  job = job_with(straight_run());
  job.bay.necks[0].straight = Length::mm(25);
  job.routes[0].engagement_from_mm = 25;
  CHECK(job.proof().proved);
  REQUIRE(find(job.proof(), RuleId::engagement, Severity::flag));
  CHECK(*find(job.proof(), RuleId::engagement, Severity::flag)->margin == Approx(-3));
}

TEST_CASE("a line must rise, fall or go one way as asked, at every pitch") {
  // Up a quarter turn and along rearward: at 5 deg the level 300 mm lean by 26 mm.
  const Centreline up_then_back = chain({Vec3::Zero(), Vec3(0, 0, 250), Vec3(400, 0, 250)}, 100);
  PlainJob job = job_with(up_then_back);
  const auto with_grade = [&](Grade grade) {
    job.bay.lines[0].line.grade = grade;
    return job.proof();
  };
  CHECK(with_grade(Grade::free).proved);
  CHECK(only_stop(with_grade(Grade::rise), RuleId::grade));
  CHECK(only_stop(with_grade(Grade::fall), RuleId::grade));
  CHECK(only_stop(with_grade(Grade::one_way), RuleId::grade));
  job = job_with(chain({Vec3::Zero(), Vec3(0, 0, 250), Vec3(200, 0, 300)}, 100));  // 14 deg up
  CHECK(with_grade(Grade::rise).proved);
  CHECK(with_grade(Grade::one_way).proved);
  CHECK(only_stop(with_grade(Grade::fall), RuleId::grade));
  job = job_with(straight_run());
  CHECK(with_grade(Grade::one_way).proved);
  CHECK(only_stop(with_grade(Grade::rise), RuleId::grade));
}

TEST_CASE("a hump is measured at the top of its arc") {
  // Closed form: an arch of radius R over +-theta with straight tangent legs stands R (1 - cos theta) above
  // the arc's ends.
  const auto arch = [](double theta) {
    const double rise = 200 * std::tan(theta);
    return chain({Vec3(0, 0, 0), Vec3(0, 200, rise), Vec3(0, 400, 0)}, 300);
  };
  const double theta = 0.1;
  const double top = 200 * std::tan(theta) - 300 * (1 / std::cos(theta) - 1);
  PlainJob job = job_with(arch(theta));
  job.bay.lines[0].line.grade = Grade::rise;
  REQUIRE(find(job.proof(), RuleId::grade));
  CHECK(*find(job.proof(), RuleId::grade)->measured ==
        Approx(top * std::cos(Angle::deg(5).rad())).epsilon(0.01));
  job.bay.lines[0].line.grade = Grade::free;
  job.bay.lines[0].line.duty = Duty::hot;
  REQUIRE(find(job.proof(), RuleId::grade, Severity::flag));
  CHECK(*find(job.proof(), RuleId::grade, Severity::flag)->measured == Approx(top).epsilon(1e-9));
  CHECK(job.proof().proved);
  job = job_with(arch(0.02));  // stands 3.9 mm
  job.bay.lines[0].line.duty = Duty::hot;
  CHECK_FALSE(find(job.proof(), RuleId::grade, Severity::flag));
}

TEST_CASE("a line outside known space is undecided and says along which stretch") {
  PlainJob job = job_with(straight_run());
  job.bay.known_space = {
      {Pose::translation({100, 0, 0}), {150, 24, 24}}};  // x from -50 to 250; hose radius 24
  const LineProof proof = job.proof();
  REQUIRE(only_stop(proof, RuleId::known_space));
  CHECK(proof.findings.size() == 1);
  const Finding* finding = find(proof, RuleId::known_space);
  CHECK(finding->undecided);
  CHECK(std::stod(finding->parameters.at("from_s_mm")) == Approx(250).margin(1.1));
  CHECK(std::stod(finding->parameters.at("to_s_mm")) == Approx(428).margin(0.1));
  job.bay.known_space.push_back({Pose::translation({400, 0, 0}), {150, 24, 24}});  // abuts at x = 250
  CHECK(job.proof().proved);
  job.bay.known_space.back().frame.origin_mm.x() += 0.01;
  CHECK_FALSE(job.proof().proved);
  job.bay.known_space = {{Pose::translation({200, 0, 0}), {300, 24, 23.9}}};
  CHECK_FALSE(job.proof().proved);
  job.bay.known_space = {
      {Pose{Eigen::AngleAxisd(0.3, Vec3::UnitX()).toRotationMatrix(), Vec3(200, 0, 0)}, {300, 40, 40}}};
  CHECK(job.proof().proved);
  job.bay.known_space.clear();
  REQUIRE(find(job.proof(), RuleId::known_space));
  CHECK(find(job.proof(), RuleId::known_space)->undecided);
}

TEST_CASE("a bend folded onto itself is refused even where the stock would allow it") {
  PlainJob job = job_with(chain({Vec3::Zero(), Vec3(100, 0, 0), Vec3(100, 150, 0)}, 26));
  stock(job).radii = {Length::mm(20)};
  CHECK(only_stop(job.proof(), RuleId::self_gap));
}
