// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/coolant/network.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <map>
#include <numbers>

#include "solver/base/dice.h"
#include "solver/coolant/friction.h"
#include "solver/coolant/thermal_state.h"
#include "tests/coolant/csv_rows.h"

using namespace hosefit;
using namespace hosefit_test;

namespace {

constexpr double per_hour = 3600.0;

FluidProperties given_fluid(double density, double viscosity, double heat_capacity = 4000.0) {
  return {Temperature::celsius(20.0), density, viscosity, heat_capacity, 0.6, {}};
}

/// The loop of data/network_case_*.csv: pump and block in series, then radiator, bypass and heater in
/// parallel.
FluidProperties case_fluid() {
  return given_fluid(1019.0, 0.82e-3, 3615.0);
}

Pipe case_pipe(double bore_m, double length_m, double k) {
  return {Length::metre(bore_m), Length::metre(length_m), Length::metre(1.5e-6), k};
}

Network case_network(double speed_ratio, double opening) {
  Network network;
  network.node_count = 2;
  network.branches = {
      {"engine", 1, 0, {PumpElement{{60000.0, -2e6, -8e9}, speed_ratio, 1.0}, QuadraticLoss{1e6, 2.5e9}}},
      {"radiator",
       0,
       1,
       {Valve{2e9, opening}, case_pipe(0.038, 0.55, 0.75), QuadraticLoss{1.2e6, 1.8e9},
        case_pipe(0.038, 0.70, 0.65)}},
      {"bypass", 0, 1, {case_pipe(0.016, 0.25, 3.0)}},
      {"heater", 0, 1, {case_pipe(0.016, 1.8, 2.4), QuadraticLoss{5e6, 4e10}}}};
  return network;
}

NetworkSolution solved(const Network& network, const FluidProperties& fluid) {
  Result<NetworkSolution> solution = solve_network(network, fluid);
  REQUIRE(solution);
  return *solution;
}

/// A head that no flow changes: the height of a reservoir.
PumpElement fixed_pressure(double pascal) {
  return {{pascal, 0.0, 0.0}, 1.0, 1.0};
}

double velocity(double flow_m3s, double bore_m) {
  return flow_m3s / (0.25 * std::numbers::pi * bore_m * bore_m);
}

using Outputs = std::map<std::string, double>;
using Inputs = std::map<std::string, double>;

double kinematic(const Inputs& in) {
  return in.count("nu") ? in.at("nu") : in.at("mu") / in.at("rho");
}

/// A single pipe with known flow: velocity, Reynolds number, friction factor, head and pressure lost.
Outputs known_flow(const Inputs& in, double extra_k) {
  const double d = in.at("D");
  const double flow = in.count("Q") ? in.at("Q") : in.at("V") * 0.25 * std::numbers::pi * d * d;
  const double v = velocity(flow, d);
  const double nu = in.count("Re") ? v * d / in.at("Re") : kinematic(in);
  const double roughness = in.count("eps") ? in.at("eps") / d : in.at("rel_roughness");
  const Pipe pipe{Length::metre(d), Length::metre(in.at("L")), Length::metre(roughness * d), extra_k};
  const double lost = element_drop_pa(pipe, given_fluid(in.at("rho"), nu * in.at("rho")), flow);
  const double head = lost / (in.at("rho") * in.at("g"));
  return {{"V", v},     {"Re", v * d / nu}, {"f", friction_factor(v * d / nu, roughness)},
          {"hf", head}, {"hL", head},       {"dp", lost}};
}

double numbered(const Inputs& in, std::string name, const std::string& number) {
  return in.at(name += number);
}

Pipe numbered_pipe(const Inputs& in, const std::string& number) {
  const double d = numbered(in, "D", number);
  return {Length::metre(d), Length::metre(numbered(in, "L", number)),
          Length::metre(d * numbered(in, "rr", number)), 0.0};
}

/// Three reservoirs whose pipes meet at node 1; node 0 is the datum. Flows count towards the junction.
Outputs three_reservoirs(const std::vector<double>& levels_pa, const std::vector<NetworkElement>& pipes,
                         const FluidProperties& fluid) {
  Network network;
  network.node_count = 2;
  for (std::size_t i = 0; i < 3; ++i)
    network.branches.push_back({"reservoir", 0, 1, {fixed_pressure(levels_pa[i]), pipes[i]}});
  const NetworkSolution s = solved(network, fluid);
  return {{"Q1", s.flows[0].m3s()},
          {"Q2", s.flows[1].m3s()},
          {"Q3", s.flows[2].m3s()},
          {"junction_pa", s.pressures[1]->pa()}};
}

Outputs p03_rate(const Inputs& in) {
  const double d = in.at("D");
  const Network network{1,
                        {{"pipe",
                          0,
                          0,
                          {fixed_pressure(in.at("hf") * in.at("rho") * in.at("g")),
                           Pipe{Length::metre(d), Length::metre(in.at("L")),
                                Length::metre(d * in.at("rel_roughness")), 0.0}}}}};
  const double flow = solved(network, given_fluid(in.at("rho"), in.at("nu") * in.at("rho"))).flows[0].m3s();
  return {{"Q", flow}, {"V", velocity(flow, d)}, {"Re", velocity(flow, d) * d / in.at("nu")}};
}

Outputs p06_series(const Inputs& in) {
  const double rho = in.at("rho");
  const Network network{1,
                        {{"series",
                          0,
                          0,
                          {fixed_pressure(in.at("dp") + rho * in.at("g") * in.at("drop_z")),
                           numbered_pipe(in, "1"), numbered_pipe(in, "2"), numbered_pipe(in, "3")}}}};
  const double flow = solved(network, given_fluid(rho, in.at("nu") * rho)).flows[0].m3s();
  return {{"Q", flow}, {"Q_m3h", per_hour * flow}};
}

Outputs p07_parallel(const Inputs& in) {
  const double rho = in.at("rho");
  const Network network{2,
                        {{"head", 1, 0, {fixed_pressure(in.at("hf") * rho * in.at("g"))}},
                         {"1", 0, 1, {numbered_pipe(in, "1")}},
                         {"2", 0, 1, {numbered_pipe(in, "2")}},
                         {"3", 0, 1, {numbered_pipe(in, "3")}}}};
  const NetworkSolution s = solved(network, given_fluid(rho, in.at("nu") * rho));
  return {{"Q_m3h", per_hour * s.flows[0].m3s()},
          {"Q1_m3h", per_hour * s.flows[1].m3s()},
          {"Q2_m3h", per_hour * s.flows[2].m3s()},
          {"Q3_m3h", per_hour * s.flows[3].m3s()}};
}

Outputs p08_reservoirs(const Inputs& in) {
  const double rho = in.at("rho");
  const double weight = rho * in.at("g");
  Outputs out = three_reservoirs({weight * in.at("z1"), weight * in.at("z2"), weight * in.at("z3")},
                                 {numbered_pipe(in, "1"), numbered_pipe(in, "2"), numbered_pipe(in, "3")},
                                 given_fluid(rho, in.at("nu") * rho));
  return {{"hJ", out.at("junction_pa") / weight},
          {"Q1_m3h", per_hour * out.at("Q1")},
          {"Q2_m3h", per_hour * out.at("Q2")},
          {"Q3_m3h", per_hour * out.at("Q3")}};
}

/// Head lost with a given friction factor, as a quadratic element in metres of head (density and gravity
/// cancel).
QuadraticLoss fixed_friction(const Inputs& in, double length_m) {
  const double area = 0.25 * std::numbers::pi * in.at("D") * in.at("D");
  return {0.0, in.at("f") * length_m / in.at("D") / (2.0 * in.at("g") * area * area)};
}

Outputs p10_reservoirs(const Inputs& in) {
  Outputs out = three_reservoirs(
      {in.at("z1"), in.at("z2"), in.at("z3")},
      {fixed_friction(in, in.at("L1")), fixed_friction(in, in.at("L2")), fixed_friction(in, in.at("L3"))},
      given_fluid(1000.0, 1e-3));
  // The book counts flow out of the highest and into the two lower reservoirs.
  return {{"Q1", out.at("Q1")}, {"Q2", -out.at("Q2")}, {"Q3", -out.at("Q3")}};
}

Outputs p12_pump(const Inputs& in) {
  const Network network{1,
                        {{"pump",
                          0,
                          0,
                          {PumpElement{{in.at("pump_H0"), 0.0, -in.at("pump_k")}, 1.0, 1.0},
                           fixed_pressure(-in.at("dz")), fixed_friction(in, in.at("L"))}}}};
  const double flow = solved(network, given_fluid(1000.0, 1e-3)).flows[0].m3s();
  return {{"Q", flow}, {"H", pump_rise_pa({in.at("pump_H0"), 0.0, -in.at("pump_k")}, 1.0, flow)}};
}

Outputs example(const std::string& id, Inputs in) {
  if (id == "P03") return p03_rate(in);
  if (id == "P06") return p06_series(in);
  if (id == "P07") return p07_parallel(in);
  if (id == "P08") return p08_reservoirs(in);
  if (id == "P10") return p10_reservoirs(in);
  if (id == "P12") return p12_pump(in);
  if (id == "P15") {
    Outputs out = known_flow(in, in.at("sumK"));
    out["z1"] = out.at("hL") + in.at("z2");
    return out;
  }
  if (id == "P22") {
    in["rel_roughness"] = 0.0;
    Outputs out = known_flow(in, in.at("K_fittings"));
    out["dp"] += in.at("rho") * in.at("g") * in.at("dz");
    return out;
  }
  Outputs out = known_flow(in, 0.0);
  // P01 runs 500 m down a slope of 10 deg, and its answer counts the height.
  if (in.count("slope_down_deg"))
    out["dp"] -=
        in.at("rho") * in.at("g") * in.at("L") * std::sin(in.at("slope_down_deg") * std::numbers::pi / 180.0);
  return out;
}

}  // namespace

TEST_CASE("textbook pipes, series, parallel pipes, reservoirs and pumps come out as published") {
  int compared = 0;
  for (const Row& row : rows_of("pipe_examples.csv")) {
    CAPTURE(row.text("id"), row.text("title"), row.text("output"), row.text("source"));
    const Outputs out = example(row.text("id"), inputs_of(row));
    REQUIRE(out.count(row.text("output")) == 1);
    CHECK(relative_miss(out.at(row.text("output")), row.number("expected")) <= row.number("rel_tol"));
    CHECK(relative_miss(out.at(row.text("output")), row.number("recomputed")) <= 1e-6);
    ++compared;
  }
  CHECK(compared >= 30);
}

TEST_CASE("the loop of pump, block, radiator, bypass and heater agrees with two other solvers") {
  int compared = 0;
  for (const Row& row : rows_of("network_case_hydraulic.csv")) {
    CAPTURE(row.text("id"), row.text("source"));
    const NetworkSolution s =
        solved(case_network(row.number("speed_ratio"), row.number("opening")), case_fluid());
    const double tolerance = row.number("rel_tol");
    CHECK(relative_miss(s.flows[0].m3s(), row.number("Q_total")) <= tolerance);
    CHECK(relative_miss(s.flows[1].m3s(), row.number("Q_radiator")) <= tolerance);
    CHECK(relative_miss(s.flows[2].m3s(), row.number("Q_bypass")) <= tolerance);
    CHECK(relative_miss(s.flows[3].m3s(), row.number("Q_heater")) <= tolerance);
    CHECK(relative_miss(s.pressures[0]->pa() - s.pressures[1]->pa(), row.number("dp_AB")) <= tolerance);
    const double rise = pump_rise_pa({60000.0, -2e6, -8e9}, row.number("speed_ratio"), s.flows[0].m3s());
    CHECK(relative_miss(rise, row.number("pump_rise")) <= tolerance);
    CHECK(s.residual <= 1e-10);
    ++compared;
  }
  CHECK(compared == 6);
}

TEST_CASE("the coupled temperatures of that loop agree with two other solvers") {
  int compared = 0;
  for (const Row& row : rows_of("network_case_thermal.csv")) {
    CAPTURE(row.text("id"), row.text("source"));
    const double speed = row.number("speed_ratio");
    const ThermalLoop loop{
        {Temperature::celsius(82.0), Temperature::celsius(95.0), ThermostatSide::block_outlet},
        {1500.0, 2600.0, CrossflowForm::approximate},
        Temperature::celsius(35.0),
        row.number("engine_heat_W"),
        Temperature::celsius(150.0)};
    const auto fluid_at = [](Temperature) -> Result<FluidProperties> { return case_fluid(); };
    const auto flows_at = [&](const FluidProperties& fluid, double opening) -> Result<LoopFlows> {
      const Result<NetworkSolution> s = solve_network(case_network(speed, opening), fluid);
      if (!s) return s.problems();
      return LoopFlows{s->flows[0], s->flows[1]};
    };
    const Result<ThermalState> state = solve_thermal_state(loop, fluid_at, flows_at);
    REQUIRE(state);
    const double tolerance = row.number("rel_tol");
    CHECK(relative_miss(state->block_outlet.celsius(), row.number("T_A")) <= tolerance);
    CHECK(relative_miss(state->pump_inlet.celsius(), row.number("T_B")) <= tolerance);
    CHECK(relative_miss(state->radiator_outlet.celsius(), row.number("T_radiator_out")) <= tolerance);
    CHECK(relative_miss(state->opening, row.number("x")) <=
          10.0 * tolerance);  // x is a difference of temperatures
    CHECK(relative_miss(state->effectiveness, row.number("effectiveness")) <= 10.0 * tolerance);
    CHECK(state->outcome ==
          (row.number("x") < 1.0 ? ThermalOutcome::regulating : ThermalOutcome::fully_open));
    ++compared;
  }
  CHECK(compared == 4);
}

TEST_CASE("turning every pump round turns every flow round") {
  Network forward = case_network(1.0, 0.7);
  Network backward = forward;
  for (Branch& branch : backward.branches) std::swap(branch.from, branch.to);
  const NetworkSolution a = solved(forward, case_fluid());
  const NetworkSolution b = solved(backward, case_fluid());
  for (std::size_t i = 0; i < a.flows.size(); ++i)
    CHECK(relative_miss(b.flows[i].m3s(), a.flows[i].m3s()) < 1e-9);
  CHECK(relative_miss(b.pressures[1]->pa(), -a.pressures[1]->pa()) < 1e-9);

  // Only the other branches turned: the same flows with the other sign.
  Network relabelled = forward;
  for (std::size_t i = 1; i < 4; ++i) std::swap(relabelled.branches[i].from, relabelled.branches[i].to);
  const NetworkSolution c = solved(relabelled, case_fluid());
  for (std::size_t i = 1; i < 4; ++i) CHECK(relative_miss(-c.flows[i].m3s(), a.flows[i].m3s()) < 1e-9);
}

TEST_CASE("every loss is odd in the flow") {
  const std::vector<NetworkElement> elements = {
      case_pipe(0.016, 1.8, 2.4), QuadraticLoss{5e6, 4e10}, Valve{2e9, 0.3},
      HoseLine{{"hose",
                {StraightRun{Length::mm(300.0), Length::mm(38.0), Length::mm(0.01)},
                 Bend{Length::mm(38.0), Length::mm(57.0), Angle::deg(90.0), Length::mm(0.01)}}}}};
  for (const NetworkElement& element : elements)
    for (const double flow : {0.0, 1e-9, 1e-5, 4e-5, 2e-3}) {
      CAPTURE(element.index(), flow);
      CHECK(element_drop_pa(element, case_fluid(), -flow) == -element_drop_pa(element, case_fluid(), flow));
    }
}

TEST_CASE("flow follows pump speed in a quadratic system only") {
  Network quadratic;
  quadratic.node_count = 2;
  quadratic.branches = {{"pump", 1, 0, {PumpElement{{60000.0, -2e6, -8e9}, 1.0, 1.0}}},
                        {"load", 0, 1, {QuadraticLoss{0.0, 2.5e9}}},
                        {"side", 0, 1, {QuadraticLoss{0.0, 4e10}}}};
  Network slow = quadratic;
  std::get<PumpElement>(slow.branches[0].elements[0]).speed_ratio = 0.4;
  for (std::size_t i = 0; i < 3; ++i)
    CHECK(relative_miss(solved(slow, case_fluid()).flows[i].m3s(),
                        0.4 * solved(quadratic, case_fluid()).flows[i].m3s()) < 1e-9);
  // With friction that depends on Re a slower pump moves less than its share.
  const double fast = solved(case_network(1.0, 1.0), case_fluid()).flows[0].m3s();
  const double slowed = solved(case_network(0.4, 1.0), case_fluid()).flows[0].m3s();
  CHECK(slowed < 0.39 * fast);
}

TEST_CASE("a closed valve takes its branch out and nearly closed comes near that") {
  const NetworkSolution shut = solved(case_network(1.0, 0.0), case_fluid());
  const NetworkSolution nearly = solved(case_network(1.0, 1e-6), case_fluid());
  CHECK(shut.flows[1].m3s() == 0.0);
  CHECK(nearly.flows[1].m3s() > 0.0);
  CHECK(relative_miss(nearly.flows[0].m3s(), shut.flows[0].m3s()) < 1e-4);
}

TEST_CASE("with every way shut nothing flows, and a cut-off node has no pressure") {
  Network network = case_network(1.0, 0.0);
  network.branches.resize(2);
  const NetworkSolution s = solved(network, case_fluid());
  CHECK(std::abs(s.flows[0].m3s()) < 1e-12);
  CHECK(s.pressures[1]->pa() == Approx(-60000.0));
  Network cut{
      3, {{"pump", 1, 0, {PumpElement{{1000.0, -1e5, 0.0}, 1.0, 1.0}}}, {"valve", 1, 2, {Valve{1e9, 0.0}}}}};
  CHECK_FALSE(solved(cut, case_fluid()).pressures[2].has_value());
}

TEST_CASE("random meshes meet continuity at every node and the law of every branch") {
  constexpr int meshes = 300;
  for (int task = 0; task < meshes; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{2024}, static_cast<std::uint64_t>(task));
    const std::size_t nodes = 3 + static_cast<std::size_t>(dice.unit() * 5.0);
    Network network;
    network.node_count = nodes;
    network.branches.push_back(
        {"pump",
         0,
         1,
         {PumpElement{{2e4 + 1e5 * dice.unit(), -1e6 * dice.unit(), -1e9 - 1e10 * dice.unit()},
                      0.2 + dice.unit(),
                      1.0}}});
    for (std::size_t n = 0; n < nodes; ++n)  // a ring, so that every node has a way through
      network.branches.push_back(
          {"ring",
           n,
           (n + 1) % nodes,
           {case_pipe(0.01 + 0.03 * dice.unit(), 0.1 + dice.unit(), 2.0 * dice.unit())}});
    for (int extra = 0; extra < 4; ++extra)
      network.branches.push_back({"extra",
                                  static_cast<std::size_t>(dice.unit() * static_cast<double>(nodes)),
                                  static_cast<std::size_t>(dice.unit() * static_cast<double>(nodes)),
                                  {Valve{1e9, dice.unit()}, QuadraticLoss{1e6 * dice.unit(), 1e9}}});
    const Result<NetworkSolution> s = solve_network(network, case_fluid());
    REQUIRE(s);
    std::vector<double> gathered(nodes, 0.0);
    double size = 0.0;
    for (std::size_t b = 0; b < network.branches.size(); ++b) {
      const Branch& branch = network.branches[b];
      const double flow = s->flows[b].m3s();
      gathered[branch.from] -= flow;
      gathered[branch.to] += flow;
      size = std::max(size, std::abs(flow));
      const double between = s->pressures[branch.from]->pa() - s->pressures[branch.to]->pa();
      CHECK(std::abs(branch_drop_pa(branch, case_fluid(), flow) - between) < 1e-4);
    }
    for (const double sum : gathered) CHECK(std::abs(sum) <= 1e-9 * size);
  }
}

TEST_CASE("a network that cannot be is refused with every reason") {
  Network network = case_network(1.0, 2.0);
  network.branches[2].to = 7;
  network.branches[3].elements.push_back(case_pipe(-0.016, 1.0, -1.0));
  network.branches[0].elements.push_back(PumpElement{{1e4, 1e6, 0.0}, 1.0, 1.0});
  const Result<NetworkSolution> s = solve_network(network, case_fluid());
  REQUIRE_FALSE(s);
  CHECK(s.problems().size() == 5);
  CHECK_FALSE(solve_network(Network{}, case_fluid()));
}
