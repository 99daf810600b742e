// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <limits>

#include "solver/decide/candidates.h"
#include "solver/decide/height_cover.h"
#include "solver/decide/ranking.h"
#include "solver/rules/part_rules.h"

namespace hosefit {
namespace {

struct Sample {
  HeightCover cover;
  std::optional<Finding> binds = {};  // the first stop of the candidate that comes nearest
};

// A fit found before: at a new height its routes are proved again before anything is searched.
struct Champion {
  Candidate candidate;
  std::vector<LineSearch> searches;
};

// Where a verdict is known but reaches less than a step, a few finer steps close the slivers between its
// neighbours; towards a boundary each reaches only in proportion to its distance, so without an end there
// would be no last one.
constexpr double kFinestShare = 0.125;

double width_mm(const HeightCover& cover) {
  return cover.down_mm + cover.up_mm;
}

std::optional<Finding> first_stop(const CandidateResult& result) {
  if (result.findings.empty() || result.findings.front().severity != Severity::stop) return std::nullopt;
  return result.findings.front();
}

void take_reason(HeightWindow& window, const HeightWindow& piece) {
  window.binds = piece.binds;
  window.binds_at = piece.binds_at;
}

bool misses_more(const std::optional<Finding>& a, const std::optional<Finding>& b) {
  if (!a || !b) return a.has_value();
  return a->unit == b->unit && a->margin.value_or(0.0) < b->margin.value_or(0.0);
}

// Covers one interval after the other, upward, so that windows come out in order.
class WindowChain {
 public:
  WindowChain(const Prepared& prepared, std::size_t pump, const Intake& intake, Length least_step,
              const Budget& budget, const std::stop_token& stop, const Progress& progress,
              const std::function<void(const HeightWindow&)>& known)
      : prepared_(prepared),
        pump_(pump),
        intake_(intake),
        least_step_mm_(least_step.mm()),
        budget_(budget),
        stop_(stop),
        progress_(progress),
        known_(known) {}

  void find_candidates(std::size_t intake_index);
  void cover(double low_mm, double high_mm);
  std::vector<HeightWindow> take();

 private:
  Sample sample(double height_mm);
  std::optional<Sample> sample_champion(double height_mm);
  Sample sample_all(double height_mm);
  void add(const HeightWindow& piece);

  const Prepared& prepared_;
  const std::size_t pump_;
  const Intake& intake_;
  const double least_step_mm_;
  const Budget& budget_;
  const std::stop_token& stop_;
  const Progress& progress_;
  const std::function<void(const HeightWindow&)>& known_;
  std::vector<Candidate> candidates_;  // those whose parts pair
  std::optional<Finding> no_pair_;     // why none does
  std::optional<Champion> champion_;
  std::vector<HeightWindow> windows_;
  std::vector<HeightWindow> first_;  // the lowest piece of each with what binds there
};

void WindowChain::find_candidates(std::size_t intake_index) {
  const Job& job = prepared_.job();
  const RuleLimits limits = default_rule_limits();
  for (const Candidate& candidate : candidates_of(job.family, pump_, intake_index, intake_.least_height)) {
    const auto findings = pairing_findings(job, candidate, limits);
    const auto stop = std::find_if(findings.begin(), findings.end(),
                                   [](const Finding& f) { return f.severity == Severity::stop; });
    if (stop == findings.end())
      candidates_.push_back(candidate);
    else if (!no_pair_)
      no_pair_ = *stop;
  }
}

std::optional<Sample> WindowChain::sample_champion(double height_mm) {
  if (!champion_) return std::nullopt;
  Candidate candidate = champion_->candidate;
  candidate.height = Length::mm(height_mm);
  const Judgement judgement = judge_routed(prepared_, candidate, champion_->searches);
  if (judgement.result.verdict.fit != Fit::fits) return std::nullopt;
  return Sample{height_cover(prepared_, judgement), std::nullopt};
}

Sample WindowChain::sample_all(double height_mm) {
  std::vector<Candidate> candidates = candidates_;
  for (Candidate& candidate : candidates) candidate.height = Length::mm(height_mm);
  const auto judged = judge_all(prepared_, candidates, budget_, stop_, {});
  std::optional<Sample> fit;
  HeightCover misfit{Fit::does_not_fit, std::numeric_limits<double>::infinity(),
                     std::numeric_limits<double>::infinity()};
  std::vector<CandidateResult> results;
  bool all_misfit = true;
  for (const std::optional<Judgement>& judgement : judged) {
    if (!judgement) return {};  // interrupted
    const HeightCover cover = height_cover(prepared_, *judgement);
    if (cover.fit == Fit::fits && (!fit || width_mm(cover) > width_mm(fit->cover))) {
      fit = Sample{cover, std::nullopt};
      champion_ = Champion{judgement->result.candidate, judgement->result.searches};
    }
    all_misfit = all_misfit && cover.fit == Fit::does_not_fit;
    misfit.down_mm = std::min(misfit.down_mm, cover.down_mm);
    misfit.up_mm = std::min(misfit.up_mm, cover.up_mm);
    results.push_back(judgement->result);
  }
  if (fit) return *fit;
  const auto ranking = ranking_of(results);
  const std::optional<Finding> binds = ranking.empty() ? no_pair_ : first_stop(results[ranking.front().best]);
  return all_misfit ? Sample{misfit, binds} : Sample{{Fit::undecided, 0, 0}, binds};
}

Sample WindowChain::sample(double height_mm) {
  const std::optional<Sample> champion = sample_champion(height_mm);
  if (champion && width_mm(champion->cover) >= least_step_mm_) return *champion;
  Sample fresh = sample_all(height_mm);
  if (champion && (fresh.cover.fit != Fit::fits || width_mm(fresh.cover) < width_mm(champion->cover)))
    return *champion;
  return fresh;
}

void WindowChain::cover(double low_mm, double high_mm) {
  const auto add_piece = [&](double a, double b, Fit fit, const std::optional<Finding>& binds) {
    add({Length::mm(a), Length::mm(b), fit, binds, Length::mm((low_mm + high_mm) / 2)});
  };
  if (stop_.stop_requested()) return add_piece(low_mm, high_mm, Fit::undecided, std::nullopt);
  const double middle = (low_mm + high_mm) / 2;
  const Sample here = sample(middle);
  const bool decided = here.cover.fit == Fit::fits || here.cover.fit == Fit::does_not_fit;
  const double from = decided ? std::max(low_mm, middle - here.cover.down_mm) : middle;
  const double to = decided ? std::min(high_mm, middle + here.cover.up_mm) : middle;
  const bool last = high_mm - low_mm <= (decided ? kFinestShare : 1.0) * least_step_mm_;
  const auto rest = [&](double a, double b) {
    if (b <= a) return;
    if (last)
      add_piece(a, b, Fit::undecided, here.binds);
    else
      cover(a, b);
  };
  rest(low_mm, from);
  if (decided && (to > from || low_mm == high_mm)) add_piece(from, to, here.cover.fit, here.binds);
  if (!decided && low_mm == high_mm) add_piece(low_mm, high_mm, Fit::undecided, here.binds);
  rest(to, high_mm);
}

void WindowChain::add(const HeightWindow& piece) {
  if (!windows_.empty() && windows_.back().fit == piece.fit) {
    HeightWindow& window = windows_.back();
    window.to = piece.to;
    if (misses_more(piece.binds, window.binds)) take_reason(window, piece);
    if (!first_.back().binds) take_reason(first_.back(), piece);
  } else {
    windows_.push_back(piece);
    first_.push_back(piece);
  }
  // A piece that was cut short is undecided for want of work, not of proof.
  if (known_ && !stop_.stop_requested()) known_(piece);
  if (!progress_.tell) return;
  const auto tenths = [&](double mm) {
    return static_cast<std::size_t>((mm - intake_.least_height.mm()) * 10.0);
  };
  progress_.tell(tenths(piece.to.mm()), tenths(intake_.most_height.mm()),
                 prepared_.job().family.pumps[pump_].name);
}

std::vector<HeightWindow> WindowChain::take() {
  for (std::size_t i = 0; i < windows_.size(); ++i) {
    if (windows_[i].fit != Fit::fits) continue;
    for (std::size_t next = i + 1; next < windows_.size() && !windows_[i].binds; ++next)
      take_reason(windows_[i], first_[next]);
  }
  return std::move(windows_);
}

}  // namespace

std::vector<HeightWindow> height_windows(const Prepared& prepared, std::size_t pump, std::size_t intake,
                                         Length least_step, const Budget& budget, const std::stop_token& stop,
                                         const Progress& progress,
                                         const std::function<void(const HeightWindow&)>& known) {
  const Intake& of = prepared.job().family.intakes[intake];
  WindowChain chain(prepared, pump, of, least_step, budget, stop, progress, known);
  chain.find_candidates(intake);
  chain.cover(of.least_height.mm(), of.most_height.mm());
  return chain.take();
}

}  // namespace hosefit
