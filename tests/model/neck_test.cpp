// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/model/neck.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <set>

using namespace hosefit;

namespace {

Neck neck_with(std::vector<NeckSlide> slides, std::optional<NeckTurn> turn = {}) {
  Neck neck;
  neck.end_mm.value = {40, 100, 700};
  neck.outward = Vec3::UnitX();
  neck.choice = NeckChoice{{}, std::move(slides), std::move(turn)};
  return neck;
}

NeckSlide slide(const Vec3& along, double from, double to, double step) {
  return {along, Length::mm(from), Length::mm(to), Length::mm(step)};
}

}  // namespace

TEST_CASE("a neck without a choice stands as written and nowhere else") {
  const std::vector<NeckPlace> places = places_of(Neck{});
  REQUIRE(places.size() == 1);
  CHECK(places[0].moved.rotation == Mat3::Identity());
  CHECK(places[0].moved.origin_mm == Vec3::Zero());
}

TEST_CASE("slid places are the whole steps from where the neck is written, both ends included") {
  const Neck neck = neck_with({slide(Vec3::UnitY(), -50, 35, 17.5)});
  CHECK(count_of_places(*neck.choice) == 5);
  std::multiset<double> y;
  for (const NeckPlace& place : places_of(neck)) y.insert(place.moved.point(neck.end_mm.value).y());
  CHECK(y == std::multiset<double>{65, 82.5, 100, 117.5, 135});
  // A step that is no binary fraction still reaches its end: 3 x 0.1 in of 25.4 mm is 7.62 mm.
  CHECK(count_of_places({{}, {slide(Vec3::UnitY(), 0, 7.62, 2.54)}, {}}) == 4);
}

TEST_CASE("places begin with the one written, exactly, and go on by how far the end moves") {
  const Neck neck = neck_with({slide(Vec3::UnitY(), -20, 20, 20), slide(Vec3::UnitZ(), 0, 30, 30)});
  const std::vector<NeckPlace> places = places_of(neck);
  REQUIRE(places.size() == 6);
  CHECK(places[0].moved.rotation == Mat3::Identity());
  CHECK(places[0].moved.origin_mm == Vec3::Zero());
  for (std::size_t i = 1; i < places.size(); ++i) {
    CHECK(places[i - 1].distance <= places[i].distance);
    CHECK(places[i].distance.mm() ==
          Approx((places[i].moved.point(neck.end_mm.value) - neck.end_mm.value).norm()));
    CHECK(places[i].distance.mm() > 0);
  }
  CHECK(places[5].distance.mm() == Approx(std::hypot(20, 30)));
}

TEST_CASE("a turn is right-handed about its axis and comes before the slide") {
  const NeckTurn turn{{40, 0, 700}, Vec3::UnitZ(), {Angle::deg(90), Angle::deg(-90)}};
  const Neck neck = neck_with({slide(Vec3::UnitX(), 0, 10, 10)}, turn);
  const std::vector<NeckPlace> places = places_of(neck);
  REQUIRE(places.size() == 6);
  bool seen = false;
  for (const NeckPlace& place : places) {
    if (place.turned.deg() != Approx(90) || place.slid[0].mm() != 10) continue;
    seen = true;
    // 100 to the right of the axis turns to 100 forward of it; the slide's way does not turn along.
    CHECK((place.moved.point(neck.end_mm.value) - Vec3(-50, 0, 700)).norm() < 1e-9);
    CHECK((place.moved.direction(neck.outward) - Vec3::UnitY()).norm() < 1e-12);
  }
  CHECK(seen);
}

TEST_CASE("a turn about the neck's own end counts as one place more though the end stays") {
  const NeckTurn turn{{40, 100, 700}, Vec3::UnitZ(), {Angle::deg(45), Angle::deg(0)}};
  const std::vector<NeckPlace> places = places_of(neck_with({}, turn));
  REQUIRE(places.size() == 2);
  CHECK(places[0].turned.rad() == 0);
  CHECK(places[1].distance.mm() < 1e-9);
}

TEST_CASE("more places than can be counted are many, not few") {
  CHECK(count_of_places({{}, {slide(Vec3::UnitY(), -1000, 1000, 1e-300)}, {}}) > kMostNeckPlaces);
}
