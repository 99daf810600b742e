// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/coolant/losses.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "solver/coolant/friction.h"
#include "tests/coolant/csv_rows.h"

using namespace hosefit;
using namespace hosefit_test;

namespace {
BendLoss bend_of(const Row& row) {
  return bend_loss(row.number("Re"), row.number("r_over_D"), Angle::deg(row.number("angle_deg")));
}
/// Methods the product does not follow: they show how far the published ones lie apart.
bool is_spread(const Row& row) {
  return row.text("method") == "Rennels" || row.text("method") == "Hooper" ||
         row.starts("method", "published");
}
}  // namespace

TEST_CASE("bends follow Ito in the constants on the bore, and his own within their rounding") {
  int compared = 0;
  for (const Row& row : rows_of("bends.csv")) {
    if (!row.starts("method", "Ito")) continue;
    CAPTURE(row.text("id"), row.text("method"), row.text("source"));
    const bool same_constants = row.text("method") == "Ito (Blevins constants)";
    const double tolerance = same_constants ? row.number("rel_tol") : 0.002;
    const BendLoss loss = bend_of(row);
    CHECK(relative_miss(loss.total, row.number("K_total")) <= tolerance);
    CHECK(std::abs(loss.excess - row.number("K_excess")) <= tolerance * row.number("K_total"));
    CHECK(loss.within_data == (row.text("in_range") != "extrapolated (data 2e4..4e5)"));
    ++compared;
  }
  CHECK(compared >= 100);
}

TEST_CASE("other published methods for smooth bends lie inside the band that is told") {
  int compared = 0;
  for (const Row& row : rows_of("bends.csv")) {
    if (row.starts("method", "Ito") || row.starts("method", "published")) continue;
    CAPTURE(row.text("id"), row.text("method"), row.text("source"));
    const BendLoss loss = bend_of(row);
    CHECK(std::abs(row.number("K_total") - loss.total) <= loss.relative_band * loss.total);
    ++compared;
  }
  CHECK(compared >= 20);
}

TEST_CASE("the two branches of a bend's loss meet") {
  for (const double radius : {2.0, 5.0, 8.0, 12.0, 20.0}) {
    const double reynolds = 364.0 * radius * radius;
    if (reynolds < lowest_turbulent_reynolds) continue;
    CAPTURE(radius);
    const Angle turn = Angle::deg(90.0);
    CHECK(relative_miss(bend_loss(reynolds * 0.999999, radius, turn).total,
                        bend_loss(reynolds * 1.000001, radius, turn).total) < 1e-5);
  }
}

TEST_CASE("a bend has no jump where laminar, transitional and turbulent meet") {
  for (const double reynolds : {highest_laminar_reynolds, lowest_turbulent_reynolds}) {
    CAPTURE(reynolds);
    CHECK(relative_miss(bend_loss(reynolds * 0.999999, 3.0, Angle::deg(60.0)).excess,
                        bend_loss(reynolds * 1.000001, 3.0, Angle::deg(60.0)).excess) < 1e-5);
  }
}

TEST_CASE("a bend's excess and the straight friction of its centreline make its total") {
  for (const double reynolds : {1000.0, 3000.0, 2e4, 1e5, 3e5})
    for (const double radius : {1.0, 3.0, 6.0}) {
      CAPTURE(reynolds, radius);
      const Angle turn = Angle::deg(75.0);
      const BendLoss loss = bend_loss(reynolds, radius, turn);
      CHECK(loss.excess > 0.0);
      CHECK(loss.total ==
            Approx(loss.excess + friction_factor(reynolds, 0.0) * radius * turn.rad()).epsilon(1e-12));
    }
}

TEST_CASE("no turn costs nothing, more turn costs more") {
  for (const double radius : {1.5, 3.0, 6.0}) {
    double before = bend_loss(1e5, radius, Angle::deg(0.0)).total;
    CHECK(before == 0.0);
    for (double turn = 5.0; turn <= 180.0; turn += 5.0) {
      CAPTURE(radius, turn);
      const double total = bend_loss(1e5, radius, Angle::deg(turn)).total;
      // Between 150 and 180 deg the straight line through Ito's three angles lets tight bends sag a little.
      CHECK(total > (turn > 150.0 ? 0.98 : 1.0) * before);
      before = std::max(before, total);
    }
  }
}

TEST_CASE("changes of bore agree with momentum balance and Crane on either velocity") {
  int compared = 0;
  for (const Row& row : rows_of("area_changes.csv")) {
    if (is_spread(row)) continue;
    CAPTURE(row.text("id"), row.text("kind"), row.text("method"), row.text("source"));
    const Length from = Length::metre(row.number("D_up_m"));
    const Length to = Length::metre(row.number("D_down_m"));
    double got = bore_change_loss(from, to, Angle::deg(row.number("cone_angle_deg")));
    // The product's K is on the smaller bore; a row on the hose's velocity differs by (large/small)^4.
    if (row.starts("K_velocity_basis", "hose")) got *= std::pow(std::max(from, to) / std::min(from, to), 4.0);
    CHECK(relative_miss(got, row.number("K")) <= tolerance_of(row));
    ++compared;
  }
  CHECK(compared >= 30);
}

TEST_CASE(
    "other published steps and a published cone lie within thirty per cent for the necks that hoses have") {
  int compared = 0;
  for (const Row& row : rows_of("area_changes.csv")) {
    if (!is_spread(row)) continue;
    const Length from = Length::metre(row.number("D_up_m"));
    const Length to = Length::metre(row.number("D_down_m"));
    if (row.number("cone_angle_deg") == 180.0 && std::min(from, to) / std::max(from, to) < 0.8) continue;
    CAPTURE(row.text("id"), row.text("method"), row.text("source"));
    const double told = bore_change_loss(from, to, Angle::deg(row.number("cone_angle_deg")));
    CHECK(relative_miss(row.number("K"), told) <= 0.30);
    ++compared;
  }
  CHECK(compared >= 8);
}

TEST_CASE("no change of bore costs nothing") {
  CHECK(bore_change_loss(Length::mm(38.0), Length::mm(38.0), Angle::deg(180.0)) == 0.0);
}

TEST_CASE("a chain of expansions gives the corrugated friction of the published model") {
  // Hawthorne and von Helms, Product Engineering, June 1963, worked for three hoses; rounded to two or three
  // digits.
  CHECK(corrugated_friction_factor(Length::mm(38.0), Length::mm(4.0)) == Approx(0.071).epsilon(0.01));
  CHECK(corrugated_friction_factor(Length::mm(38.0), Length::mm(6.0)) == Approx(0.099).epsilon(0.01));
  CHECK(corrugated_friction_factor(Length::mm(16.0), Length::mm(3.0)) == Approx(0.114).epsilon(0.01));
}
