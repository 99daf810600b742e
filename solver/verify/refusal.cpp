// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/refusal.h"

#include <fmt/format.h>

namespace hosefit {

std::string told(double value, int decimals) {
  return fmt::format("{:.{}f}", value + 0.0, decimals);
}

Finding below_limit(RuleId rule, Severity severity, std::string subject, double measured, double limit,
                    FindingUnit unit) {
  Finding finding;
  finding.rule = rule;
  finding.severity = severity;
  finding.subject = std::move(subject);
  finding.measured = measured;
  finding.limit = limit;
  finding.margin = measured - limit;
  finding.unit = unit;
  return finding;
}

Finding above_limit(RuleId rule, Severity severity, std::string subject, double measured, double limit,
                    FindingUnit unit) {
  Finding finding = below_limit(rule, severity, std::move(subject), measured, limit, unit);
  finding.margin = limit - measured;
  return finding;
}

Finding refused(RuleId rule, std::string subject, std::string_view reason) {
  Finding finding;
  finding.rule = rule;
  finding.severity = Severity::stop;
  finding.subject = std::move(subject);
  finding.parameters["reason"] = std::string(reason);
  return finding;
}

}  // namespace hosefit
