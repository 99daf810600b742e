// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>

#include "solver/base/quantity.h"
#include "solver/base/result.h"

/// The pump's curve and the flows that follow from it. A flow computed through a pump is only as good as the
/// curve, so a curve without a source cannot be made, and a flow without a curve cannot be written down.
namespace hosefit {

/// Rise of total pressure at the reference speed: a0 + a1 Q + a2 Q|Q|, with Q in m3/s and Pa as unit.
struct PumpCoefficients {
  double a0_pa = 0.0;
  double a1_pa_s_m3 = 0.0;
  double a2_pa_s2_m6 = 0.0;
  friend bool operator==(const PumpCoefficients&, const PumpCoefficients&) = default;
};

class SourcedCurve {
 public:
  /// Wants reference_rpm > 0, a0 > 0, a1 <= 0, a2 <= 0 with one of them below zero (a curve that falls, so
  /// that the operating point is unique), 0 <= relative_band < 1 on the rise, and a source that is not blank.
  static Result<SourcedCurve> make(PumpCoefficients at_reference, double reference_rpm, double relative_band,
                                   std::string source);

  const PumpCoefficients& coefficients() const { return coefficients_; }
  double reference_rpm() const { return reference_rpm_; }
  double relative_band() const { return relative_band_; }
  const std::string& source() const { return source_; }
  friend bool operator==(const SourcedCurve&, const SourcedCurve&) = default;

 private:
  SourcedCurve() = default;
  PumpCoefficients coefficients_;
  double reference_rpm_ = 0.0;
  double relative_band_ = 0.0;
  std::string source_;
};

/// Rise at a flow and a speed ratio s = speed/reference by the affinity laws: s^2 a0 + s a1 Q + a2 Q|Q|.
double pump_rise_pa(const PumpCoefficients&, double speed_ratio, double flow_m3s);

/// A flow that follows from a pump curve, with its band. There is no way to make one without a curve.
class SourcedFlow {
 public:
  /// Requires low <= nominal <= high (asserted).
  SourcedFlow(Flow nominal, Flow low, Flow high, const SourcedCurve& curve);
  Flow nominal() const { return nominal_; }
  Flow low() const { return low_; }
  Flow high() const { return high_; }
  const std::string& curve_source() const { return curve_source_; }
  /// "123 L/min (104 to 139), pump curve: <source>".
  std::string text() const;
  friend bool operator==(const SourcedFlow&, const SourcedFlow&) = default;

 private:
  Flow nominal_;
  Flow low_;
  Flow high_;
  std::string curve_source_;
};

}  // namespace hosefit
