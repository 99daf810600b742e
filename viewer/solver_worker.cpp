// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/solver_worker.h"

#include <unistd.h>

namespace hosefit {

SolverWorker::SolverWorker(int niceness)
    : thread_([this, niceness](const std::stop_token& end) {
        // On Linux this changes the calling thread only. That it may fail costs smoothness, nothing else.
        [[maybe_unused]] const int now = ::nice(niceness);
        work(end);
      }) {}

SolverWorker::~SolverWorker() {
  abandon();
  thread_.request_stop();
}

void SolverWorker::ask(Task task) {
  const std::lock_guard lock(mutex_);
  current_.request_stop();
  next_ = std::move(task);
  changed_.notify_all();
}

void SolverWorker::abandon() {
  const std::lock_guard lock(mutex_);
  current_.request_stop();
  next_.reset();
}

bool SolverWorker::busy() const {
  const std::lock_guard lock(mutex_);
  return running_ || next_;
}

void SolverWorker::work(const std::stop_token& end) {
  while (true) {
    std::unique_lock lock(mutex_);
    if (!changed_.wait(lock, end, [this] { return next_.has_value(); })) return;
    const Task task = std::move(*next_);
    next_.reset();
    current_ = std::stop_source();
    running_ = true;
    const std::stop_token stop = current_.get_token();
    lock.unlock();
    task(stop);
    lock.lock();
    running_ = false;
  }
}

}  // namespace hosefit
