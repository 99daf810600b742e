// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/base/quantity.h"

#include <catch2/catch.hpp>
#include <string>

using namespace hosefit;

namespace {

double mm_of(std::string_view text, LengthUnit bare = LengthUnit::mm) {
  const auto length = parse_length(text, bare);
  REQUIRE(length);
  return length->mm();
}

}  // namespace

TEST_CASE("lengths are read in both units, bare numbers in the file's own") {
  CHECK(mm_of("38.1") == 38.1);
  CHECK(mm_of("38.1 mm") == 38.1);
  CHECK(mm_of(" 38.1mm ") == 38.1);
  CHECK(mm_of("1.5", LengthUnit::inch) == Approx(38.1));
  CHECK(mm_of("1.5 in") == Approx(38.1));
  CHECK(mm_of("38.1 mm", LengthUnit::inch) == 38.1);
  CHECK(mm_of("-12.5") == -12.5);
  CHECK(mm_of("0") == 0);
}

TEST_CASE("inch fractions are read with a hyphen or a space") {
  CHECK(mm_of("1-1/2 in") == Approx(38.1));
  CHECK(mm_of("1 1/2 in") == Approx(38.1));
  CHECK(mm_of("3/4 in") == Approx(19.05));
  CHECK(mm_of("5/8", LengthUnit::inch) == Approx(15.875));
  CHECK(mm_of("-3/4 in") == Approx(-19.05));
  CHECK(mm_of("-1-1/2 in") == Approx(-38.1));
}

TEST_CASE("what is not wholly a length is refused") {
  for (const std::string_view text :
       {"",    " ",   "mm",    "in",     "wide",       "38.1 cm", "38,1", "1.5.2",   "+5",
        "nan", "inf", "1e999", "3/0 in", "/4",         "3/",      "1-/2", "1--1/2",  "1-1/2-3",
        "-",   "--5", "3/-4",  "1/2/3",  "38.1 mm mm", "0x10",    "1 2",  "1.5-1/2", "5 mm in"}) {
    CAPTURE(std::string(text));
    CHECK_FALSE(parse_length(text, LengthUnit::mm).has_value());
  }
}

TEST_CASE("lengths are written with fixed decimals and never as minus zero") {
  CHECK(format_length(Length::mm(38.1), LengthUnit::inch, 2) == "1.50 in");
  CHECK(format_length(Length::mm(38.14), LengthUnit::mm, 1) == "38.1 mm");
  CHECK(format_length(Length::mm(-0.04), LengthUnit::mm, 1) == "0.0 mm");
  CHECK(format_length(Length::mm(-0.06), LengthUnit::mm, 1) == "-0.1 mm");
  CHECK(format_length(Length::mm(1234567), LengthUnit::mm, 0) == "1234567 mm");
}

TEST_CASE("a length near a sixteenth of an inch has a fraction, others have none") {
  const Length tolerance = Length::mm(0.1);
  CHECK(inch_fraction(Length::mm(38.1), tolerance) == "1-1/2");
  CHECK(inch_fraction(Length::inch(0.75), tolerance) == "3/4");
  CHECK(inch_fraction(Length::inch(2), tolerance) == "2");
  CHECK(inch_fraction(Length::inch(1 + 3 / 16.0), tolerance) == "1-3/16");
  CHECK(inch_fraction(Length::mm(38.15), tolerance) == "1-1/2");
  CHECK(inch_fraction(Length::mm(38.9), tolerance).empty());
  CHECK(inch_fraction(Length::mm(0), tolerance).empty());
  CHECK(inch_fraction(Length::mm(-38.1), tolerance).empty());
}

TEST_CASE("every sixteenth of an inch written is read back as itself") {
  for (int n = 1; n <= 64; ++n) {
    CAPTURE(n);
    const Length length = Length::inch(n / 16.0);
    CHECK(mm_of(inch_fraction(length, Length::mm(0.01)), LengthUnit::inch) == Approx(length.mm()));
  }
}

TEST_CASE("unit factors are the exact ones of their definitions") {
  CHECK(Length::inch(1).mm() == 25.4);  // international inch, 1959
  CHECK(Pressure::kpa(6.894757293168).psi() ==
        Approx(1));  // NIST SP 811 (2008), appendix B: 6.894757 E+03 Pa
  CHECK(Flow::l_min(3.785411784).us_gpm() ==
        Approx(1));  // NIST SP 811 (2008), appendix B: gallon 3.785412 E-03 m3
  CHECK(Temperature::celsius(100).fahrenheit() == Approx(212));
  CHECK(Temperature::celsius(0).kelvin() == Approx(273.15));
  CHECK(Angle::deg(180).rad() == Approx(3.14159265358979));
  CHECK(Angle::rad(3.14159265358979).deg() == Approx(180));
  CHECK(Length::mm(25.4).inch() == Approx(1));
  CHECK(Length::metre(1).mm() == Approx(1000));
  CHECK(Length::mm(1000).metre() == Approx(1));
  CHECK(Flow::l_min(60000).m3s() ==
        Approx(1));  // a litre is 1e-3 m3, a minute 60 s: SI Brochure (2019), table 8
  CHECK(Flow::m3s(1).l_min() == Approx(60000));
  CHECK(Pressure::kpa(1).pa() == Approx(1000));
  CHECK(Pressure::pa(1000).kpa() == Approx(1));
}
