// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>

#include "solver/base/result.h"

namespace hosefit::recheck {

/// Everything that keeps a file from being read, in the order it was met. What is met after the first may be
/// a consequence of it.
class Refusals {
 public:
  void add(Place place, std::string path, std::string text) {
    if (list_.size() < kMost) list_.push_back({std::move(place), std::move(path), std::move(text), {}});
  }
  bool any() const { return !list_.empty(); }
  const Problems& list() const { return list_; }

 private:
  static constexpr std::size_t kMost = 20;
  Problems list_;
};

}  // namespace hosefit::recheck
