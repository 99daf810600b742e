// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/solver_worker.h"

#include <pthread.h>
#include <sched.h>
#include <unistd.h>

namespace hosefit {
namespace {

// On Linux both change the calling thread only, and threads that it starts. That either may fail costs
// smoothness, nothing else.
void take(Precedence precedence) {
  constexpr int kBehind = 3, kLast = 19;
  if (precedence == Precedence::normal) return;
  [[maybe_unused]] const int now = ::nice(precedence == Precedence::behind ? kBehind : kLast);
#ifdef SCHED_IDLE
  constexpr sched_param kNone{};
  if (precedence == Precedence::idle) ::pthread_setschedparam(::pthread_self(), SCHED_IDLE, &kNone);
#endif
}

}  // namespace

SolverWorker::SolverWorker(Precedence precedence)
    : thread_([this, precedence](const std::stop_token& end) {
        take(precedence);
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
