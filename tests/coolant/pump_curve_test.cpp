// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/coolant/pump_curve.h"

#include <catch2/catch.hpp>
#include <limits>
#include <type_traits>

#include "solver/coolant/operating_point.h"
#include "tests/coolant/csv_rows.h"

using namespace hosefit;
using namespace hosefit_test;

static_assert(!std::is_default_constructible_v<SourcedCurve>);
static_assert(!std::is_default_constructible_v<SourcedFlow>);
static_assert(!std::is_constructible_v<SourcedFlow, Flow, Flow, Flow>);

TEST_CASE("a scaled pump curve agrees with the tabulated heads") {
  int compared = 0;
  for (const Row& row : rows_of("pump_similarity.csv")) {
    if (row.text("kind") != "curve_speed_scaling") continue;
    CAPTURE(row.text("id"), row.text("source"));
    std::map<std::string, double> in = inputs_of(row);
    const double head = pump_rise_pa({in.at("a0"), in.at("a1"), in.at("a2")}, in.at("n_ratio"), in.at("Q"));
    CHECK(relative_miss(head, row.number("expected")) <= tolerance_of(row));
    ++compared;
  }
  CHECK(compared == 4);
}

TEST_CASE("flow scales with speed and head with its square along the pump's own curve") {
  int compared = 0;
  for (const Row& row : rows_of("pump_similarity.csv")) {
    if (row.text("kind") != "affinity_speed" || row.text("output") != "H2") continue;
    CAPTURE(row.text("id"), row.text("source"));
    std::map<std::string, double> in = inputs_of(row);
    // Any curve through the row's point (Q1, H1) must pass through (Q2, H2) at the other speed.
    const double ratio = in.at("n2_rpm") / in.at("n1_rpm");
    const double q1 = in.at("Q1");
    const double h1 = in.at("H1");
    const PumpCoefficients curve{1.5 * h1, -0.2 * h1 / q1, -0.3 * h1 / (q1 * q1)};
    CHECK(relative_miss(pump_rise_pa(curve, ratio, ratio * q1), row.number("expected")) <=
          row.number("rel_tol"));
    ++compared;
  }
  CHECK(compared == 6);
}

TEST_CASE("the suction margin is the closed-loop NPSH") {
  int compared = 0;
  for (const Row& row : rows_of("pump_similarity.csv")) {
    if (row.text("kind") != "npsh_closed_loop") continue;
    CAPTURE(row.text("id"), row.text("source"));
    std::map<std::string, double> in = inputs_of(row);
    const Pressure margin = suction_margin(Pressure::pa(in.at("p_cap_gauge") + in.at("p_atm")),
                                           Length::metre(in.at("z_tank_above_pump")), in.at("rho"),
                                           Pressure::pa(in.at("dp_suction")), Pressure::pa(in.at("p_vap")));
    CHECK(relative_miss(margin.pa() / (in.at("rho") * in.at("g")), row.number("expected")) <=
          row.number("rel_tol"));
    ++compared;
  }
  CHECK(compared == 4);
}

TEST_CASE("a pump curve without a source, or one that rises, is refused with every reason") {
  const PumpCoefficients good{60000.0, -2e6, -8e9};
  CHECK(SourcedCurve::make(good, 5000.0, 0.15, "bench"));
  CHECK_FALSE(SourcedCurve::make(good, 5000.0, 0.15, ""));
  CHECK_FALSE(SourcedCurve::make(good, 5000.0, 0.15, " \t\n"));
  CHECK_FALSE(SourcedCurve::make({60000.0, 2e6, -8e9}, 5000.0, 0.15, "bench"));
  CHECK_FALSE(SourcedCurve::make({60000.0, 0.0, 0.0}, 5000.0, 0.15, "bench"));
  CHECK_FALSE(
      SourcedCurve::make({std::numeric_limits<double>::quiet_NaN(), -1.0, -1.0}, 5000.0, 0.15, "bench"));
  CHECK_FALSE(SourcedCurve::make(good, 5000.0, 1.0, "bench"));
  const Result<SourcedCurve> bad = SourcedCurve::make({-1.0, 1.0, 1.0}, 0.0, -0.5, "");
  REQUIRE_FALSE(bad);
  CHECK(bad.problems().size() == 5);
}

TEST_CASE("a flow in words always carries its band and the source of its curve") {
  const SourcedCurve curve = *SourcedCurve::make({60000.0, -2e6, -8e9}, 5000.0, 0.15, "bench, four points");
  const SourcedFlow flow(Flow::l_min(123.4), Flow::l_min(104.0), Flow::l_min(139.0), curve);
  CHECK(flow.text() == "123 L/min (104 to 139), pump curve: bench, four points");
}
