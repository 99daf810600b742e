// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/coolant/operating_point.h"

#include <catch2/catch.hpp>

using namespace hosefit;

namespace {

const Length smooth = Length::mm(0.01);

HydraulicLine radiator_hose(const std::string& name, double length_mm, double bore_mm) {
  const Length bore = Length::mm(bore_mm);
  return {name,
          {StraightRun{Length::mm(0.5 * length_mm), bore, smooth},
           Bend{bore, 1.5 * bore, Angle::deg(90.0), smooth},
           StraightRun{Length::mm(0.5 * length_mm), bore, smooth}}};
}

HydraulicLine heater_hose(const std::string& name) {
  return {name, {StraightRun{Length::mm(900.0), Length::mm(16.0), smooth}}};
}

PartLoss assumed(double linear, double quadratic) {
  PartLoss part;
  part.loss = {linear, quadratic};
  part.relative_band = 0.2;
  part.source = "assumed for the test";
  return part;
}

HeaterPath heater() {
  HeaterPath path;
  path.feed = heater_hose("heater feed");
  path.core = assumed(5e6, 4e10);
  path.return_line = heater_hose("heater return");
  return path;
}

/// Orders of magnitude of a large engine, from memory: 60 kPa shut-off at 3000 rpm of the pump.
CoolantCircuit circuit() {
  CoolantCircuit c{*CoolantMix::by_volume(CoolantKind::ethylene_glycol, 0.5),
                   *SourcedCurve::make({60000.0, -2e6, -8e9}, 3000.0, 0.15, "assumed for the test")};
  c.pulley_ratio = 1.2;
  c.engine_jacket = assumed(1e6, 2.5e9);
  c.radiator_core = assumed(1.2e6, 1.8e9);
  c.bypass = assumed(0.0, 3.5e10);
  c.heater = heater();
  c.thermostat.open_pa_s2_m6 = 2e9;
  c.thermostat.rule = {Temperature::celsius(82.0), Temperature::celsius(95.0), ThermostatSide::block_outlet};
  c.upper = radiator_hose("upper", 550.0, 38.0);
  c.lower = radiator_hose("lower", 700.0, 38.0);
  c.cap_gauge = Pressure::kpa(103.4);
  c.cap_above_pump = Length::mm(300.0);
  return c;
}

/// "pump and engine, bypass"; "none" when there is no loop.
std::string joined(const std::optional<std::vector<std::string>>& loop) {
  if (!loop) return "none";
  std::string text;
  for (const std::string& name : *loop) {
    if (!text.empty()) text.append(", ");
    text.append(name);
  }
  return text;
}

CircuitDuty cruise() {
  return {"cruise", 2500.0, 60000.0, 2500.0, 3500.0, Temperature::celsius(30.0)};
}
CircuitDuty idle() {
  return {"idle", 750.0, 12000.0, 900.0, 900.0, Temperature::celsius(30.0)};
}
CircuitDuty fast() {
  return {"high speed", 5000.0, 170000.0, 3500.0, 6000.0, Temperature::celsius(30.0)};
}

OperatingPoint point(const CoolantCircuit& of, const CircuitDuty& duty) {
  const Result<OperatingPoint> p = operating_point(of, duty);
  REQUIRE(p);
  return *p;
}

Flow warm_up_total(const CoolantCircuit& of) {
  const Result<WarmUpFlows> flows = warm_up_flows(of, 1500.0, Temperature::celsius(40.0));
  REQUIRE(flows);
  return flows->total.nominal();
}

}  // namespace

TEST_CASE("heat, flows and temperatures of an operating point balance") {
  for (const CircuitDuty& duty : {idle(), cruise(), fast()}) {
    CAPTURE(duty.name);
    const CoolantCircuit c = circuit();
    const OperatingPoint p = point(c, duty);
    CHECK(p.outcome == (duty.name == "high speed" ? ThermalOutcome::fully_open : ThermalOutcome::regulating));
    const double parts = p.radiator.nominal().m3s() + p.bypass->nominal().m3s() + p.heater->nominal().m3s();
    CHECK(p.total.nominal().m3s() == Approx(parts).epsilon(1e-9));
    const FluidProperties fluid = *fluid_properties(c.mix, p.block_outlet);
    const double heat_per_k = fluid.density_kg_m3 * fluid.heat_capacity_j_kg_k * p.radiator.nominal().m3s();
    CHECK(p.radiator_drop_k * heat_per_k == Approx(duty.heat_w).epsilon(1e-8));
    CHECK(p.pump_inlet < p.block_outlet);
    CHECK(p.total.curve_source() == "assumed for the test");
    REQUIRE(p.lines.size() == 4);
    for (const LineReport& line : p.lines)
      CHECK(line.percent_of_pump_rise == Approx(100.0 * line.loss.pa() / p.pump_rise.pa()));
  }
}

TEST_CASE("every flow lies inside its band, and a better known circuit has a narrower one") {
  const OperatingPoint p = point(circuit(), cruise());
  for (const SourcedFlow& flow : {p.total, p.radiator, *p.heater, *p.bypass}) {
    CHECK(flow.low() < flow.nominal());
    CHECK(flow.nominal() < flow.high());
  }
  CHECK(p.block_outlet_low < p.block_outlet_high);
  CHECK(p.suction_margin.low < p.suction_margin.nominal);
  CoolantCircuit known = circuit();
  known.pump = *SourcedCurve::make({60000.0, -2e6, -8e9}, 3000.0, 0.02, "bench");
  known.engine_jacket.relative_band = known.radiator_core.relative_band = known.bypass->relative_band = 0.02;
  const OperatingPoint k = point(known, cruise());
  CHECK(k.total.nominal() == p.total.nominal());
  CHECK(k.total.high() - k.total.low() < 0.6 * (p.total.high() - p.total.low()));
  CHECK(k.total.curve_source() == "bench");
}

TEST_CASE("a longer radiator hose never raises its flow, a wider one never lowers it") {
  Flow before = Flow::m3s(1.0);
  for (const double length : {300.0, 600.0, 1200.0, 2400.0}) {
    CAPTURE(length);
    CoolantCircuit c = circuit();
    c.lower = radiator_hose("lower", length, 38.0);
    const OperatingPoint p = point(c, fast());
    CHECK(p.radiator.nominal() <= before);
    before = p.radiator.nominal();
  }
  before = Flow();
  for (const double bore : {28.0, 32.0, 38.0, 45.0}) {
    CAPTURE(bore);
    CoolantCircuit c = circuit();
    c.lower = radiator_hose("lower", 700.0, bore);
    const OperatingPoint p = point(c, fast());
    CHECK(p.radiator.nominal() >= before);
    before = p.radiator.nominal();
  }
}

TEST_CASE("the narrower suction hose eats the suction margin and is flagged by its velocity") {
  CoolantCircuit c = circuit();
  const OperatingPoint wide = point(c, fast());
  c.lower = radiator_hose("lower", 700.0, 25.0);
  const OperatingPoint narrow = point(c, fast());
  CHECK(narrow.suction_margin.nominal < wide.suction_margin.nominal);
  CHECK(narrow.lines[1].velocity == VelocityGrade::above_limit);
  CHECK(wide.lines[1].velocity_m_s < narrow.lines[1].velocity_m_s);
}

TEST_CASE("velocity guides are graded at their own figures") {
  CHECK(velocity_grade(LineDuty::suction, 2.5) == VelocityGrade::within_guide);
  CHECK(velocity_grade(LineDuty::suction, 2.6) == VelocityGrade::above_preferred);
  CHECK(velocity_grade(LineDuty::suction, 3.1) == VelocityGrade::above_limit);
  CHECK(velocity_grade(LineDuty::pressure, 3.1) == VelocityGrade::within_guide);
  CHECK(velocity_grade(LineDuty::heater, 2.1) == VelocityGrade::above_limit);
}

TEST_CASE("the suction margin follows cap, altitude and where the cap joins") {
  const CoolantCircuit c = circuit();
  const OperatingPoint p = point(c, cruise());
  CoolantCircuit open = c;
  open.cap_gauge = Pressure::kpa(0.0);
  CHECK((p.suction_margin.nominal - point(open, cruise()).suction_margin.nominal).kpa() == Approx(103.4));
  CoolantCircuit high = c;
  high.altitude = Length::metre(2000.0);
  CHECK((p.suction_margin.nominal - point(high, cruise()).suction_margin.nominal).kpa() ==
        Approx(101.325 - 79.495).epsilon(1e-4));
  CHECK(point(high, cruise()).boiling_point < p.boiling_point);
  // From the radiator's outlet only the lower line is lost; from its inlet the core too; at the pump nothing.
  CoolantCircuit at_inlet = c;
  at_inlet.cap_at = CapPlace::radiator_inlet;
  CoolantCircuit at_pump = c;
  at_pump.cap_at = CapPlace::pump_inlet;
  const Pressure lower = p.lines[1].loss;
  CHECK((point(at_pump, cruise()).suction_margin.nominal - p.suction_margin.nominal).pa() ==
        Approx(lower.pa()).epsilon(1e-6));
  CHECK(point(at_inlet, cruise()).suction_margin.nominal < p.suction_margin.nominal);
}

TEST_CASE("an inlet-side thermostat holds the returning coolant, an outlet-side one the block's outlet") {
  CoolantCircuit c = circuit();
  const OperatingPoint outlet = point(c, cruise());
  c.thermostat.rule.side = ThermostatSide::pump_inlet;
  const OperatingPoint inlet = point(c, cruise());
  CHECK(outlet.block_outlet.celsius() > 82.0);
  CHECK(inlet.pump_inlet.celsius() > 82.0);
  CHECK(inlet.block_outlet > outlet.block_outlet);
  // The thermostat now stands in the suction: between the cap and the pump lie the lower line and it.
  CoolantCircuit at_pump = c;
  at_pump.cap_at = CapPlace::pump_inlet;
  const double flow = inlet.radiator.nominal().m3s();
  const double valve_pa = 2e9 / (inlet.thermostat_opening * inlet.thermostat_opening) * flow * flow;
  CHECK((point(at_pump, cruise()).suction_margin.nominal - inlet.suction_margin.nominal).pa() ==
        Approx(inlet.lines[1].loss.pa() + valve_pa).epsilon(1e-6));
}

TEST_CASE("too much heat is told as overheating, not as a failure") {
  CircuitDuty tow = idle();
  tow.heat_w = 80000.0;
  const OperatingPoint p = point(circuit(), tow);
  CHECK(p.outcome == ThermalOutcome::overheating);
  CHECK(p.overheats_in_band);
  CHECK(p.thermostat_opening == 1.0);
}

TEST_CASE("with the thermostat shut coolant must find a way that nothing can shut") {
  CoolantCircuit c = circuit();
  CHECK(joined(warm_up_loop(c)) == "pump and engine, bypass");
  c.bypass.reset();
  CHECK(joined(warm_up_loop(c)) == "pump and engine, heater");
  CHECK(warm_up_total(c) > Flow());
  c.heater->can_shut = true;
  CHECK_FALSE(warm_up_loop(c));
  c.heater.reset();
  CHECK_FALSE(warm_up_loop(c));
  CHECK(std::abs(warm_up_total(c).l_min()) < 1e-6);
}

TEST_CASE("the warm-up loop of any circuit is the shortest way round that counts") {
  const std::vector<CircuitBranch> branches = {
      {"pump", 0, 1, false, false, true},  {"core", 1, 0, true, false, false},
      {"tap", 1, 0, false, true, false},   {"by a", 2, 1, false, false, false},
      {"by b", 2, 3, false, false, false}, {"by c", 3, 0, false, false, false},
      {"long", 1, 4, false, false, false}, {"longer", 4, 2, false, false, false}};
  CHECK(joined(warm_up_loop(5, branches)) == "pump, by a, by b, by c");
  std::vector<CircuitBranch> broken = branches;
  broken[5].closable = true;
  CHECK_FALSE(warm_up_loop(5, broken));
  CHECK_FALSE(warm_up_loop(5, {branches.begin() + 1, branches.end()}));
}

TEST_CASE("a difference of hose loss inside its own uncertainty is called none") {
  CHECK(compare_losses("A", Pressure::kpa(1.9), "B", Pressure::kpa(2.1)) ==
        "A and B lose about the same (1.9 and 2.1 kPa, each +-30 %)");
  CHECK(compare_losses("A", Pressure::kpa(1.0), "B", Pressure::kpa(4.0)) ==
        "A loses less than B (1.0 and 4.0 kPa, each +-30 %)");
  CHECK(compare_losses("A", Pressure::kpa(4.0), "B", Pressure::kpa(1.0)) ==
        "A loses more than B (4.0 and 1.0 kPa, each +-30 %)");
}

TEST_CASE("a circuit or duty that cannot be is refused with every reason") {
  CoolantCircuit c = circuit();
  c.pulley_ratio = 0.0;
  c.radiator_core.source.clear();
  c.bypass->relative_band = 1.0;
  c.thermostat.rule.fully_open_at = Temperature::celsius(80.0);
  c.altitude = Length::metre(9000.0);
  std::get<StraightRun>(c.upper.elements[0]).bore = Length::mm(30.0);
  CircuitDuty still = cruise();
  still.crank_rpm = 0.0;
  const Result<OperatingPoint> p = operating_point(c, still);
  REQUIRE_FALSE(p);
  CHECK(p.problems().size() == 7);
  CircuitDuty cold = cruise();
  cold.heat_w = 0.0;
  cold.air_in = Temperature::celsius(90.0);
  const Result<std::vector<OperatingPoint>> all = operating_points(circuit(), {idle(), cold});
  REQUIRE_FALSE(all);
  CHECK(all.problems().size() == 2);
  CHECK(operating_points(circuit(), {idle(), cruise(), fast()})->size() == 3);
}
