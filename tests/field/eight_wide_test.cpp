// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/field/eight_wide.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <cstring>
#include <limits>

#include "solver/field/box_rows.h"
#include "solver/field/obstacle_index.h"
#include "solver/field/surface_index.h"
#include "solver/geometry/closest.h"
#include "tests/support/random_shapes.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

constexpr float kInfinity = std::numeric_limits<float>::infinity();

float any_float(Dice& dice, double half_size) {
  return static_cast<float>(dice.between(-half_size, half_size));
}

eight::Boxes any_boxes(Dice& dice) {
  eight::Boxes boxes;
  for (int i = 0; i < eight::kWide; ++i) {
    const bool used = dice.below(5) > 0;
    for (int k = 0; k < 3; ++k) {
      boxes.low[k][i] = used ? any_float(dice, 100) : kInfinity;
      boxes.high[k][i] = used ? boxes.low[k][i] + static_cast<float>(dice.between(0, 80)) : kInfinity;
    }
  }
  return boxes;
}

// As the index packs them: now and then a needle, a point, or one whose normal means nothing.
eight::Triangles any_triangles(Dice& dice) {
  eight::Triangles t;
  for (int i = 0; i < eight::kWide; ++i) {
    const Vec3 a = random_point(dice, 100), ab = dice.below(9) == 0 ? Vec3::Zero() : random_point(dice, 30);
    const Vec3 ac = dice.below(9) == 0   ? Vec3(0.5 * ab)
                    : dice.below(9) == 0 ? Vec3(0.3 * ab + 1e-3 * random_point(dice, 30))
                                         : random_point(dice, 30);
    for (int k = 0; k < 3; ++k) {
      t.a[k][i] = static_cast<float>(a[k]);
      t.ab[k][i] = static_cast<float>(ab[k]);
      t.ac[k][i] = static_cast<float>(ac[k]);
    }
  }
  return t;
}

bool same_bits(const eight::Row& a, const eight::Row& b) {
  return std::memcmp(a, b, sizeof(eight::Row)) == 0;
}

}  // namespace

TEST_CASE("AVX2 code measures boxes and triangles as plain code does, to the last bit") {
  const eight::Kernels* fast = eight::avx2();
  CHECK(&eight::best() == (fast ? fast : &eight::kPlain));
  if (!fast) return;
  Dice dice({71}, 0);
  for (int i = 0; i < 20000; ++i) {
    const float p[3] = {any_float(dice, 150), any_float(dice, 150), any_float(dice, 150)};
    const float most = i % 7 == 0 ? kInfinity : static_cast<float>(dice.between(0, 20000));
    eight::Row plain, other;
    const eight::Boxes boxes = any_boxes(dice);
    const unsigned near = eight::kPlain.box_distances(boxes, p, most, plain);
    REQUIRE(fast->box_distances(boxes, p, most, other) == near);
    REQUIRE(same_bits(plain, other));
    const eight::Triangles triangles = any_triangles(dice);
    const unsigned near_triangles = eight::kPlain.triangle_distances(triangles, p, most, plain);
    REQUIRE(fast->triangle_distances(triangles, p, most, other) == near_triangles);
    REQUIRE(same_bits(plain, other));
  }
}

TEST_CASE("boxes are marked that are used and near enough, with their squared distance") {
  Dice dice({71}, 1);
  for (int i = 0; i < 2000; ++i) {
    const eight::Boxes boxes = any_boxes(dice);
    const float p[3] = {any_float(dice, 150), any_float(dice, 150), any_float(dice, 150)};
    const float most = i % 3 == 0 ? kInfinity : static_cast<float>(dice.between(0, 20000));
    eight::Row d2;
    const unsigned near = eight::kPlain.box_distances(boxes, p, most, d2);
    for (int lane = 0; lane < eight::kWide; ++lane) {
      const bool used = boxes.low[0][lane] < kInfinity;
      REQUIRE((near >> lane & 1U) == (used && d2[lane] <= most ? 1U : 0U));
      if (!used) continue;
      AxisBox box;
      for (int k = 0; k < 3; ++k) {
        box.min()[k] = boxes.low[k][lane];
        box.max()[k] = boxes.high[k][lane];
      }
      REQUIRE(d2[lane] ==
              Approx(box.squaredExteriorDistance(Vec3(p[0], p[1], p[2]))).epsilon(1e-5).margin(1e-6));
    }
  }
}

// A bay's worth of sizes and distances, triangles down to a billionth of their length wide, half of the
// points close by.
TEST_CASE("triangles of any size and thinness are measured to 0.0005 mm") {
  Dice dice({71}, 4);
  double worst_mm = 0;
  for (int i = 0; i < 20000; ++i) {
    eight::Triangles t{};
    Vec3 corners[eight::kWide][3];
    for (int lane = 0; lane < eight::kWide; ++lane) {
      const double length =
          1500 * std::pow(10.0, dice.below(4) == 0 ? dice.between(-18, -4) : dice.between(-4, 0));
      const Vec3 a = random_point(dice, 500), ab = length * random_direction(dice);
      const double width = length * std::pow(10.0, dice.between(-9, 0));
      Vec3 ac = dice.between(-0.2, 1.2) * ab + width * ab.cross(random_direction(dice)).normalized();
      if (dice.below(3) == 0) ac = static_cast<double>(dice.below(2)) * ab + width * random_direction(dice);
      corners[lane][0] = a;
      corners[lane][1] = a + ab;
      corners[lane][2] = a + ac;
      for (int k = 0; k < 3; ++k) {
        t.a[k][lane] = static_cast<float>(a[k]);
        t.ab[k][lane] = static_cast<float>(ab[k]);
        t.ac[k][lane] = static_cast<float>(ac[k]);
      }
    }
    const Vec3* one = corners[i % eight::kWide];
    const Vec3 p = i % 2 == 0 ? random_point(dice, 1000)
                              : one[0] + dice.unit() * (one[1] - one[0]) + random_point(dice, 15);
    const float at[3] = {static_cast<float>(p.x()), static_cast<float>(p.y()), static_cast<float>(p.z())};
    eight::Row d2;
    eight::kPlain.triangle_distances(t, at, kInfinity, d2);
    for (int lane = 0; lane < eight::kWide; ++lane) {
      const Vec3* c = corners[lane];
      const double exact = (closest_on_triangle(p, c[0], c[1], c[2]).point_mm - p).norm();
      const double off = std::abs(std::sqrt(static_cast<double>(d2[lane])) - exact);
      REQUIRE(off <= 0.0005);
      worst_mm = std::max(worst_mm, off);
    }
  }
  CHECK(worst_mm > 1e-5);  // floats
}

TEST_CASE("triangles so small that floats lose their area are measured all the same") {
  for (double size = 1; size > 1e-16; size *= 0.83) {
    CAPTURE(size);
    eight::Triangles t{};
    for (int lane = 0; lane < eight::kWide; ++lane) {
      t.ab[0][lane] = static_cast<float>(size);
      t.ac[1][lane] = static_cast<float>(size);
    }
    const float inside[3] = {static_cast<float>(size / 4), static_cast<float>(size / 4), 10};
    eight::Row d2;
    for (const eight::Kernels* kernels : {&eight::kPlain, &eight::best()}) {
      kernels->triangle_distances(t, inside, kInfinity, d2);
      for (const float lane : d2) REQUIRE(std::sqrt(static_cast<double>(lane)) == Approx(10).epsilon(1e-6));
    }
  }
}

TEST_CASE("the index finds the same with plain loops as with the processor's own") {
  Dice dice({71}, 2);
  for (std::uint64_t task = 0; task < 8; ++task) {
    const TriangleMesh mesh = tessellate(random_shape(dice, task, 200), 0.05);
    const SurfaceIndex index(mesh, true);
    for (int i = 0; i < 200; ++i) {
      const Vec3 p = random_point(dice, 400);
      const double within = i % 2 == 0 ? std::numeric_limits<double>::infinity() : dice.between(0, 200);
      const auto plain = index.nearest_with(eight::kPlain, p, within), fast = index.nearest(p, within);
      REQUIRE(plain.has_value() == fast.has_value());
      if (!plain) continue;
      REQUIRE(plain->distance_mm == fast->distance_mm);
      REQUIRE(plain->triangle == fast->triangle);
      REQUIRE(plain->point_mm == fast->point_mm);
    }
  }
}

TEST_CASE("rows of boxes leave out none that is near enough and few that are not") {
  Dice dice({71}, 3);
  for (int round = 0; round < 60; ++round) {
    std::vector<AxisBox> boxes(1 + dice.below(40));
    for (AxisBox& box : boxes) {
      if (dice.below(8) == 0) continue;  // stays empty
      box.extend(random_point(dice, 1500));
      box.extend(Vec3(box.min() + Vec3::Constant(150) + random_point(dice, 149)));
    }
    const BoxRows rows(boxes);
    for (int i = 0; i < 100; ++i) {
      const Vec3 p = random_point(dice, 2000);
      const double within = i % 10 == 0 ? std::numeric_limits<double>::infinity() : dice.between(-50, 1500);
      std::vector<bool> visited(boxes.size());
      rows.for_each_within(
          p, [&] { return within; }, [&](std::size_t k) { visited[k] = true; });
      double least = std::numeric_limits<double>::infinity();
      for (std::size_t k = 0; k < boxes.size(); ++k) {
        const double d = box_distance_mm(boxes[k], p);
        const bool near = d < std::numeric_limits<double>::infinity() && d <= std::max(within, 0.0);
        if (near) REQUIRE(visited[k]);
        if (visited[k]) REQUIRE(d <= std::max(within, 0.0) + 0.01);
        if (near) least = std::min(least, d);
      }
      const auto nearest = rows.nearest(p, within);
      if (least < std::numeric_limits<double>::infinity()) {
        REQUIRE(nearest);
        REQUIRE(box_distance_mm(boxes[*nearest], p) == Approx(least).epsilon(0).margin(0.005));
      } else if (nearest) {
        REQUIRE(box_distance_mm(boxes[*nearest], p) <= std::max(within, 0.0) + 0.01);
      }
    }
  }
}
