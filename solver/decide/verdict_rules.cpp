// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/verdict_rules.h"

#include <algorithm>
#include <limits>
#include <tuple>

namespace hosefit {

Fit fit_of(PartsState parts, std::span<const LineState> lines) {
  const auto any = [&](LineState state) {
    return std::find(lines.begin(), lines.end(), state) != lines.end();
  };
  if (parts == PartsState::do_not || any(LineState::blocked)) return Fit::does_not_fit;
  if (parts == PartsState::not_seen || any(LineState::open)) return Fit::undecided;
  if (any(LineState::wrong_stock)) return Fit::passage_no_stock;
  return Fit::fits;
}

bool is_argument(SearchOutcome outcome) {
  switch (outcome) {
    case SearchOutcome::stub_blocked:
    case SearchOutcome::no_passage:
    case SearchOutcome::no_room_to_bend:
      return true;
    case SearchOutcome::found:
    case SearchOutcome::no_stock:
    case SearchOutcome::budget_spent:
      return false;
  }
  return false;
}

void order_findings(std::vector<Finding>& findings) {
  const auto key = [](const Finding& f) {
    const int severity = f.severity == Severity::stop   ? (f.undecided ? 1 : 0)
                         : f.severity == Severity::flag ? 2
                                                        : 3;
    return std::tuple(severity, f.margin.value_or(std::numeric_limits<double>::infinity()),
                      static_cast<int>(f.rule), f.subject, f.other);
  };
  std::stable_sort(findings.begin(), findings.end(),
                   [&](const Finding& a, const Finding& b) { return key(a) < key(b); });
}

void LimitsCount::add(const std::string& key, const Provenance& provenance) {
  const auto same = [&](const auto& known) { return known.first == key; };
  if (std::none_of(limits_.begin(), limits_.end(), same)) limits_.emplace_back(key, provenance);
}

LimitsAnswer LimitsCount::answer() const {
  LimitsAnswer answer;
  for (const auto& [key, provenance] : limits_) {
    if (is_signed(provenance))
      ++answer.signed_by_shop;
    else if (is_sourced(provenance))
      ++answer.sourced;
    else
      ++answer.unsourced;
  }
  return answer;
}

}  // namespace hosefit
