// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <stop_token>
#include <thread>

namespace hosefit {

/// From its making to its end Ctrl-C (SIGINT) and SIGTERM are asked for by a waiting thread instead of ending
/// the program: the first asks to stop, the second ends the program at once with code 130. The thread only
/// waits; it does no work. Make it before any other thread, so that all inherit the blocked signals.
class Interrupt {
 public:
  Interrupt();
  ~Interrupt();
  std::stop_token token() const { return stop_.get_token(); }

 private:
  std::stop_source stop_;
  std::jthread waiting_;
};

}  // namespace hosefit
