// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/view/palette.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <set>

#include "solver/geometry/vec.h"

using namespace hosefit;

namespace {

// sRGB decoding, white and matrix after IEC 61966-2-1.
double linear(double v) {
  return v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4);
}
Vec3 linear(const Colour& c) {
  return {linear(c.red), linear(c.green), linear(c.blue)};
}

// CIE 1976 L*a*b* for D65.
Vec3 lab(const Vec3& rgb) {
  Mat3 to_xyz;
  to_xyz << 0.4124, 0.3576, 0.1805, 0.2126, 0.7152, 0.0722, 0.0193, 0.1192, 0.9505;
  const Vec3 xyz = to_xyz * rgb.cwiseMax(0).cwiseMin(1);
  const auto f = [](double t) { return t > 0.008856 ? std::cbrt(t) : 7.787 * t + 16.0 / 116; };
  const double x = f(xyz.x() / 0.9505), y = f(xyz.y()), z = f(xyz.z() / 1.089);
  return {116 * y - 16, 500 * (x - y), 200 * (y - z)};
}

// Machado, Oliveira, Fernandes, IEEE Trans. Vis. Comput. Graph. 15 (2009) 1291, severity 1; matrices from
// memory. Applied to linear light.
Mat3 protanopia() {
  Mat3 m;
  m << 0.152286, 1.052583, -0.204868, 0.114503, 0.786281, 0.099216, -0.003882, -0.048116, 1.051998;
  return m;
}
Mat3 deuteranopia() {
  Mat3 m;
  m << 0.367322, 0.860646, -0.227968, 0.280085, 0.672501, 0.047413, -0.011820, 0.042940, 0.968881;
  return m;
}

// Differences of 2.3 are just seen (Mahy, Van Eycken, Oosterlinck, Color Res. Appl. 19 (1994) 105); shading
// and small areas want several times that.
constexpr double kTellApart = 12;

}  // namespace

TEST_CASE("the matrices leave white white, as a simulation must") {
  for (const Mat3& eye : {protanopia(), deuteranopia()})
    CHECK((eye * Vec3::Ones() - Vec3::Ones()).norm() < 1e-3);
}

TEST_CASE("classes of spare gap can be told apart by every kind of eye") {
  for (const Mat3& eye : {Mat3(Mat3::Identity()), protanopia(), deuteranopia()})
    for (const SpareClass a : kSpareClasses)
      for (const SpareClass b : kSpareClasses) {
        if (a >= b) continue;
        CAPTURE(word(a), word(b));
        CHECK((lab(eye * linear(colour_of(a))) - lab(eye * linear(colour_of(b)))).norm() > kTellApart);
      }
}

TEST_CASE("no class is told by its colour alone") {
  std::set<std::string_view> words;
  std::set<std::vector<double>> patterns;
  for (const SpareClass spare : kSpareClasses) {
    words.insert(word(spare));
    patterns.insert(ring_pattern_mm(spare));
    CHECK((lab(linear(colour_of(spare))) - lab(linear(ring_colour_of(spare)))).x() != Approx(0).margin(25));
  }
  CHECK(words.size() == kSpareClasses.size());
  CHECK(patterns.size() == kSpareClasses.size());
}

TEST_CASE("classes begin where their words say") {
  CHECK(spare_class(-0.01) == SpareClass::is_short);
  CHECK(spare_class(-1e-7) == SpareClass::to_two);
  CHECK(spare_class(0) == SpareClass::to_two);
  CHECK(spare_class(1.999) == SpareClass::to_two);
  CHECK(spare_class(2) == SpareClass::two_to_five);
  CHECK(spare_class(5) == SpareClass::five_to_ten);
  CHECK(spare_class(10) == SpareClass::over_ten);
  CHECK(spare_class(std::nan("")) == SpareClass::is_short);
}
