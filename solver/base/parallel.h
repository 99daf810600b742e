// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstddef>
#include <functional>
#include <stop_token>

namespace hosefit {

/// How many threads a stage may use; at least 1.
struct Threads {
  unsigned count = 1;
  static Threads of_machine();
};

/// Calls body(0) ... body(n-1), each exactly once, on up to `threads` threads; returns when all are done. The
/// body writes only to slot i of an output sized before. The first exception by index is rethrown. Once
/// `stop` is requested no further index starts. This is the only place in solver/ that starts threads.
void parallel_for(std::size_t n, Threads threads, const std::function<void(std::size_t)>& body,
                  const std::stop_token& stop = {});

}  // namespace hosefit
