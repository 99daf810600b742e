// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <chrono>
#include <condition_variable>
#include <map>
#include <memory>
#include <mutex>
#include <string>

#include "viewer/solving.h"

/// A solver that answers when it is told to, and what it is told to. It marks every answer with the height it
/// was asked for, so that an answer shown under another height is found out.
namespace hosefit {

class LateSolver {
 public:
  /// Answers for heights at or above this fit, below they do not.
  double fits_from_mm = 0;

  void open() {
    const std::lock_guard lock(mutex_);
    open_ = true;
    changed_.notify_all();
  }
  void close() {
    const std::lock_guard lock(mutex_);
    open_ = false;
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
    calls.judge_again = [this](const Prepared&, const Candidate& c, std::vector<LineSearch>) {
      return answer(c);
    };
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
    calls.windows = [](const Prepared&, std::size_t, std::size_t, const std::stop_token&,
                       const SolverCalls::KnownWindow&) {};
    return calls;
  }

 private:
  CandidateResult answer(const Candidate& c) {
    std::unique_lock lock(mutex_);
    ++asked_;
    changed_.notify_all();
    changed_.wait(lock, [this] { return open_; });  // late whatever stop says: the worst solver there is
    CandidateResult result;
    result.candidate = c;
    result.verdict.fit = c.height.mm() >= fits_from_mm ? Fit::fits : Fit::does_not_fit;
    result.lines_tried = true;
    result.comparison.fit_order = result.verdict.fit == Fit::fits ? 0 : 3;
    return result;
  }

  mutable std::mutex mutex_;
  std::condition_variable changed_;
  bool open_ = false;
  int asked_ = 0;
};

}  // namespace hosefit
