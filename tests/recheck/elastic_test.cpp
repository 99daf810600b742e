// SPDX-License-Identifier: GPL-3.0-or-later
// Check values: closed solutions and boundary values of the elastic rod, tests/rod/data (their sources
// there).
#include "solver/recheck/elastic.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdio>
#include <numbers>

#include "tests/support/check_table.h"

using namespace hosefit;
using namespace hosefit::test;
using recheck::M3;
using recheck::V3;

namespace {

constexpr double kDegree = std::numbers::pi / 180;
constexpr double kUnit_mm = 300;  // of length 1 in the tables

recheck::ElasticRod even(double length_mm) {
  return recheck::ElasticRod({{length_mm, 1, V3::Zero()}});
}
M3 heading(double degrees) {
  return Eigen::AngleAxisd(degrees * kDegree, V3::UnitZ()).toRotationMatrix();
}
// Where the rod's far end is clamped and which load holds it, as the row tells, in the frame of its first
// end.
struct Told {
  recheck::Frame far;
  recheck::RodLoad load;
  double length_mm = 0;
};
Told told(const CheckRow& row) {
  Told out;
  const double from_deg = row.number("angle0_deg");
  const M3 back = heading(from_deg).transpose();
  out.length_mm = kUnit_mm * row.number("length");
  out.far.at_mm = back * kUnit_mm * V3(row.number("x1"), row.number("y1"), 0);
  out.far.turn = back * heading(row.number("angle1_deg"));
  const V3 force(row.number("nx"), row.number("ny"), 0);
  out.load << back * force / (kUnit_mm * kUnit_mm), V3(0, 0, row.number("kappa_0") / kUnit_mm);
  return out;
}
std::vector<CheckRow> rows() {
  return check_table(HOSEFIT_TEST_DIR "/rod/data/elastica.csv");
}

}  // namespace

TEST_CASE("under the load of a check value the rod ends where the check value says", "[elastic]") {
  int seen = 0;
  for (const CheckRow& row : rows()) {
    if (row.text("group") == "d") continue;
    CAPTURE(row.text("id"));
    const Told want = told(row);
    const recheck::RodState state = even(want.length_mm).under(want.load);
    const recheck::Frame& end = state.ends.back();
    CHECK((end.at_mm - want.far.at_mm).norm() < 1e-4);
    CHECK(recheck::turn_between(end.turn, want.far.turn).norm() < 1e-5);
    double most = 0;
    for (std::size_t k = 0; k < state.ends.size(); ++k) most = std::max(most, state.curvature(k));
    CHECK(most * kUnit_mm == Approx(row.number("kappa_max")).epsilon(1e-3));
    ++seen;
  }
  CHECK(seen == 45);
}

// Twisting stiffness two thirds of bending stiffness, as in the rows' frames.
TEST_CASE("a rod that twists and bends in space ends where the check values say and is found again",
          "[elastic]") {
  const auto frames = check_table(HOSEFIT_TEST_DIR "/rod/data/elastica_spatial_frames.csv");
  const auto vec = [](const CheckRow& row, const std::string& name) {
    return V3(row.number(name + "x"), row.number(name + "y"), row.number(name + "z"));
  };
  int seen = 0;
  for (const CheckRow& row : rows()) {
    if (row.text("group") != "d") continue;
    CAPTURE(row.text("id"));
    const auto directors = std::find_if(frames.begin(), frames.end(),
                                        [&](const CheckRow& f) { return f.text("id") == row.text("id"); });
    REQUIRE(directors != frames.end());
    const auto frame = [&](const std::string& end) {
      M3 out;
      out.col(0) = vec(row, "t" + end);
      out.col(1) = vec(*directors, "d" + end);
      out.col(2) = out.col(0).cross(out.col(1));
      return out;
    };
    const M3 first = frame("0");
    const V3 end(row.number("x1"), row.number("y1"), row.number("z1"));
    const recheck::Frame far{first.transpose() * frame("1"), first.transpose() * end};
    recheck::RodLoad load;
    load << first.transpose() * vec(row, "n"), first.transpose() * vec(row, "m0");
    const recheck::ElasticRod rod = even(row.number("length"));
    const recheck::RodState state = rod.under(load);
    CHECK((state.ends.back().at_mm - far.at_mm).norm() < 1e-3);
    CHECK(recheck::turn_between(state.ends.back().turn, far.turn).norm() < 1e-5);
    CHECK(state.minimum);
    const auto found = rod.clamped(far, rod.under(0.97 * load));
    REQUIRE(found);
    CHECK((found->force - state.force).norm() < 1e-4 * state.force.norm());
    ++seen;
  }
  CHECK(seen == 7);
}

TEST_CASE(
    "a clamped rod is found again from a load a twentieth off, and is a minimum where the table says so",
    "[elastic]") {
  int stable = 0, unstable = 0;
  for (const CheckRow& row : rows()) {
    if (row.text("group") != "c" || row.text("stable_3d") == "neutral") continue;
    CAPTURE(row.text("id"));
    const Told want = told(row);
    const recheck::ElasticRod rod = even(want.length_mm);
    const auto state = rod.clamped(want.far, rod.under(0.95 * want.load));
    REQUIRE(state);
    CHECK((state->force - want.load.head<3>()).norm() < 1e-4 * want.load.head<3>().norm() + 1e-9);
    CHECK((state->moments.front() - want.load.tail<3>()).norm() < 1e-4 / kUnit_mm);
    CHECK(state->minimum == (row.text("stable_3d") == "yes"));
    (row.text("stable_3d") == "yes" ? stable : unstable) += 1;
  }
  std::printf("rods: %d stable, %d not\n", stable, unstable);
  CHECK(stable >= 10);
  CHECK(unstable >= 1);
}

// L. Euler: the load that a straight column clamped at both ends buckles under is 4 pi^2 EI / L^2.
TEST_CASE("a straight column is a minimum just under its buckling load and none just over it", "[elastic]") {
  const double length = 400, buckles = 4 * std::numbers::pi * std::numbers::pi / (length * length);
  // Bent by as little as gives the force along it something to work on.
  const auto minimum = [&](double share) {
    recheck::ElasticRod rod({{length, 1, V3::Zero()}});
    recheck::RodLoad load = recheck::RodLoad::Zero();
    load[0] = -share * buckles;
    load[5] = 1e-6;
    return rod.under(load).minimum;
  };
  CHECK(minimum(0.98));
  CHECK_FALSE(minimum(1.02));
}
