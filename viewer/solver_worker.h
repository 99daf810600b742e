// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <condition_variable>
#include <functional>
#include <mutex>
#include <optional>
#include <stop_token>
#include <thread>
#include <utility>
#include <vector>

namespace hosefit {

/// How a worker stands to the thread that draws. `behind` yields a little (nice 3). `idle` runs when nothing
/// else wants the processor: on Linux under SCHED_IDLE, which also gives way at once to a renderer's own
/// threads when they wake; elsewhere nice 19. Its answers are the same, only later: while a view is turned on
/// a machine whose renderer takes every core it all but stands still, and with it whoever waits for a thing
/// that it is just making.
enum class Precedence { normal, behind, idle };

/// One thread that works on the newest request only: asking anew tells what runs to stop and forgets what
/// waited. Tasks end soon after their token says so, and throw nothing.
class SolverWorker {
 public:
  using Task = std::function<void(const std::stop_token&)>;
  explicit SolverWorker(Precedence precedence);
  ~SolverWorker();
  SolverWorker(const SolverWorker&) = delete;
  SolverWorker& operator=(const SolverWorker&) = delete;

  void ask(Task task);
  void abandon();
  bool busy() const;  ///< something runs or waits

 private:
  void work(const std::stop_token& end);

  mutable std::mutex mutex_;
  std::condition_variable_any changed_;
  std::optional<Task> next_;
  std::stop_source current_;
  bool running_ = false;
  std::jthread thread_;  // last: it uses all above
};

/// Messages from workers to the thread that draws.
template <class Message>
class Mailbox {
 public:
  void put(Message message) {
    const std::lock_guard lock(mutex_);
    messages_.push_back(std::move(message));
  }
  std::vector<Message> take() {
    const std::lock_guard lock(mutex_);
    return std::exchange(messages_, {});
  }

 private:
  std::mutex mutex_;
  std::vector<Message> messages_;
};

}  // namespace hosefit
