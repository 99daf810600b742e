// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/geometry/centreline.h"

#include <catch2/catch.hpp>
#include <numbers>

#include "tests/support/check_table.h"
#include "tests/support/random_shapes.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

constexpr double kDegree = std::numbers::pi / 180;

// A chain whose legs are long enough for its bends.
FilletChain random_chain(Dice& dice) {
  FilletChain chain;
  Vec3 at = random_point(dice, 200);
  Vec3 along = random_direction(dice);
  chain.points_mm.push_back(at);
  const auto bends = 1 + dice.below(5);
  for (std::uint64_t i = 0; i <= bends; ++i) {
    at += dice.between(250, 400) * along;
    chain.points_mm.push_back(at);
    if (i < bends) chain.radii_mm.push_back(dice.between(30, 90));
    along = (along + 0.9 * random_direction(dice)).normalized();
  }
  return chain;
}

std::vector<std::vector<CheckRow>> check_chains() {
  std::vector<std::vector<CheckRow>> chains;
  for (const CheckRow& row : check_table(HOSEFIT_TEST_DIR "/geometry/data/fillet_chain.csv")) {
    if (row.text("kind") == "start") chains.emplace_back();
    chains.back().push_back(row);
  }
  return chains;
}

FilletChain chain_of(const std::vector<CheckRow>& rows) {
  FilletChain chain;
  for (const CheckRow& row : rows) {
    chain.points_mm.emplace_back(row.number("x"), row.number("y"), row.number("z"));
    if (row.text("kind") == "bend") chain.radii_mm.push_back(row.number("R"));
  }
  return chain;
}

}  // namespace

// tests/geometry/data/fillet_chain.csv: vector formulas in 30 digits, rebuilt by marching.
TEST_CASE("lengths and bend tables of fillet chains match the check values") {
  std::size_t bends = 0;
  for (const auto& rows : check_chains()) {
    CAPTURE(rows.front().text("chain_id"), rows.front().text("name"));
    const auto centreline = centreline_of(chain_of(rows));
    REQUIRE(centreline);
    CHECK(length_mm(*centreline) == Approx(rows.front().number("chain_total_length")).epsilon(1e-12));
    const BendTable table = bend_table(*centreline);
    std::size_t k = 0;
    double straight_through = 0;
    for (const CheckRow& row : rows) {
      if (row.text("kind") == "end")
        CHECK(table.last_straight_mm ==
              Approx(straight_through + row.number("feed")).epsilon(0).margin(1e-9));
      if (row.text("kind") != "bend") continue;
      if (row.number("bend_deg") == 0) {
        straight_through += row.number("feed");
        continue;
      }
      REQUIRE(k < table.rows.size());
      const BendRow& found = table.rows[k++];
      CHECK(found.feed_mm == Approx(straight_through + row.number("feed")).epsilon(0).margin(1e-8));
      CHECK(found.bend_rad == Approx(row.number("bend_deg") * kDegree).epsilon(0).margin(1e-12));
      CHECK(found.radius_mm == Approx(row.number("R")).epsilon(1e-9));
      // A bend of a few microradians fixes its plane only to about six digits less.
      CHECK(found.rotate_rad == Approx(row.number("rotation_deg") * kDegree)
                                    .epsilon(0)
                                    .margin(1e-9 / std::min(1.0, 10 * found.bend_rad)));
      straight_through = 0;
      ++bends;
    }
    CHECK(k == table.rows.size());
  }
  CHECK(bends > 40);
}

TEST_CASE("reversing a centreline changes neither its length nor its tightest bend, and swaps its ends") {
  for (std::uint64_t task = 0; task < 50; ++task) {
    CAPTURE(task);
    Dice dice({5}, task);
    const auto centreline = centreline_of(random_chain(dice));
    REQUIRE(centreline);
    const Centreline back = reversed(*centreline);
    CHECK(length_mm(back) == Approx(length_mm(*centreline)));
    CHECK(tightest_bend_mm(back).value() == Approx(tightest_bend_mm(*centreline).value()));
    CHECK((start_point(back) - end_point(*centreline)).norm() < 1e-9);
    CHECK((start_direction(back) + end_direction(*centreline)).norm() < 1e-9);
    const double s = dice.between(0, length_mm(back));
    CHECK((point_at(back, s) - point_at(*centreline, length_mm(back) - s)).norm() < 1e-8);
    const BendTable table = bend_table(*centreline);
    const BendTable table_back = bend_table(back);
    REQUIRE(table.rows.size() == table_back.rows.size());
    for (std::size_t i = 0; i < table.rows.size(); ++i)
      CHECK(table_back.rows[table.rows.size() - 1 - i].bend_rad == Approx(table.rows[i].bend_rad));
  }
}

TEST_CASE("a moved centreline is made by the same bend table") {
  for (std::uint64_t task = 100; task < 150; ++task) {
    CAPTURE(task);
    Dice dice({5}, task);
    const auto centreline = centreline_of(random_chain(dice));
    REQUIRE(centreline);
    const Pose pose = random_pose(dice, 500);
    const Centreline moved = transformed(*centreline, pose);
    const double s = dice.between(0, length_mm(moved));
    CHECK((point_at(moved, s) - pose.point(point_at(*centreline, s))).norm() < 1e-9);
    CHECK((direction_at(moved, s) - pose.direction(direction_at(*centreline, s))).norm() < 1e-9);
    const BendTable before = bend_table(*centreline);
    const BendTable after = bend_table(moved);
    REQUIRE(before.rows.size() == after.rows.size());
    for (std::size_t i = 0; i < before.rows.size(); ++i) {
      CHECK(after.rows[i].feed_mm == Approx(before.rows[i].feed_mm).epsilon(0).margin(1e-9));
      CHECK(after.rows[i].rotate_rad == Approx(before.rows[i].rotate_rad).epsilon(0).margin(1e-9));
      CHECK(after.rows[i].bend_rad == Approx(before.rows[i].bend_rad));
    }
  }
}

TEST_CASE("pieces join without a step or a kink, and arc length is path length") {
  for (std::uint64_t task = 200; task < 230; ++task) {
    CAPTURE(task);
    Dice dice({5}, task);
    const auto centreline = centreline_of(random_chain(dice));
    REQUIRE(centreline);
    for (std::size_t i = 0; i + 1 < centreline->pieces.size(); ++i) {
      const Piece& a = centreline->pieces[i];
      const Piece& b = centreline->pieces[i + 1];
      CHECK((point_at(a, length_mm(a)) - point_at(b, 0)).norm() < 1e-9);
      CHECK((direction_at(a, length_mm(a)) - direction_at(b, 0)).norm() < 1e-9);
    }
    const double length = length_mm(*centreline);
    double walked = 0;
    for (int i = 0; i < 20000; ++i)
      walked += (point_at(*centreline, length * (i + 1) / 20000) - point_at(*centreline, length * i / 20000))
                    .norm();
    CHECK(walked == Approx(length).epsilon(1e-6));
  }
}

TEST_CASE("a part of a centreline lies on it and the parts add up") {
  for (std::uint64_t task = 300; task < 330; ++task) {
    CAPTURE(task);
    Dice dice({5}, task);
    const auto centreline = centreline_of(random_chain(dice));
    REQUIRE(centreline);
    const double cut = dice.between(1, length_mm(*centreline) - 1);
    const Centreline first = part_of(*centreline, 0, cut);
    const Centreline second = part_of(*centreline, cut, length_mm(*centreline));
    CHECK(length_mm(first) == Approx(cut));
    CHECK(length_mm(first) + length_mm(second) == Approx(length_mm(*centreline)));
    const double s = dice.between(0, length_mm(second));
    CHECK((point_at(second, s) - point_at(*centreline, cut + s)).norm() < 1e-8);
  }
}

TEST_CASE(
    "a leg too short for its bends, a turn back on itself, and points in one place have no centreline") {
  CHECK_FALSE(centreline_of({{Vec3(0, 0, 0), Vec3(50, 0, 0), Vec3(50, 100, 0)}, {60}}));
  CHECK_FALSE(
      centreline_of({{Vec3(0, 0, 0), Vec3(100, 0, 0), Vec3(100, 90, 0), Vec3(200, 90, 0)}, {50, 50}}));
  CHECK_FALSE(centreline_of({{Vec3(0, 0, 0), Vec3(100, 0, 0), Vec3(20, 0, 0)}, {10}}));
  CHECK_FALSE(centreline_of({{Vec3(0, 0, 0), Vec3(0, 0, 0), Vec3(20, 0, 0)}, {10}}));
  CHECK(centreline_of({{Vec3(0, 0, 0), Vec3(100, 0, 0), Vec3(100, 100, 0), Vec3(200, 100, 0)}, {50, 50}}));
}
