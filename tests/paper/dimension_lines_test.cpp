// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/paper/dimension_lines.h"

#include <catch2/catch.hpp>

#include "solver/base/dice.h"
#include "tests/paper/boxes_apart.h"

using namespace hosefit;

namespace {

// Letters 0.6 of their height wide: near those of the drawing, and easy to reckon with.
double width_of(double height, std::string_view words) {
  return 0.6 * height * static_cast<double>(words.size());
}

Dimension dimension(double from, double to, std::string words) {
  return {from, to, 0, 0, std::move(words)};
}

}  // namespace

TEST_CASE("dimensions from one edge are stacked by length, the shortest nearest to the view") {
  const auto lines =
      stacked({dimension(0, 90, "900.0"), dimension(0, 30, "300.0"), dimension(0, 60, "600.0")}, Side::below,
              {-5, -200, 200}, width_of);
  REQUIRE(lines.size() == 3);
  for (int i = 0; i < 3; ++i) {
    const DimensionLine& line = lines[static_cast<std::size_t>(i)];
    CHECK(line.dimension.to == 30 * (i + 1));
    CHECK(line.level == i);
    CHECK(line.across == Approx(-5 - 6.5 - 5.5 * i));
    CHECK_FALSE(line.arrows_outside);
    // 5 letters of 2.6 mm are 7.8 mm wide, in the middle.
    CHECK(line.words_from == Approx(15 * (i + 1) - 3.9));
  }
}

TEST_CASE("dimensions to both sides of an edge share a level where there is room between their words") {
  const auto apart = stacked({dimension(0, 60, "600.0"), dimension(0, -60, "600.1")}, Side::above,
                             {10, -200, 200}, width_of);
  REQUIRE(apart.size() == 2);
  CHECK(apart[1].level == 1);  // they meet in the edge itself
  const auto far = stacked({dimension(-80, -20, "600.0"), dimension(20, 80, "600.1")}, Side::above,
                           {10, -200, 200}, width_of);
  CHECK(far[0].level == 0);
  CHECK(far[1].level == 0);
  CHECK(far[1].across == Approx(16.5));
}

TEST_CASE(
    "words that do not go between the arrows stand beside them, on the side that no other line crosses") {
  // 7.8 mm of words and two arrows of 2.6 mm want 14 mm; the words alone 8.8 mm.
  CHECK_FALSE(
      stacked({dimension(0, 14.1, "300.0")}, Side::below, {0, -200, 200}, width_of)[0].arrows_outside);
  const DimensionLine tight =
      stacked({dimension(0, 13.9, "300.0")}, Side::below, {0, -200, 200}, width_of)[0];
  CHECK(tight.arrows_outside);
  CHECK(tight.words_from > 0);
  CHECK(tight.words_to < 13.9);
  const DimensionLine beside = stacked({dimension(0, 8, "300.0")}, Side::below, {0, -200, 200}, width_of)[0];
  CHECK(beside.words_from == Approx(8 + 2.6 + 1));
  const auto crossed =
      stacked({dimension(0, 8, "300.0"), dimension(0, 15, "450.0")}, Side::below, {0, -200, 200}, width_of);
  CHECK(crossed[0].words_to == Approx(-2.6 - 1));
  // Nor do they go past the end of the view while there is room at the other side.
  const DimensionLine inside = stacked({dimension(0, -8, "300.0")}, Side::left, {0, -10, 200}, width_of)[0];
  CHECK(inside.words_from == Approx(2.6 + 1));
}

TEST_CASE("what is wanted twice is drawn once") {
  CHECK(stacked({dimension(0, 40, "400.0"), dimension(0, 40, "400.0")}, Side::left, {0, -200, 200}, width_of)
            .size() == 1);
  CHECK(stacked({dimension(0, 40, "400.0"), dimension(0, 40, "400.1")}, Side::left, {0, -200, 200}, width_of)
            .size() == 2);
}

TEST_CASE("no words of thrown dimensions touch others' words or lines, on any side") {
  int shared_levels = 0;
  for (std::uint64_t round = 0; round < 400; ++round) {
    Dice dice(RunSeed{11}, round);
    std::vector<Dimension> wanted;
    const std::uint64_t count = 1 + dice.below(7);
    for (std::uint64_t i = 0; i < count; ++i) {
      const double from = dice.unit() < 0.7 ? 0 : dice.between(-80, 80);
      wanted.push_back(dimension(from, dice.between(-120, 120), i % 2 == 0 ? "435.0" : "435.0 [17.13]"));
    }
    const Side side = static_cast<Side>(round % 4);
    const auto lines = stacked(wanted, side, {3, -80, 80}, width_of);
    REQUIRE(lines.size() == wanted.size());
    for (std::size_t a = 0; a < lines.size(); ++a)
      for (std::size_t b = 0; b < lines.size(); ++b) {
        if (a == b) continue;
        CHECK(apart(lines[a].words_box(), lines[b].words_box()));
        Eigen::AlignedBox2d line(lines[b].line_from());
        line.extend(lines[b].line_to());
        CHECK(apart(lines[a].words_box(), line));
        shared_levels += a < b && lines[a].level == lines[b].level;
      }
  }
  CHECK(shared_levels > 20);
}
