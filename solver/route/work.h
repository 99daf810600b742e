// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <algorithm>
#include <cstdint>
#include <stop_token>

namespace hosefit {

/// A budget in units of work: one unit is about one motion tried (some ten distance queries). Never measured
/// in time, so the same input spends it the same way on every machine.
class Work {
 public:
  Work(std::int64_t limit, std::stop_token stop) : limit_(limit), stop_(std::move(stop)) {}
  void spend(std::int64_t units) { used_ += units; }
  bool spent() const { return used_ >= limit_ || stop_.stop_requested(); }
  std::int64_t used() const { return used_; }
  /// A part of what is left, but `at_least` so many units where there are; what it uses must be spent here
  /// too.
  Work share(double part, std::int64_t at_least = 0) const {
    const std::int64_t left = used_ < limit_ ? limit_ - used_ : 0;
    const auto share = static_cast<std::int64_t>(part * static_cast<double>(left));
    return Work(std::max(share, std::min(at_least, left)), stop_);
  }

 private:
  std::int64_t limit_ = 0, used_ = 0;
  std::stop_token stop_;
};

}  // namespace hosefit
