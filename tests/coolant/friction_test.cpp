// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/coolant/friction.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "tests/coolant/csv_rows.h"

using namespace hosefit;
using namespace hosefit_test;

TEST_CASE("the friction factor agrees with every published and tabulated value") {
  int compared = 0;
  for (const Row& row : rows_of("friction.csv")) {
    if (row.text("regime") == "transition") continue;
    CAPTURE(row.text("id"), row.text("method"), row.text("source"));
    const double got = friction_factor(row.number("Re"), row.number("rel_roughness"));
    CHECK(relative_miss(got, row.number("f_darcy")) <= tolerance_of(row));
    ++compared;
  }
  CHECK(compared >= 100);
}

TEST_CASE("between laminar and turbulent the factor stays inside the envelope and the band is the envelope") {
  int compared = 0;
  for (const Row& row : rows_of("friction.csv")) {
    if (row.text("regime") != "transition") continue;
    CAPTURE(row.text("id"), row.text("source"));
    const double reynolds = row.number("Re");
    const double f = friction_factor(reynolds, row.number("rel_roughness"));
    const FrictionBand band = friction_band(reynolds, row.number("rel_roughness"));
    const bool inside = reynolds > highest_laminar_reynolds && reynolds < lowest_turbulent_reynolds;
    CHECK(band.transitional == inside);
    if (row.starts("method", "64/Re")) {
      CHECK(f >= row.number("f_darcy") * (1.0 - printed_digits));
      if (inside) CHECK(relative_miss(band.low, row.number("f_darcy")) <= tolerance_of(row));
    } else {
      CHECK(f <= row.number("f_darcy") * (1.0 + 1e-9));
      if (inside) CHECK(relative_miss(band.high, row.number("f_darcy")) <= tolerance_of(row));
    }
    ++compared;
  }
  CHECK(compared >= 10);
}

TEST_CASE("the friction factor has no jump where the regimes meet") {
  for (const double roughness : {0.0, 1e-4, 1e-2})
    for (const double reynolds : {highest_laminar_reynolds, lowest_turbulent_reynolds}) {
      CAPTURE(roughness, reynolds);
      CHECK(relative_miss(friction_factor(reynolds * (1.0 + 1e-9), roughness),
                          friction_factor(reynolds * (1.0 - 1e-9), roughness)) < 1e-7);
    }
}

TEST_CASE("a rougher wall never has less friction") {
  for (double reynolds = 500.0; reynolds < 1e7; reynolds *= 1.7) {
    double before = 0.0;
    for (const double roughness : {0.0, 1e-6, 1e-5, 1e-4, 1e-3, 1e-2, 5e-2}) {
      CAPTURE(reynolds, roughness);
      const double f = friction_factor(reynolds, roughness);
      CHECK(f >= before);
      before = f;
    }
  }
}

TEST_CASE("a bent bore has more laminar friction than a straight one, and the same when hardly bent") {
  CHECK(curved_laminar_friction_factor(10.0, 3.0) == 64.0 / 10.0);
  CHECK(relative_miss(curved_laminar_friction_factor(2000.0, 1e6), 64.0 / 2000.0) < 1e-12);
  CHECK(curved_laminar_friction_factor(2000.0, 3.0) > 1.5 * 64.0 / 2000.0);
}
