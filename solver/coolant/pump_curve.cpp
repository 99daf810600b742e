// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/coolant/pump_curve.h"

#include <fmt/format.h>

#include <cassert>
#include <cmath>
#include <utility>

#include "solver/coolant/problem.h"

namespace hosefit {

Result<SourcedCurve> SourcedCurve::make(PumpCoefficients at_reference, double reference_rpm,
                                        double relative_band, std::string source) {
  Problems problems;
  const auto refuse = [&](const char* key, std::string text) {
    problems.push_back(coolant_problem(std::string("pump.") + key, std::move(text)));
  };
  const PumpCoefficients& c = at_reference;
  if (!(reference_rpm > 0.0 && std::isfinite(reference_rpm)))
    refuse("reference_rpm", fmt::format("want a speed above 0 rpm, got {}", reference_rpm));
  if (!(c.a0_pa > 0.0 && std::isfinite(c.a0_pa)))
    refuse("a0", fmt::format("want a shut-off rise above 0 Pa, got {}", c.a0_pa));
  if (!(c.a1_pa_s_m3 <= 0.0 && c.a2_pa_s2_m6 <= 0.0 && c.a1_pa_s_m3 + c.a2_pa_s2_m6 < 0.0 &&
        std::isfinite(c.a1_pa_s_m3 + c.a2_pa_s2_m6)))
    refuse("a1", fmt::format(
                     "want a curve that falls with flow (a1 <= 0, a2 <= 0, not both 0), got a1 {} and a2 {}",
                     c.a1_pa_s_m3, c.a2_pa_s2_m6));
  if (!(relative_band >= 0.0 && relative_band < 1.0))
    refuse("band", fmt::format("want 0 <= band < 1, got {}", relative_band));
  if (source.find_first_not_of(" \t\r\n") == std::string::npos)
    refuse("source", "want the source of the curve: who measured it, how, when; got nothing");
  if (!problems.empty()) return problems;
  SourcedCurve curve;
  curve.coefficients_ = at_reference;
  curve.reference_rpm_ = reference_rpm;
  curve.relative_band_ = relative_band;
  curve.source_ = std::move(source);
  return curve;
}

double pump_rise_pa(const PumpCoefficients& c, double speed_ratio, double flow_m3s) {
  return speed_ratio * speed_ratio * c.a0_pa + speed_ratio * c.a1_pa_s_m3 * flow_m3s +
         c.a2_pa_s2_m6 * flow_m3s * std::abs(flow_m3s);
}

SourcedFlow::SourcedFlow(Flow nominal, Flow low, Flow high, const SourcedCurve& curve)
    : nominal_(nominal), low_(low), high_(high), curve_source_(curve.source()) {
  assert(low <= nominal && nominal <= high);
}

std::string SourcedFlow::text() const {
  return fmt::format("{:.0f} L/min ({:.0f} to {:.0f}), pump curve: {}", nominal_.l_min(), low_.l_min(),
                     high_.l_min(), curve_source_);
}

}  // namespace hosefit
