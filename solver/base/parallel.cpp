// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/base/parallel.h"

#include <algorithm>
#include <atomic>
#include <exception>
#include <thread>
#include <vector>

namespace hosefit {

Threads Threads::of_machine() {
  return {std::clamp(std::thread::hardware_concurrency(), 1U, 64U)};
}

void parallel_for(std::size_t n, Threads threads, const std::function<void(std::size_t)>& body,
                  const std::stop_token& stop) {
  std::vector<std::exception_ptr> errors(n);
  std::atomic<std::size_t> next{0};
  const auto work = [&] {
    for (std::size_t i = next++; i < n && !stop.stop_requested(); i = next++) {
      try {
        body(i);
      } catch (...) {
        errors[i] = std::current_exception();
      }
    }
  };
  const std::size_t extra = std::min<std::size_t>(std::max(threads.count, 1U), n) - (n > 0 ? 1 : 0);
  {
    std::vector<std::jthread> pool;
    pool.reserve(extra);
    for (std::size_t t = 0; t < extra; ++t) pool.emplace_back(work);
    work();
  }
  for (const auto& error : errors)
    if (error) std::rethrow_exception(error);
}

}  // namespace hosefit
