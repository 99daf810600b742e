// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <string_view>

#include "solver/model/finding.h"

namespace hosefit {

/// A number decimal-pointed for a finding's parameters.
std::string told(double value, int decimals = 1);

/// A finding against a lower limit: margin = measured - limit.
Finding below_limit(RuleId rule, Severity severity, std::string subject, double measured, double limit,
                    FindingUnit unit);
/// A finding against an upper limit: margin = limit - measured.
Finding above_limit(RuleId rule, Severity severity, std::string subject, double measured, double limit,
                    FindingUnit unit);
/// A stop without numbers; `reason` is a stable word in parameters["reason"].
Finding refused(RuleId rule, std::string subject, std::string_view reason);

}  // namespace hosefit
