// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/state.h"

#include <fmt/format.h>

#include <algorithm>

#include "solver/report/reasons.h"
#include "solver/report/words.h"

namespace hosefit {
namespace {

std::string earlier_words(const State& state, const Pane& pane) {
  if (!pane.held) return state.solving ? "being worked out" : "not worked out";
  const Answer& held = *pane.held;
  if (held.question.candidate.height != state.height)
    return fmt::format("at {}: {}", length_words(held.question.candidate.height, state.unit),
                       verdict_words(*held.result));
  return fmt::format("before the change: {}", verdict_words(*held.result));
}

}  // namespace

bool may_be_off(const Job& job, const Stock& stock) {
  return std::none_of(job.vehicle.lines.begin(), job.vehicle.lines.end(),
                      [&](const Line& line) { return line.stock == stock.id; });
}

std::vector<std::size_t> panes_shown(const State& state) {
  std::vector<std::size_t> out;
  if (state.panes.empty()) return out;
  if (state.alone) return {std::min(state.chosen, state.panes.size() - 1)};
  for (std::size_t i = 0; i < std::min(state.panes.size(), state.most_panes); ++i) out.push_back(i);
  if (state.chosen >= out.size() && state.chosen < state.panes.size())
    out.back() = state.chosen;  // never off screen
  return out;
}

const Answer* current_answer(const State& state, const Pane& pane) {
  if (!state.problems.empty() || !pane.held) return nullptr;
  return pane.held->question == Asked{state.job, pane.asked} ? pane.held.get() : nullptr;
}

ShownVerdict shown_verdict(const State& state, const Pane& pane) {
  ShownVerdict out;
  const Answer* answer = current_answer(state, pane);
  if (answer == nullptr) {
    out.words = state.problems.empty() ? "not proved yet" : "not proved: file has problems";
    out.reason = earlier_words(state, pane);
    out.settling = state.solving;
    return out;
  }
  out.fit = answer->result->verdict.fit;
  out.words = verdict_words(*answer->result);
  WordsContext context;
  context.unit = state.unit;
  context.bay = answer->bay.get();
  out.reason = binding_words(*answer->result, context);
  out.limits = limits_words(answer->result->verdict.limits);
  out.settling = !answer->best_of_pump;
  return out;
}

std::optional<Mark> tightest_mark(const State& state, const Pane& pane) {
  const Answer* answer = current_answer(state, pane);
  if (answer == nullptr) return std::nullopt;
  const CandidateResult& result = *answer->result;
  const auto told = [&](double mm) { return length_words(Length::mm(std::abs(mm)), state.unit); };
  if (!result.findings.empty() && result.findings.front().severity == Severity::stop) {
    const Finding& stop = result.findings.front();
    if (!stop.where_mm) return std::nullopt;
    const std::string& name = stop.other.empty() ? stop.subject : stop.other;
    const bool short_of = stop.margin && *stop.margin < 0 && stop.unit == FindingUnit::mm;
    return Mark{*stop.where_mm,
                short_of ? fmt::format("{} short: {}", told(*stop.margin), safe_text(name)) : safe_text(name),
                stop.undecided ? SpareClass::not_proved : SpareClass::is_short};
  }
  const auto tightest = tightest_gap(result);
  if (!tightest) return std::nullopt;
  const GapRecord& gap = *tightest->gap;
  const double spare_mm = gap.found_mm - gap.required_mm;
  const bool proved = result.verdict.fit == Fit::fits;
  return Mark{
      gap.where_mm,
      fmt::format("{} {}: {}", told(spare_mm), spare_mm < 0 ? "short" : "spare", safe_text(gap.other)),
      proved ? spare_class(spare_mm) : SpareClass::not_proved};
}

}  // namespace hosefit
