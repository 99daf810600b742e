// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <chrono>
#include <condition_variable>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "viewer/solving.h"

/// A solver that answers when it is told to, and what it is told to. It marks every answer with the height it
/// was asked for, so that an answer shown under another height is found out.
namespace hosefit {

class LateSolver {
 public:
  /// Answers for heights at or above this fit, below they do not.
  double fits_from_mm = 0;
  /// This pump fits at any height.
  std::optional<std::size_t> always_fits;

  void open() {
    const std::lock_guard lock(mutex_);
    open_ = true;
    changed_.notify_all();
  }
  void close() {
    const std::lock_guard lock(mutex_);
    open_ = false;
  }
  /// Windows are found one by one as long as this allows more; then they wait.
  void allow_windows(int count) {
    const std::lock_guard lock(mutex_);
    windows_allowed_ = count;
    changed_.notify_all();
  }
  std::vector<std::size_t> windows_asked() const {
    const std::lock_guard lock(mutex_);
    return windows_asked_;
  }
  int asked() const {
    const std::lock_guard lock(mutex_);
    return asked_;
  }
  /// Waits until it was asked this often.
  bool wait_asked(int count) {
    std::unique_lock lock(mutex_);
    return changed_.wait_for(lock, std::chrono::seconds(20), [&] { return asked_ >= count; });
  }

  SolverCalls calls() {
    SolverCalls calls;
    calls.judge_again = [this](const Prepared&, const Candidate& c, const std::vector<LineSearch>&,
                               const std::stop_token&) { return answer(c); };
    calls.judge_fresh = [this](const Prepared&, const Candidate& c, const std::stop_token&) {
      return answer(c);
    };
    calls.choose = [this](const Prepared&, const Query& query, const std::stop_token&, const Progress&) {
      Choice choice;
      choice.query = query;
      Candidate c;
      c.pump = query.pumps.at(0);
      c.intake = query.intake;
      c.height = query.height;
      choice.candidates.push_back(answer(c));
      return choice;
    };
    calls.windows = [this](const Prepared& prepared, std::size_t pump, std::size_t intake,
                           const std::stop_token& stop, const SolverCalls::KnownWindow& known) {
      find_window(prepared, pump, intake, stop, known);
    };
    return calls;
  }

 private:
  void find_window(const Prepared& prepared, std::size_t pump, std::size_t at, const std::stop_token& stop,
                   const SolverCalls::KnownWindow& known) {
    std::unique_lock lock(mutex_);
    windows_asked_.push_back(pump);
    while (windows_allowed_ == 0 && !stop.stop_requested())
      changed_.wait_for(lock, std::chrono::milliseconds(2));
    if (stop.stop_requested()) return;
    if (windows_allowed_ > 0) --windows_allowed_;
    const Intake& intake = prepared.job().family.intakes[at];
    lock.unlock();
    known({intake.least_height, intake.most_height, Fit::fits, std::nullopt});
  }
  CandidateResult answer(const Candidate& c) {
    std::unique_lock lock(mutex_);
    ++asked_;
    changed_.notify_all();
    changed_.wait(lock, [this] { return open_; });  // late whatever stop says: the worst solver there is
    CandidateResult result;
    result.candidate = c;
    const bool fits = c.height.mm() >= fits_from_mm || always_fits == c.pump;
    result.verdict.fit = fits ? Fit::fits : Fit::does_not_fit;
    result.lines_tried = true;
    result.comparison.fit_order = result.verdict.fit == Fit::fits ? 0 : 3;
    return result;
  }

  mutable std::mutex mutex_;
  std::condition_variable changed_;
  bool open_ = false;
  int asked_ = 0;
  int windows_allowed_ = -1;  // below 0: as many as are asked for
  std::vector<std::size_t> windows_asked_;
};

}  // namespace hosefit
