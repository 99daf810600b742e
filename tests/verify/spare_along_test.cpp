// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/spare_along.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "solver/verify/required_along.h"
#include "tests/verify/plain_bay.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

std::vector<SpareStretch> along(const PlainJob& job, std::size_t at, const LineProof* proof,
                                const SpareOptions& options = {}) {
  return spare_along(job.bay, ProofBodies(job.bay), job.routes, at, job.gaps, job.stock, proof, options);
}

bool has_no_holes(const std::vector<SpareStretch>& all, const Route& route) {
  double s = -route.engagement_from_mm;
  for (const SpareStretch& stretch : all) {
    if (std::abs(stretch.from_s_mm - s) > 1e-9) return false;
    s = stretch.to_s_mm;
  }
  return std::abs(s - length_mm(route.centreline) - route.engagement_to_mm) < 1e-9;
}

}  // namespace

TEST_CASE("beside a sloping rod the spare gap along a hose is the closed form less radius and gap required") {
  PlainJob job;
  job.add_line(straight_run());
  // A rod above the hose that comes nearer by 1 mm in 20.
  job.add_obstacle("rod", CapsuleShape{{-100, 0, 65}, {500, 0, 35}, 5});
  const std::vector<SpareStretch> all = along(job, 0, nullptr, {1.0, 50.0});
  REQUIRE(has_no_holes(all, job.routes[0]));
  const double slope = std::atan2(30.0, 600.0);
  const auto spare = [&](double s) {
    return (65 - 0.05 * (s + 100)) * std::cos(slope) - 5 - kHoseOutside_mm / 2 - kSmoothGap_mm;
  };
  for (const SpareStretch& stretch : all) {
    CAPTURE(stretch.from_s_mm);
    CHECK(stretch.found_mm ==
          Approx(std::min(spare(stretch.from_s_mm), spare(stretch.to_s_mm))).margin(1e-6));
    CHECK(stretch.at_least_mm <= stretch.found_mm);
    CHECK(stretch.at_least_mm >= stretch.found_mm - 0.5);
  }
}

TEST_CASE("no place along a hose has less spare gap than is told of its stretch") {
  PlainJob job;
  job.add_line(corner_run());
  job.add_obstacle("ball", SphereShape{{150, 60, 20}, 20});
  job.add_obstacle("post", CylinderShape{{300, 120, -80}, {310, 130, 80}, 12});
  job.add_obstacle("near post", CylinderShape{{250, 40, 30}, {260, 90, 60}, 4});
  const ProofBodies bodies(job.bay);
  const auto& obstacles = job.bay.bodies[0].body->obstacles;
  int below_most = 0;
  for (const SpareStretch& stretch : along(job, 0, nullptr)) {
    if (stretch.from_s_mm < 0 || stretch.to_s_mm > length_mm(job.routes[0].centreline)) continue;
    for (double s = stretch.from_s_mm; s <= stretch.to_s_mm; s += 0.1) {
      double spare = 10;
      for (std::size_t o = 0; o < obstacles.size(); ++o)
        spare = std::min(spare, bodies.distance_mm({0, o}, point_at(job.routes[0].centreline, s)) -
                                    kHoseOutside_mm / 2 - kSmoothGap_mm);
      CAPTURE(s);
      REQUIRE(stretch.at_least_mm <= spare + 1e-9);
      below_most += spare < 10;
    }
  }
  CHECK(below_most > 300);
}

TEST_CASE("a proved line's tightest stretch is as tight as the proof says, and none is tighter") {
  PlainJob job;
  job.add_line(corner_run());
  job.add_obstacle("ball", SphereShape{{120, 50, 20}, 16});
  job.add_line(chain({Vec3(60, 0, 80), Vec3(400, 0, 80)}, 0));
  const ProofReport proof = job.prove_all();
  for (const LineProof& line : proof.lines)
    for (const Finding& finding : line.findings)
      UNSCOPED_INFO(finding.subject << " " << word(finding.rule) << " " << finding.other << " "
                                    << finding.margin.value_or(0));
  REQUIRE(proof.lines[0].proved);
  for (const std::size_t line : {0U, 1U}) {
    double proved = 10, told = 10;
    for (const GapRecord& gap : proof.lines[line].gaps)
      proved = std::min(proved, gap.found_mm - gap.required_mm);
    for (const SpareStretch& stretch : along(job, line, &proof.lines[line]))
      told = std::min(told, stretch.at_least_mm);
    CAPTURE(line);
    CHECK(told >= proved - 1e-9);
    CHECK(told <= proved + 0.5);
  }
}

TEST_CASE("a part of a line that asks for a larger gap is told with less to spare") {
  PlainJob job;
  job.add_line(straight_run());
  job.add_obstacle("plate", plate_above(40));
  job.routes[0].sections = {{0, 200, kHoseOutside_mm, Runner::hose},
                            {200, 400, kHoseOutside_mm, Runner::clamp}};
  const double clamp_gap = job.gaps.row(Runner::clamp, Hazard::smooth_metal, true).at_rest.mm();
  REQUIRE(clamp_gap > kSmoothGap_mm);
  for (const SpareStretch& stretch : along(job, 0, nullptr, {1.0, 50.0})) {
    if (stretch.from_s_mm < 0 || stretch.to_s_mm > 400) continue;
    const double required = stretch.to_s_mm <= 200 ? kSmoothGap_mm : clamp_gap;
    CHECK(stretch.found_mm == Approx(40 - kHoseOutside_mm / 2 - required).margin(1e-6));
  }
}
