// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/view/line_bands.h"

#include <catch2/catch.hpp>

#include "solver/base/dice.h"
#include "solver/view/tube_mesh.h"

using namespace hosefit;

namespace {

std::vector<SpareStretch> any_spare(Dice& dice) {
  std::vector<SpareStretch> out;
  double s = -28, spare = 6;
  for (int i = 0; i < 400; ++i) {
    spare = std::clamp(spare + dice.between(-1, 1), 0.0, 10.0);
    out.push_back({s, s + 1, spare, spare + 0.5});
    s += 1;
  }
  return out;
}

}  // namespace

TEST_CASE("a proved line is nowhere painted looser than its stretch, and tight places can be seen") {
  for (std::uint64_t task = 0; task < 50; ++task) {
    CAPTURE(task);
    Dice dice({21}, task);
    const std::vector<SpareStretch> spare = any_spare(dice);
    const std::vector<ClassStretch> classes = classes_along(spare, true);
    REQUIRE_FALSE(classes.empty());
    CHECK(classes.front().from_mm == 0);
    CHECK(classes.back().to_mm == Approx(400));
    std::size_t at = 0;
    for (const SpareStretch& stretch : spare) {
      const double middle = (stretch.from_s_mm + stretch.to_s_mm) / 2 + 28;
      while (classes[at].to_mm < middle) ++at;
      REQUIRE(classes[at].spare <= spare_class(stretch.at_least_mm));
    }
    for (std::size_t i = 1; i < classes.size(); ++i) CHECK(classes[i].spare != classes[i - 1].spare);
  }
}

TEST_CASE("a tight place of one millimetre is drawn long enough to be seen") {
  std::vector<SpareStretch> spare;
  for (int i = 0; i < 100; ++i) spare.push_back({double(i), i + 1.0, i == 50 ? 1.0 : 8.0, 8.0});
  const std::vector<ClassStretch> classes = classes_along(spare, true);
  REQUIRE(classes.size() == 3);
  CHECK(classes[1].spare == SpareClass::to_two);
  CHECK(classes[1].to_mm - classes[1].from_mm >= 6);
}

TEST_CASE("a line without proof is grey but where it was measured short") {
  std::vector<SpareStretch> spare;
  for (int i = 0; i < 100; ++i) spare.push_back({double(i), i + 1.0, -1.0, i >= 40 && i < 60 ? -0.5 : 7.0});
  const std::vector<ClassStretch> classes = classes_along(spare, false);
  REQUIRE(classes.size() == 3);
  CHECK(classes[0].spare == SpareClass::not_proved);
  CHECK(classes[1].spare == SpareClass::is_short);
  CHECK(classes[1].from_mm == Approx(40));
  CHECK(classes[2].spare == SpareClass::not_proved);
}

TEST_CASE("every class on a line shows its pattern however short its stretch is") {
  for (const SpareClass spare : kSpareClasses) {
    const std::vector<ClassStretch> one{{100, 120, spare}};
    const std::vector<Band> bands = bands_of(one);
    CHECK(bands.front().from_mm == 100);
    bool rings = false;
    for (const Band& band : bands) {
      CHECK(band.from_mm < 120);
      rings = rings || band.colour == ring_colour_of(spare);
    }
    CHECK(rings == (spare != SpareClass::over_ten));
    CHECK(colour_at(bands, 100.01) == colour_of(spare));
  }
}

TEST_CASE("a tube with stops is the same tube, closed, and no facet crosses a stop") {
  FilletChain chain;
  chain.points_mm = {{0, 0, 0}, {200, 0, 0}, {200, 150, 0}};
  chain.radii_mm = {60};
  const Centreline line = *centreline_of(chain);
  const std::vector<double> stops{10, 50, 141, 160.5, 222};
  const TubeMesh tube = tube_mesh(line, 20, 0.05, stops);
  CHECK(is_closed(tube.mesh));
  REQUIRE(tube.middle_s_mm.size() == tube.mesh.triangles.size());
  for (std::size_t i = 0; i < tube.mesh.triangles.size(); ++i) {
    double least = 1e9, most = -1e9;
    for (const std::uint32_t corner : tube.mesh.triangles[i]) {
      double nearest = 1e9, at = 0;
      for (double s = 0; s <= length_mm(line); s += 0.5)
        if (const double d = (tube.mesh.vertices_mm[corner] - point_at(line, s)).norm(); d < nearest) {
          nearest = d;
          at = s;
        }
      least = std::min(least, at);
      most = std::max(most, at);
    }
    for (const double stop : stops) REQUIRE_FALSE((least < stop - 1 && most > stop + 1));
    if (most - least < 0.6) continue;  // an end's flat
    CHECK(tube.middle_s_mm[i] > least);
    CHECK(tube.middle_s_mm[i] < most);
  }
}
