// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/cli/arguments.h"
#include "solver/cli/progress_line.h"
#include "solver/decide/decide.h"

namespace hosefit {

/// What every command judges with: how far it may go, and a line that tells how far it is. Lives while it is
/// judged; the line is cleared at the end.
class Judging {
 public:
  Judging(const Arguments& arguments, const Surroundings& around, const Sink& err);
  ~Judging() { line_.clear(); }
  Judging(const Judging&) = delete;
  Judging& operator=(const Judging&) = delete;

  const Budget& budget() const { return budget_; }
  const Progress& progress() const { return progress_; }
  void clear_line() { line_.clear(); }

 private:
  ProgressLine line_;
  Progress progress_;
  Budget budget_;
};

}  // namespace hosefit
