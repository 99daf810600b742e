// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/cli/interrupt.h"

#include <unistd.h>

#include <csignal>
#include <ctime>

namespace hosefit {
namespace {

constexpr long kLook_ns = 50'000'000;  // how late the thread may notice that it is no longer wanted
constexpr int kInterrupted = 130;

sigset_t signals_waited_for() {
  sigset_t set;
  sigemptyset(&set);
  sigaddset(&set, SIGINT);
  sigaddset(&set, SIGTERM);
  return set;
}

}  // namespace

Interrupt::Interrupt() {
  const sigset_t set = signals_waited_for();
  pthread_sigmask(SIG_BLOCK, &set, nullptr);
  waiting_ = std::jthread([set, stop = stop_](const std::stop_token& ended) mutable {
    while (!ended.stop_requested()) {
      timespec look{};
      look.tv_nsec = kLook_ns;
      if (sigtimedwait(&set, nullptr, &look) < 0) continue;
      if (stop.stop_requested()) _exit(kInterrupted);
      stop.request_stop();
    }
  });
}

Interrupt::~Interrupt() {
  waiting_.request_stop();
  waiting_.join();
  const sigset_t set = signals_waited_for();
  pthread_sigmask(SIG_UNBLOCK, &set, nullptr);
}

}  // namespace hosefit
