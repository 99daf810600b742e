// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstddef>
#include <string_view>

#include "solver/cli/surroundings.h"

namespace hosefit {

/// One line on a terminal's error stream that tells how far the work is. Says nothing in the first half
/// second, nor when the stream is no terminal. Calls must not overlap.
class ProgressLine {
 public:
  ProgressLine(const Surroundings& around, Sink err);
  void tell(std::size_t done, std::size_t of, std::string_view what);
  void clear();

 private:
  const Surroundings* around_;
  Sink err_;
  double begun_s_ = 0, told_s_ = 0;
  bool shown_ = false;
};

}  // namespace hosefit
