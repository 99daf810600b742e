// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/order/neck_match.h"

#include <catch2/catch.hpp>

using namespace hosefit;

namespace {

NeckMatch on_neck(double neck_mm, double bore_mm) {
  PlacedNeck neck;
  neck.outside_diameter = Length::mm(neck_mm);
  return neck_match(neck, Length::mm(bore_mm));
}

}  // namespace

TEST_CASE("hose bores have the limits of ISO 1307 for hose not made on a mandrel") {
  // ISO 1307:2008, table seen second-hand.
  struct Published {
    double nominal, least, most;
  };
  for (const Published& row :
       {Published{16, 15.1, 16.7}, Published{19.05, 18.3, 19.9}, Published{25.4, 24.2, 26.6},
        Published{31.75, 30.2, 33.4}, Published{38.1, 36.5, 39.7}, Published{50.8, 49.1, 52.6}}) {
    const auto limits = iso_1307_limits(Length::mm(row.nominal));
    REQUIRE(limits);
    CHECK(limits->least.mm() == row.least);
    CHECK(limits->most.mm() == row.most);
  }
  CHECK_FALSE(iso_1307_limits(Length::mm(44.45)));  // the table has no row there
  CHECK_FALSE(iso_1307_limits(Length::mm(35)));
}

TEST_CASE("a neck match counts both tolerances") {
  // 38.1 +- 0.2 on 36.5 .. 39.7: 37.9 - 39.7 = -1.8, 38.3 - 36.5 = 1.8.
  const NeckMatch m = on_neck(38.1, 38.1);
  CHECK(m.grip == NeckGrip::good);
  CHECK(m.over_least->mm() == Approx(-1.8));
  CHECK(m.over_most->mm() == Approx(1.8));
  CHECK(m.accept_most.mm() == Approx(38.4));          // 37.9 + 0.5 loose
  CHECK(m.accept_least.mm() == Approx(38.3 / 1.05));  // 5 % tight
}

TEST_CASE("the trade's steps of mismatch") {
  // Common practice, no source: below -0.5 mm loose; to +5 % pushes on; 5 to 8 % softened; above a reducer.
  CHECK(on_neck(37.4, 38.1).grip == NeckGrip::loose);
  CHECK(on_neck(37.6, 38.1).grip == NeckGrip::good);
  CHECK(on_neck(40.0, 38.1).grip == NeckGrip::good);
  CHECK(on_neck(41.0, 38.1).grip == NeckGrip::tight);
  CHECK(on_neck(44.45, 38.1).grip == NeckGrip::too_tight);
}
