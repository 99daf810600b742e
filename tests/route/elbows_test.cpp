// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/elbows.h"

#include <catch2/catch.hpp>

#include "tests/route/bays.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

RunProblem problem_between(const PlacedNeck& from, const PlacedNeck& to) {
  RunProblem problem;
  problem.rules = bend_rules(elbow_set(), from, to);
  problem.start = {from.end_mm, from.outward};
  problem.goal = {to.end_mm, -to.outward};
  problem.radius_mm = problem.rules.radii_mm.front();
  return problem;
}

bool is_on_sale(double angle_rad) {
  for (const Angle angle : elbow_set().angles)
    if (std::abs(angle.rad() - angle_rad) < 1e-7) return true;
  return false;
}

}  // namespace

TEST_CASE("every chain of elbows ends exactly at the neck with angles on sale") {
  int chains = 0;
  for (std::uint64_t task = 0; task < 12; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{8}, task);
    const PlacedNeck from = neck("a", Vec3::Zero(), any_direction(dice));
    const PlacedNeck to = neck("b", dice.between(350, 600) * any_direction(dice), any_direction(dice));
    const RunProblem problem = problem_between(from, to);
    Work work(1000000, {});
    const std::vector<ElbowSolution> found = elbow_chains(problem, elbow_set(), work);
    for (std::size_t i = 0; i < found.size(); i += 1 + found.size() / 40) {
      const std::optional<Centreline> line = centreline_of(chain_of(problem, found[i].bends));
      REQUIRE(line);
      CHECK((end_point(*line) - to.end_mm).norm() < 1e-6);
      CHECK((end_direction(*line) + to.outward).norm() < 1e-7);
      CHECK((start_direction(*line) - from.outward).norm() < 1e-7);
      for (const BendRow& row : bend_table(*line).rows) CHECK(is_on_sale(row.bend_rad));
      CHECK(length_mm(*line) == Approx(found[i].length_mm).margin(1e-5));
      ++chains;
    }
  }
  CHECK(chains > 100);
}

TEST_CASE("two elbows that are known to join two necks are among the chains") {
  for (std::uint64_t task = 0; task < 20; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{9}, task);
    // Drawn forwards: 90 then 45 deg with any roll between, 100 mm before, 150 mm between, 90 mm after.
    const Vec3 d = any_direction(dice);
    const Vec3 u = any_perpendicular(d);
    const Vec3 w = u.cross(any_direction(dice)).normalized();
    const Vec3 e = (u + w).normalized();
    const double t1 = 48, t2 = 48 * std::tan(Angle::deg(22.5).rad());
    const Vec3 first = (100 + t1) * d, second = first + (t1 + 150 + t2) * u, end = second + (t2 + 90) * e;
    const PlacedNeck from = neck("a", Vec3::Zero(), d), to = neck("b", end, -e);
    Work work(1000000, {});
    const std::vector<ElbowSolution> found = elbow_chains(problem_between(from, to), elbow_set(), work);
    const bool met = std::any_of(found.begin(), found.end(), [&](const ElbowSolution& s) {
      return s.bends.size() == 2 && (s.bends[0] - first).norm() < 1e-6 && (s.bends[1] - second).norm() < 1e-6;
    });
    CHECK(met);
  }
}

TEST_CASE("pieces of an elbow chain add up to the centreline, engagements and joiner gaps") {
  const PlacedNeck from = neck("a", Vec3::Zero(), Vec3::UnitX());
  // 90 deg up after 60 mm, 400 mm between, 90 deg across: the straight between is too long for two legs.
  const PlacedNeck to = neck("b", Vec3(108, 108, 496), Vec3(0, -1, 0) * -1);
  const BendRules rules = bend_rules(elbow_set(), from, to);
  const auto line =
      centreline_of({{Vec3::Zero(), Vec3(108, 0, 0), Vec3(108, 0, 496), Vec3(108, 108, 496)}, {48, 48}});
  REQUIRE(line);
  const Assembly assembly = assembly_of(elbow_set(), rules, *line);
  double hose = 0, joiners = 0;
  for (const StockPiece& piece : assembly.pieces)
    (piece.stock == "joiner" ? joiners : hose) += piece.stock == "joiner" ? 1 : piece.cut_length_mm;
  CHECK(joiners == 2);
  CHECK(assembly.joints == 6);
  CHECK(hose == Approx(length_mm(*line) + 2 * 28 - joiners * kJoinerGap_mm));
  REQUIRE(assembly.pieces.size() == 5);
  CHECK(assembly.pieces[0].what == "elbow 90 deg");
  CHECK(assembly.pieces[2].what == "straight hose");
  REQUIRE(assembly.pieces[4].clock_rad);
  CHECK(std::abs(*assembly.pieces[4].clock_rad) == Approx(std::numbers::pi / 2));
  CHECK(assembly.pieces[0].cut_length_mm <= 2 * (152 - 48) + 48 * std::numbers::pi / 2);  // both legs as sold
}

TEST_CASE("two elbows too close for a joiner cannot be made") {
  const PlacedNeck n = neck("a", Vec3::Zero(), Vec3::UnitX());
  const BendRules rules = bend_rules(elbow_set(), n, n);
  const double right = std::numbers::pi / 2;
  CHECK_FALSE(joiners_needed(elbow_set(), rules, {{60, 59.9, 60}, {right, right}}));
  CHECK(joiners_needed(elbow_set(), rules, {{60, 60.1, 60}, {right, right}}) == 1);
  // A leg of 152 mm is 104 mm straight: 76 mm beyond the arc with 28 mm on the neck.
  CHECK(joiners_needed(elbow_set(), rules, {{76, 100, 60}, {right, right}}) == 1);
  CHECK(joiners_needed(elbow_set(), rules, {{77, 100, 60}, {right, right}}) == 2);
}
