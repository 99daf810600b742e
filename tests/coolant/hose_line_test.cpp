// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/coolant/hose_line.h"

#include <catch2/catch.hpp>
#include <numbers>

#include "solver/coolant/friction.h"
#include "solver/coolant/losses.h"

using namespace hosefit;

namespace {

const Length hose = Length::mm(38.0);
const Length neck = Length::mm(34.0);
const Length smooth = Length::mm(0.01);

FluidProperties hot_mix() {
  return *fluid_properties(*CoolantMix::by_volume(CoolantKind::ethylene_glycol, 0.5),
                           Temperature::celsius(90.0));
}

HydraulicLine lower_line() {
  return {
      "lower",
      {StraightRun{Length::mm(40.0), neck, Length::mm(0.0015)}, BoreStep{neck, hose},
       StraightRun{Length::mm(120.0), hose, smooth}, Bend{hose, Length::mm(57.0), Angle::deg(90.0), smooth},
       StraightRun{Length::mm(200.0), hose, smooth}, Bend{hose, Length::mm(57.0), Angle::deg(45.0), smooth},
       BoreStep{hose, neck}, StraightRun{Length::mm(40.0), neck, Length::mm(0.0015)}}};
}

double kpa(const HydraulicLine& line, double l_min) {
  return line_loss(line, hot_mix(), Flow::l_min(l_min)).nominal.kpa();
}

}  // namespace

TEST_CASE("friction of a straight hose is the pipe formula") {
  // 38.1 mm, 200 L/min, 1035 kg/m3, 0.8 mPa s: 2.92 m/s, Re 144 000, 2.28 kPa/m with a roughness of 0.02 mm
  // (derived with the explicit fit of Swamee and Jain 1976, which is within 1 % of Colebrook here).
  const FluidProperties fluid{Temperature::celsius(90.0), 1035.0, 0.8e-3, 3550.0, 0.43, {}};
  const HydraulicLine line{"straight", {StraightRun{Length::metre(1.0), Length::mm(38.1), Length::mm(0.02)}}};
  CHECK(line_velocity_m_s(line, Flow::l_min(200.0)) == Approx(2.92).epsilon(0.002));
  CHECK(line_loss(line, fluid, Flow::l_min(200.0)).nominal.kpa() == Approx(2.28).epsilon(0.01));
}

TEST_CASE("a bend costs its friction once: total loss equals the published total of the whole bend") {
  const HydraulicLine line{"bend", {Bend{hose, Length::mm(114.0), Angle::deg(90.0), Length()}}};
  const FluidProperties fluid = hot_mix();
  const Flow flow = Flow::l_min(200.0);
  const double v = line_velocity_m_s(line, flow);
  const double reynolds = fluid.density_kg_m3 * v * hose.metre() / fluid.viscosity_pa_s;
  const double head_pa = 0.5 * fluid.density_kg_m3 * v * v;
  CHECK(line_loss(line, fluid, flow).nominal.pa() ==
        Approx(bend_loss(reynolds, 3.0, Angle::deg(90.0)).total * head_pa).epsilon(1e-12));
}

TEST_CASE("a longer hose loses more, a wider one less, at every flow") {
  for (const double l_min : {0.5, 5.0, 12.0, 60.0, 200.0}) {
    CAPTURE(l_min);
    double before = 0.0;
    for (const double mm : {100.0, 200.0, 500.0, 900.0}) {
      const double loss = kpa({"run", {StraightRun{Length::mm(mm), hose, smooth}}}, l_min);
      CHECK(loss > before);
      before = loss;
    }
    before = 1e9;
    for (const double bore : {16.0, 25.0, 32.0, 38.0, 45.0}) {
      const double loss = kpa({"run", {StraightRun{Length::mm(500.0), Length::mm(bore), smooth}}}, l_min);
      CHECK(loss < before);
      before = loss;
    }
  }
}

TEST_CASE("a step met the other way round is the other step") {
  const HydraulicLine widening{"step", {BoreStep{neck, hose}}};
  const HydraulicLine narrowing{"step", {BoreStep{hose, neck}}};
  for (const double l_min : {10.0, 200.0}) CHECK(kpa(widening, -l_min) == -kpa(narrowing, l_min));
  CHECK(kpa(widening, 100.0) != Approx(kpa(narrowing, 100.0)).epsilon(0.05));
  CHECK(kpa(lower_line(), 0.0) == 0.0);
}

TEST_CASE("the band of a line holds thirty per cent, and what is unknown about corrugation and transition") {
  const LineLoss plain = line_loss(lower_line(), hot_mix(), Flow::l_min(150.0));
  CHECK(plain.low.pa() == Approx(0.7 * plain.nominal.pa()).epsilon(0.01));
  CHECK(plain.high.pa() == Approx(1.3 * plain.nominal.pa()).epsilon(0.01));
  CHECK_FALSE(plain.transitional);

  const HydraulicLine corrugated{"corrugated", {CorrugatedRun{Length::mm(600.0), hose, Length::mm(5.0)}}};
  const HydraulicLine same_smooth{"smooth", {StraightRun{Length::mm(600.0), hose, Length()}}};
  const LineLoss wavy = line_loss(corrugated, hot_mix(), Flow::l_min(120.0));
  const double smooth_pa = line_loss(same_smooth, hot_mix(), Flow::l_min(120.0)).nominal.pa();
  CHECK(wavy.low.pa() == Approx(2.0 * smooth_pa));
  CHECK(wavy.high.pa() == Approx(5.0 * smooth_pa));
  CHECK(wavy.low < wavy.nominal);
  CHECK(wavy.nominal < wavy.high);
  REQUIRE(wavy.notes.size() == 1);

  const FluidProperties cold =
      *fluid_properties(*CoolantMix::by_volume(CoolantKind::ethylene_glycol, 0.5), Temperature::celsius(0.0));
  const HydraulicLine heater{"heater", {StraightRun{Length::metre(1.5), Length::mm(16.0), smooth}}};
  const LineLoss between = line_loss(heater, cold, Flow::l_min(18.0));
  CHECK(between.transitional);
  CHECK(between.high.pa() > 1.2 * between.nominal.pa());
  CHECK(between.notes.size() == 1);
}

TEST_CASE("bends close together are noted") {
  const LineLoss close = line_loss(lower_line(), hot_mix(), Flow::l_min(100.0));
  REQUIRE(close.notes.size() == 1);
  CHECK(close.notes.front() ==
        "two bends stand 5.3 bores apart; closer than 10 their losses only add up to +-30 %");
  HydraulicLine far = lower_line();
  std::get<StraightRun>(far.elements[4]).length = Length::mm(400.0);
  CHECK(line_loss(far, hot_mix(), Flow::l_min(100.0)).notes.empty());
}

TEST_CASE("a line that cannot be is refused at the element") {
  CHECK(check(lower_line()).empty());
  HydraulicLine unmatched = lower_line();
  unmatched.elements.erase(unmatched.elements.begin() + 1);
  REQUIRE(check(unmatched).size() == 1);
  CHECK(check(unmatched).front().path == "lower.elements[1]");
  CHECK(check({"x", {StraightRun{Length::mm(-1.0), hose, smooth}}}).size() == 1);
  CHECK(check({"x", {StraightRun{Length::mm(1.0), Length(), smooth}}}).size() == 1);
  CHECK(check({"x", {StraightRun{Length::mm(1.0), hose, Length::mm(5.0)}}}).size() == 1);
  CHECK(check({"x", {Bend{hose, Length::mm(18.0), Angle::deg(90.0), smooth}}}).size() == 1);
  CHECK(check({"x", {Bend{hose, Length::mm(57.0), Angle::deg(-1.0), smooth}}}).size() == 1);
  CHECK(check({"x", {BoreStep{hose, neck, Angle()}}}).size() == 1);
  CHECK(check({"x", {CorrugatedRun{Length::mm(10.0), hose, Length()}}}).size() == 1);
}
