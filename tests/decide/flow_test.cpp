// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/flow.h"

#include <catch2/catch.hpp>

#include "tests/support/box_job.h"

using namespace hosefit;

namespace {

PlacedNeck neck_of_bore(double bore_mm) {
  PlacedNeck neck;
  neck.bore = Length::mm(bore_mm);
  neck.outside_diameter = Length::mm(38);
  return neck;
}

Route elbow() {
  Route route;
  route.centreline = *centreline_of({{{0, 0, 0}, {100, 0, 0}, {100, 150, 0}}, {60}});
  return route;
}

HydraulicLine line_of(const Stock& stock) {
  return hydraulic_line("upper", elbow(), stock, neck_of_bore(34), neck_of_bore(36));
}

// The box bay with both hoses laid by hand as straights of a given length.
FlowAnswer flow_with(double length_mm) {
  const Job job = box_job::make();
  const BodyStore store(job);
  Candidate candidate;
  candidate.height = Length::mm(300);
  const Bay bay = assemble(job, store, candidate);
  std::vector<Route> routes(2);
  for (std::size_t i = 0; i < routes.size(); ++i) {
    routes[i].line = i;
    routes[i].stock = job.stock[0].id;
    routes[i].centreline.pieces = {Straight{{0, 0, 0}, {length_mm, 0, 0}}};
  }
  return *coolant_flow(job, bay, candidate, routes);
}

}  // namespace

TEST_CASE("coolant meets neck step, straight, bend, straight and neck step") {
  const HydraulicLine line = line_of(box_job::straight_hose());
  REQUIRE(line.elements.size() == 5);
  const BoreStep& in = std::get<BoreStep>(line.elements[0]);
  CHECK(in.from_bore == Length::mm(34));
  CHECK(in.to_bore == Length::mm(38));
  CHECK(std::get<StraightRun>(line.elements[1]).length.mm() == Approx(40));
  const Bend& bend = std::get<Bend>(line.elements[2]);
  CHECK(bend.turn.deg() == Approx(90));
  CHECK(bend.radius.mm() == Approx(60));
  CHECK(std::get<StraightRun>(line.elements[3]).length.mm() == Approx(90));
  CHECK(std::get<BoreStep>(line.elements[4]).to_bore == Length::mm(36));
  CHECK(check(line).empty());
}

TEST_CASE("a tube's own bore carries the coolant, not its coupler's") {
  Stock tube = box_job::straight_hose();
  tube.make = Make::bent_tube;
  tube.outside_diameter = Length::mm(38);
  tube.wall = Length::mm(1.5);
  CHECK(std::get<StraightRun>(line_of(tube).elements[1]).bore == Length::mm(35));
  CHECK(check(line_of(tube)).empty());
}

TEST_CASE("corrugated hose is one run over the whole centreline") {
  Stock corrugated = box_job::straight_hose();
  corrugated.corrugation_pitch = Length::mm(6);
  const HydraulicLine line = line_of(corrugated);
  REQUIRE(line.elements.size() == 3);
  CHECK(std::get<CorrugatedRun>(line.elements[1]).length.mm() == Approx(length_mm(elbow().centreline)));
}

TEST_CASE("a line met from its other end is its own reverse and leaves no step open") {
  const HydraulicLine line = line_of(box_job::straight_hose());
  const HydraulicLine back = reversed(line);
  CHECK(check(back).empty());
  CHECK(std::get<BoreStep>(back.elements[0]).from_bore == Length::mm(36));
  CHECK(std::get<BoreStep>(reversed(back).elements[0]).from_bore == Length::mm(34));
}

TEST_CASE("longer hoses never raise the flow") {
  const FlowAnswer close = flow_with(200);
  const FlowAnswer far = flow_with(2000);
  REQUIRE(close.points.size() == 2);
  REQUIRE(far.points.size() == 2);
  for (std::size_t i = 0; i < 2; ++i)
    CHECK(far.points[i].total.nominal().m3s() <= close.points[i].total.nominal().m3s() * (1 + 1e-9));
}

TEST_CASE("a missing line leaves no flow to tell") {
  const Job job = box_job::make();
  const BodyStore store(job);
  Candidate candidate;
  candidate.height = Length::mm(300);
  const Bay bay = assemble(job, store, candidate);
  CHECK_FALSE(coolant_flow(job, bay, candidate, std::vector<Route>(1)));
  CHECK_FALSE(coolant_flow(job, bay, candidate, std::vector<Route>(bay.lines.size())));  // none was found
}

TEST_CASE("an unsourced pump curve cannot flag a pump") {
  Job job = box_job::make();
  FlowAnswer flow = flow_with(200);
  for (OperatingPoint& point : flow.points) {
    point.suction_margin.nominal = Pressure::kpa(5);
    point.lines[1].velocity_m_s = 3.4;
    point.lines[1].velocity = velocity_grade(point.lines[1].duty, 3.4);
  }
  const auto findings = flow_findings(job, {}, flow);
  REQUIRE(findings.size() == 2);
  for (const Finding& f : findings) CHECK(f.severity == Severity::note);
  job.family.pumps[0].curve.provenance = {Source::shop, "", "the fitter", "measured on the bench"};
  for (const Finding& f : flow_findings(job, {}, flow)) CHECK(f.severity == Severity::flag);
  CHECK(*findings[0].margin == Approx(-0.4));   // 3.0 m/s on the suction side (from memory)
  CHECK(*findings[1].margin == Approx(-15.0));  // 20 kPa wanted (from memory)
}
