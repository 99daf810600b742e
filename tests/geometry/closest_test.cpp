// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/geometry/closest.h"

#include <catch2/catch.hpp>

#include "tests/support/check_table.h"
#include "tests/support/random_shapes.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

Vec3 point(const CheckRow& row, int first) {
  const auto cell = [&](int n) { return row.number((n < 10 ? "p0" : "p") + std::to_string(n)); };
  return {cell(first), cell(first + 1), cell(first + 2)};
}

ClosestPair answer(const CheckRow& row) {
  const std::string& kind = row.text("kind");
  if (kind == "point_triangle")
    return {point(row, 1),
            closest_on_triangle(point(row, 1), point(row, 4), point(row, 7), point(row, 10)).point_mm};
  if (kind == "segment_segment")
    return closest_segment_segment(point(row, 1), point(row, 4), point(row, 7), point(row, 10));
  if (kind == "segment_triangle")
    return closest_segment_triangle(point(row, 1), point(row, 4), point(row, 7), point(row, 10),
                                    point(row, 13));
  REQUIRE(kind == "point_arc");
  const Vec3 normal = point(row, 7).normalized();
  const Vec3 start = point(row, 10);
  const Vec3 radius = row.number("p13") * (start - start.dot(normal) * normal).normalized();
  const Arc arc{point(row, 4) + radius, point(row, 4), normal, row.number("p14") * std::numbers::pi / 180};
  return {point(row, 1), closest_on_arc(point(row, 1), arc)};
}

}  // namespace

// tests/geometry/data/distances.csv: closed forms in 50 digits, checked by brute-force minimisation.
TEST_CASE("closest points match the check values") {
  int checked = 0;
  for (const CheckRow& row : check_table(HOSEFIT_TEST_DIR "/geometry/data/distances.csv")) {
    if (row.text("kind") == "circle_circle") continue;
    CAPTURE(row.text("id"), row.text("name"));
    const ClosestPair found = answer(row);
    CHECK(found.distance_mm() == Approx(row.number("distance")).epsilon(0).margin(1e-9));
    if (row.text("pair_unique") == "yes") {
      CHECK((found.on_first_mm - Vec3(row.number("ax"), row.number("ay"), row.number("az"))).norm() < 1e-6);
      CHECK((found.on_second_mm - Vec3(row.number("bx"), row.number("by"), row.number("bz"))).norm() < 1e-6);
    }
    ++checked;
  }
  CHECK(checked == 68);
}

TEST_CASE("no point of a triangle is nearer than the closest one, and it is named by its part") {
  for (std::uint64_t task = 0; task < 200; ++task) {
    CAPTURE(task);
    Dice dice({4}, task);
    const Vec3 p = random_point(dice, 50), a = random_point(dice, 50), b = random_point(dice, 50),
               c = random_point(dice, 50);
    const TrianglePoint found = closest_on_triangle(p, a, b, c);
    const double d = (p - found.point_mm).norm();
    for (int i = 0; i <= 20; ++i)
      for (int j = 0; i + j <= 20; ++j)
        REQUIRE((a + i / 20.0 * (b - a) + j / 20.0 * (c - a) - p).norm() >= d - 1e-9);
    if (found.part == TrianglePart::face)
      CHECK(std::abs((p - found.point_mm).normalized().dot((b - a).normalized())) < 1e-6);
    if (found.part == TrianglePart::corner_b) CHECK((found.point_mm - b).norm() < 1e-12);
    if (found.part == TrianglePart::edge_bc)
      CHECK((found.point_mm - closest_on_segment(p, b, c)).norm() < 1e-9);
  }
}

TEST_CASE("a triangle without area counts as its edges") {
  const Vec3 a(0, 0, 0), b(10, 0, 0), c(4, 0, 0);
  CHECK((closest_on_triangle({7, 3, 0}, a, b, c).point_mm - Vec3(7, 0, 0)).norm() < 1e-12);
  CHECK((closest_on_triangle({-7, 3, 0}, a, b, c).point_mm - a).norm() < 1e-12);
  CHECK((closest_on_triangle({1, 2, 3}, a, a, a).point_mm - a).norm() < 1e-12);
}

TEST_CASE("no point of an arc is nearer than the closest one") {
  for (std::uint64_t task = 0; task < 100; ++task) {
    CAPTURE(task);
    Dice dice({4}, 1000 + task);
    const Pose frame = random_pose(dice, 30);
    const Arc arc{frame.point({dice.between(5, 60), 0, 0}), frame.origin_mm, frame.rotation.col(2),
                  dice.between(0.1, 6.2)};
    const Vec3 p = random_point(dice, 80);
    const Vec3 found = closest_on_arc(p, arc);
    const double length = length_mm(Piece(arc));
    double least = 1e9;
    for (int i = 0; i <= 2000; ++i)
      least = std::min(least, (point_at(Piece(arc), length * i / 2000) - p).norm());
    REQUIRE((found - p).norm() <= least + 1e-9);
    REQUIRE((found - p).norm() >= least - length / 2000);
  }
}
