// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/report/height_rows.h"

#include <catch2/catch.hpp>

#include "tests/report/told_choice.h"

using namespace hosefit;

namespace {

HeightWindow window(double from_mm, double to_mm, Fit fit) {
  return {Length::mm(from_mm), Length::mm(to_mm), fit, std::nullopt};
}

}  // namespace

TEST_CASE("heights too close together to be told apart have no row, and no row is wider than its proof") {
  const HeightRows told = height_rows(
      {window(270, 292.4, Fit::fits), window(292.4, 292.43, Fit::undecided), window(292.43, 292.5, Fit::fits),
       window(292.5, 293.1, Fit::undecided), window(293.1, 370, Fit::does_not_fit),
       window(370, 370.1, Fit::undecided), window(370.1, 390, Fit::fits)},
      LengthUnit::mm);
  REQUIRE(told.rows.size() == 4);
  CHECK(told.left_out);
  CHECK(left_out_words(told, LengthUnit::mm).find("less than 0.5 mm") != std::string::npos);
  CHECK((told.rows[0].from == Length::mm(270) && told.rows[0].to == Length::mm(292.4)));
  CHECK(told.rows[0].fit == Fit::fits);
  CHECK((told.rows[1].from == Length::mm(292.4) && told.rows[1].to == Length::mm(293.1)));
  CHECK(told.rows[1].fit == Fit::undecided);  // the fit of 0.07 mm between two undecided ones too
  CHECK((told.rows[2].from == Length::mm(293.1) && told.rows[2].to == Length::mm(370)));
  CHECK(told.rows[2].fit == Fit::does_not_fit);
  CHECK(told.rows[3].from == Length::mm(370.1));
}

TEST_CASE("an intake of one height has its row, however narrow, and nothing is said of others") {
  const HeightRows told = height_rows({window(300, 300, Fit::fits)}, LengthUnit::mm);
  REQUIRE(told.rows.size() == 1);
  CHECK(told.rows[0].fit == Fit::fits);
  CHECK_FALSE(told.left_out);
  CHECK(left_out_words(told, LengthUnit::mm).empty());
}

TEST_CASE("a row of heights that fit says what ends it above, another says what misses in it") {
  std::vector<HeightWindow> windows{window(250, 300, Fit::fits), window(300, 350, Fit::does_not_fit)};
  for (HeightWindow& w : windows) {
    w.binds = told::stop_on_upper();
    w.binds_at = Length::mm(312);
  }
  const HeightRows told = height_rows(windows, LengthUnit::mm);
  REQUIRE(told.rows.size() == 2);
  CHECK(told.rows[0].binds.starts_with("at 312.0 mm, above it: upper: "));
  CHECK(told.rows[1].binds.starts_with("at 312.0 mm: upper: "));
}
