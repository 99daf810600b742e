// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/paper/radiator_matter.h"

#include <catch2/catch.hpp>
#include <numbers>

#include "solver/paper/radiator_words.h"
#include "tests/paper/radiator_job.h"

using namespace hosefit;

namespace {

RadiatorMatter matter_of(const RadiatorCase& c) {
  Result<RadiatorMatter> matter = radiator_matter(c.job, c.result);
  REQUIRE(matter);
  return *std::move(matter);
}

void set_core(Job& job, const Shape& shape) {
  Body chassis = *job.vehicle.chassis;
  chassis.obstacles[0].shape = shape;
  job.vehicle.chassis = std::make_shared<const Body>(std::move(chassis));
}

void check_near(const Vec3& a, const Vec3& b) {
  CAPTURE(a.transpose(), b.transpose());
  CHECK((a - b).norm() < 1e-9);
}

std::string figure(const RadiatorMatter& matter, const std::string& what, std::size_t neck, LengthUnit unit) {
  for (const NeckRow& row : neck_rows(matter, 0, matter.necks.size(), unit))
    if (row.what == what) return row.figures[neck];
  return "no such row";
}

}  // namespace

TEST_CASE("places of necks are told from the core's left edge, lower edge and face") {
  const RadiatorMatter matter = matter_of(radiator_case());
  REQUIRE(matter.necks.size() == 2);
  check_near(matter.core_mm, {500, 500, 60});
  check_near(matter.necks[0].end_mm, {350, 400, 70});
  check_near(matter.necks[1].end_mm, {150, 100, 70});
  check_near(matter.necks[0].outward, Vec3::UnitZ());
  CHECK(matter.leans.rad() == 0);
  CHECK(matter.necks[0].lines == std::vector<std::string>{"upper"});
  CHECK(figure(matter, "From A, right", 0, LengthUnit::mm) == "350.0");
  CHECK(figure(matter, "From B, up", 1, LengthUnit::mm) == "100.0");
  CHECK(figure(matter, "From C, out", 1, LengthUnit::inch) == "70.0 [2.76]");
  CHECK(figure(matter, "Bore \xC3\x98", 0, LengthUnit::mm) == "34.0");
  CHECK(figure(matter, "Direction", 0, LengthUnit::mm) == "square to C");
  CHECK(figure(matter, "Moved", 0, LengthUnit::mm) == "as written");
}

TEST_CASE(
    "a neck that is moved is told at its new place, with what goes along, and by how much it is moved") {
  const RadiatorMatter matter = matter_of(moved_case());
  REQUIRE(matter.necks[0].moved);
  check_near(matter.necks[0].end_mm, {410, 400, 70});
  check_near(matter.necks[0].written_mm, {350, 400, 70});
  CHECK(moved_words(matter.necks[0], LengthUnit::mm) == "60.0 mm to the right");
  CHECK_FALSE(matter.necks[1].moved);
  CHECK(moved_words(matter.necks[1], LengthUnit::mm).empty());
  REQUIRE(matter.solids.size() == 2);
  check_near(std::get<CylinderShape>(matter.solids[1].shape).a_mm, {410, 400, 0});
  REQUIRE(matter.before.size() == 1);
  check_near(std::get<CylinderShape>(matter.before[0].shape).b_mm, {350, 400, 35});
}

TEST_CASE("a place is not drawn while a line of its neck is not proved") {
  RadiatorCase c = moved_case();
  c.result.proof.lines[0].proved = false;
  const RadiatorMatter held = matter_of(c);
  CHECK(held.necks[0].held_back_by == "upper");
  CHECK_FALSE(held.necks[0].moved);
  check_near(held.necks[0].end_mm, {350, 400, 70});
  check_near(std::get<CylinderShape>(held.solids[1].shape).a_mm, {350, 400, 0});
  CHECK(held.before.empty());
  CHECK(figure(held, "Moved", 0, LengthUnit::mm).find("upper is not proved") != std::string::npos);
  c.result.proof.lines.clear();
  CHECK(matter_of(c).necks[0].held_back_by == "upper");
  // The other line bears on the other neck only.
  RadiatorCase other = moved_case();
  other.result.proof.lines[1].proved = false;
  CHECK(matter_of(other).necks[0].moved);
}

TEST_CASE("a core that leans is dimensioned square to itself") {
  RadiatorCase c = radiator_case();
  BoxShape core = std::get<BoxShape>(c.job.vehicle.chassis->obstacles[0].shape);
  core.frame.rotation = Eigen::AngleAxisd(10 * std::numbers::pi / 180, Vec3::UnitY()).toRotationMatrix();
  set_core(c.job, core);
  c.job.vehicle.necks[0].end_mm.value = core.frame.point({30 + 70, 100, 150});
  c.job.vehicle.necks[0].outward = core.frame.direction(Vec3::UnitX());
  const RadiatorMatter matter = matter_of(c);
  CHECK(matter.leans.deg() == Approx(10));
  check_near(matter.necks[0].end_mm, {350, 400, 70});
  CHECK(lean_of(matter.necks[0].outward).by.rad() == 0);
  CHECK(lean_of(matter.necks[1].outward).by.deg() == Approx(10));
}

TEST_CASE("a core at the side is seen from the engine all the same") {
  // Right of the engine, its thin way across the vehicle: seen from there X goes to the right.
  RadiatorCase c = radiator_case();
  BoxShape core;
  core.frame.origin_mm = {300, 500, 550};
  core.half_size_mm = {200, 30, 250};
  set_core(c.job, core);
  c.job.vehicle.necks[0].end_mm.value = {120, 400, 700};
  const RadiatorMatter matter = matter_of(c);
  check_near(matter.core_mm, {400, 500, 60});
  check_near(matter.necks[0].end_mm, {20, 400, 70});
  check_near(matter.frame.direction(Vec3::UnitZ()), -Vec3::UnitY());
}

TEST_CASE("a core that is no box is taken by the box around it, and the drawing says so") {
  RadiatorCase c = radiator_case();
  set_core(c.job, CylinderShape{{-90, 0, 550}, {-30, 0, 550}, 250});
  const RadiatorMatter matter = matter_of(c);
  CHECK_FALSE(matter.core_is_box);
  check_near(matter.necks[0].end_mm, {350, 400, 70});
  const auto told = [](const std::vector<std::string>& notes, const std::string& what) {
    return std::any_of(notes.begin(), notes.end(),
                       [&](const std::string& note) { return note.find(what) != std::string::npos; });
  };
  CHECK(told(note_words(matter), "no box"));
  CHECK_FALSE(told(note_words(matter_of(radiator_case())), "no box"));
}

TEST_CASE("without a core there is nothing to dimension from, and that is a problem of the input") {
  RadiatorCase c = radiator_case();
  c.job.vehicle.radiator.obstacles.clear();
  const Result<RadiatorMatter> matter = radiator_matter(c.job, c.result);
  REQUIRE_FALSE(matter);
  CHECK(matter.problems()[0].path == "radiator.core");
}

TEST_CASE("a neck's lean is counted from square out of the face, and clockwise from up") {
  const auto lean = [](const Vec3& outward) { return lean_of(outward.normalized()); };
  CHECK(lean({0, 0, 1}).by.rad() == 0);
  CHECK(lean({0, 0.0005, 1}).by.rad() == 0);
  CHECK(lean({0, 0.002, 1}).by.deg() == Approx(0.1146).epsilon(0.001));
  CHECK(lean({1, 0, 1}).by.deg() == Approx(45));
  CHECK(lean({1, 0, 1}).towards.deg() == Approx(90));
  CHECK(lean({0, -1, 0}).by.deg() == Approx(90));
  CHECK(lean({0, -1, 0}).towards.deg() == Approx(180));
  CHECK(lean({-1, 1, 0}).towards.deg() == Approx(315));
  CHECK(lean({0, 1, 1}).towards.deg() == Approx(0).margin(1e-9));
}

TEST_CASE("every verdict but fits is told in capitals on the drawing") {
  RadiatorCase c = radiator_case();
  CHECK(not_proved_words(c.result).empty());
  for (const Fit fit : {Fit::undecided, Fit::does_not_fit, Fit::passage_no_stock}) {
    c.result.verdict.fit = fit;
    CHECK(not_proved_words(c.result).find("THIS IS NO ORDER") != std::string::npos);
  }
}

TEST_CASE("the drawing says whether there was a place to choose") {
  const RadiatorCase plain = radiator_case();
  CHECK(standing_words(plain.job, matter_of(plain)) == "As it stands: no neck to choose");
  RadiatorCase moved = moved_case();
  CHECK(standing_words(moved.job, matter_of(moved)) == "Necks elsewhere than written, to be ordered");
  moved.result.necks.clear();
  CHECK(standing_words(moved.job, matter_of(moved)) == "Necks stay where they are written");
}
