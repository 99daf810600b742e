// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/paper/tiling.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <set>

using namespace hosefit;

namespace {

// A long S of two bends in one plane, `scale` times 300 mm wide.
BendPlane long_s(double scale) {
  FilletChain chain;
  chain.points_mm = {
      {0, 0, 0}, {scale * 300, 0, 0}, {scale * 400, scale * 350, 0}, {scale * 900, scale * 420, 0}};
  chain.radii_mm = {scale * 60, scale * 60};
  return bend_planes(*centreline_of(chain)).front();
}

Eigen::AlignedBox2d field_of(const Tiling& tiling, const Tile& tile) {
  return {tile.from_mm, tile.from_mm + tiling.field_mm};
}

}  // namespace

TEST_CASE("paper has the sizes of its standard") {
  // ISO 216:2007, table 1: A4 210 x 297 mm. ANSI/ASME Y14.1: size A 8.5 x 11 in.
  CHECK(size_mm(Paper::a4) == Vec2(210, 297));
  CHECK(size_mm(Paper::letter).x() == Approx(215.9));
  CHECK(size_mm(Paper::letter).y() == Approx(279.4));
}

TEST_CASE("every place of the tube's outside lies on a sheet, and neighbours overlap") {
  for (const double scale : {0.2, 0.5, 1.0, 1.7})
    for (const Paper paper : {Paper::a4, Paper::letter}) {
      CAPTURE(scale);
      const double outside = 48;
      const Tiling tiling = tiled(long_s(scale), outside, paper, {});
      for (const FlatPiece& piece : tiling.plane.pieces)
        for (int i = 0; i <= 200; ++i) {
          const Vec2 p = point_at(piece, i / 200.0);
          for (const Vec2& off : {Vec2(24, 0), Vec2(-24, 0), Vec2(0, 24), Vec2(0, -24), Vec2(17, -17)})
            CHECK(std::any_of(tiling.tiles.begin(), tiling.tiles.end(), [&](const Tile& tile) {
              return field_of(tiling, tile).contains(Vec2(p + off));
            }));
        }
      for (const Tile& a : tiling.tiles)
        for (const Tile& b : tiling.tiles)
          if (b.column == a.column + 1 && b.row == a.row)
            CHECK(a.from_mm.x() + tiling.field_mm.x() - b.from_mm.x() == Approx(kOverlap_mm));
    }
}

TEST_CASE("a registration mark stands at the same place on every sheet that has it") {
  const Tiling tiling = tiled(long_s(1.5), 48, Paper::a4, {});
  REQUIRE(tiling.tiles.size() > 3);
  int shared = 0;
  for (const Tile& a : tiling.tiles)
    for (const Tile& b : tiling.tiles) {
      if (&a == &b) continue;
      const auto marks_b = marks_on(tiling, b);
      int together = 0;
      for (const Vec2& mark : marks_on(tiling, a))
        together += static_cast<int>(std::count_if(
            marks_b.begin(), marks_b.end(), [&](const Vec2& other) { return (other - mark).norm() < 1e-9; }));
      const int apart = std::abs(a.column - b.column) + std::abs(a.row - b.row);
      if (apart == 1) CHECK(together == 2);
      shared += together;
    }
  CHECK(shared > 0);
}

TEST_CASE("a small drawing takes one sheet, and a larger one never fewer") {
  CHECK(tiled(long_s(0.2), 20, Paper::a4, {}).tiles.size() == 1);
  std::size_t before = 1;
  for (const double scale : {0.2, 0.4, 0.8, 1.6, 3.2}) {
    const std::size_t sheets = tiled(long_s(scale), 48, Paper::a4, {}).tiles.size();
    CHECK(sheets >= before);
    before = sheets;
  }
}

TEST_CASE("sheets have names that are not used twice") {
  std::set<std::string> names;
  for (int row = 0; row < 60; ++row)
    for (int column = 0; column < 30; ++column) names.insert(tile_name({column, row, Vec2::Zero()}));
  CHECK(names.size() == 60 * 30);
  CHECK(tile_name({1, 0, Vec2::Zero()}) == "A2");
  CHECK(tile_name({0, 26, Vec2::Zero()}) == "AA1");
}
