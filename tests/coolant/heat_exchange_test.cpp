// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/coolant/heat_exchange.h"

#include <catch2/catch.hpp>

#include "solver/coolant/thermal_state.h"
#include "tests/coolant/csv_rows.h"

using namespace hosefit;
using namespace hosefit_test;

namespace {

CrossflowForm form_of(const Row& row) {
  return row.text("arrangement") == "crossflow both unmixed (approximate)" ? CrossflowForm::approximate
                                                                           : CrossflowForm::exact;
}

/// Temperatures of a loop with given properties and flows, everything through the radiator.
ThermalState steady(double heat_w, double flow_m3s, double density, double heat_capacity) {
  ThermalLoop loop;
  loop.thermostat = {Temperature::celsius(80.0), Temperature::celsius(90.0), ThermostatSide::block_outlet};
  loop.radiator = {5000.0, 8000.0, CrossflowForm::exact};
  loop.air_in = Temperature::celsius(20.0);
  loop.engine_heat_w = heat_w;
  const auto fluid_at = [&](Temperature at) -> Result<FluidProperties> {
    return FluidProperties{at, density, 1e-3, heat_capacity, 0.4, {}};
  };
  const auto flows_at = [&](const FluidProperties&, double opening) -> Result<LoopFlows> {
    return LoopFlows{Flow::m3s(flow_m3s), Flow::m3s(opening * flow_m3s)};
  };
  const Result<ThermalState> state = solve_thermal_state(loop, fluid_at, flows_at);
  REQUIRE(state);
  return *state;
}

double radiator_output(const Row& row) {
  std::map<std::string, double> in = inputs_of(row);
  const double coolant_w_k = in.at("m_coolant") * in.at("cp_coolant");
  const double air_w_k = in.at("m_air") * in.at("cp_air");
  const RadiatorHeat radiator = radiator_heat({in.at("UA"), air_w_k, CrossflowForm::exact}, coolant_w_k);
  const double heat_w = radiator.watts_per_kelvin * (in.at("Tc_in") - in.at("Ta_in"));
  if (row.text("output") == "effectiveness") return radiator.effectiveness;
  if (row.text("output") == "heat") return heat_w;
  if (row.text("output") == "coolant_out") return in.at("Tc_in") - heat_w / coolant_w_k;
  return in.at("Ta_in") + heat_w / air_w_k;
}

}  // namespace

TEST_CASE("crossflow effectiveness agrees with every table, each form with its own") {
  int exact = 0;
  int approximate = 0;
  for (const Row& row : rows_of("heat.csv")) {
    if (row.text("kind") != "effectiveness" && row.text("kind") != "published_effectiveness") continue;
    CAPTURE(row.text("id"), row.text("arrangement"), row.text("source"));
    const CrossflowForm form = form_of(row);
    const double got = crossflow_effectiveness(form, row.number("NTU"), row.number("Cr"));
    CHECK(relative_miss(got, row.number("expected")) <= tolerance_of(row));
    ++(form == CrossflowForm::exact ? exact : approximate);
  }
  CHECK(exact >= 30);
  CHECK(approximate >= 30);
}

TEST_CASE("the published number of transfer units gives back its effectiveness in the approximate form") {
  int compared = 0;
  for (const Row& row : rows_of("heat.csv")) {
    if (row.text("kind") != "published_NTU") continue;
    CAPTURE(row.text("id"), row.text("source"));
    const double ntu = row.number("expected");
    const double target = inputs_of(row).at("effectiveness");
    const double below =
        crossflow_effectiveness(form_of(row), ntu * (1.0 - row.number("rel_tol")), row.number("Cr"));
    const double above =
        crossflow_effectiveness(form_of(row), ntu * (1.0 + row.number("rel_tol")), row.number("Cr"));
    CHECK(below <= target);
    CHECK(target <= above);
    ++compared;
  }
  CHECK(compared == 1);
}

TEST_CASE("the two crossflow forms differ by up to 0.011, so they may not be mixed") {
  double most = 0.0;
  for (double ntu = 0.25; ntu <= 5.0; ntu += 0.25)
    for (double ratio = 0.1; ratio <= 1.0; ratio += 0.1)
      most = std::max(most, std::abs(crossflow_effectiveness(CrossflowForm::exact, ntu, ratio) -
                                     crossflow_effectiveness(CrossflowForm::approximate, ntu, ratio)));
  CHECK(most > 0.008);
  CHECK(most < 0.012);
}

TEST_CASE("effectiveness stays in range at the ends: nearly no coolant, a huge radiator") {
  for (const double ntu : {1e-9, 1e-3, 50.0, 1e3, 1e7})
    for (const double product : {1e-13, 1e-9, 1e-3, 1.0, 40.0}) {
      if (product > ntu) continue;
      CAPTURE(ntu, product);
      const double e = crossflow_effectiveness(CrossflowForm::exact, ntu, product / ntu);
      CHECK(e >= 0.0);
      CHECK(e <= 1.0 + 1e-12);
    }
  CHECK(crossflow_effectiveness(CrossflowForm::exact, 1e7, 1e-7) == Approx(1.0).epsilon(1e-6));
  CHECK(radiator_heat({1500.0, 2600.0, CrossflowForm::exact}, 0.0).watts_per_kelvin == 0.0);
}

TEST_CASE("radiator balances close") {
  int compared = 0;
  for (const Row& row : rows_of("heat.csv")) {
    if (row.text("kind") != "radiator") continue;
    CAPTURE(row.text("id"), row.text("output"), row.text("source"));
    CHECK(relative_miss(radiator_output(row), row.number("expected")) <= tolerance_of(row));
    ++compared;
  }
  CHECK(compared == 8);
}

TEST_CASE("the coolant warms in the engine by heat over flow, density and heat capacity") {
  int compared = 0;
  for (const Row& row : rows_of("heat.csv")) {
    if (row.text("kind") != "coolant_rise") continue;
    CAPTURE(row.text("id"), row.text("source"));
    std::map<std::string, double> in = inputs_of(row);
    const ThermalState state = steady(in.at("heat_W"), in.at("flow_m3s"), in.at("rho"), in.at("cp"));
    CHECK(relative_miss((state.block_outlet - state.pump_inlet).celsius(), row.number("expected")) <= 2e-9);
    ++compared;
  }
  CHECK(compared == 5);
}

TEST_CASE("more heat makes the block hotter until the radiator is told to overheat") {
  double before = 0.0;
  for (const double heat : {5e3, 2e4, 5e4, 1e5, 2e5}) {
    CAPTURE(heat);
    const ThermalState state = steady(heat, 2e-3, 1019.0, 3615.0);
    CHECK(state.outcome != ThermalOutcome::overheating);
    CHECK(state.radiator_heat_w == Approx(heat).epsilon(1e-9));
    CHECK(state.block_outlet.celsius() > before);
    before = state.block_outlet.celsius();
  }
  const ThermalState lost = steady(1e6, 2e-3, 1019.0, 3615.0);
  CHECK(lost.outcome == ThermalOutcome::overheating);
  CHECK(lost.radiator_heat_w < 1e6);
}
