// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cassert>
#include <cstddef>
#include <string>
#include <utility>
#include <variant>
#include <vector>

/// What a user can cause is reported as Problems, all of them at once; what only we can cause is an assert.
namespace hosefit {

/// Where something stands in an input file. Line and column count from 1, columns in bytes; 0 = whole file.
struct Place {
  std::string file;
  int line = 0;
  int column = 0;
  friend bool operator==(const Place&, const Place&) = default;
};

/// One thing wrong with the input, with its cure.
struct Problem {
  Place place;
  std::string path;       ///< path to the key, as "necks[2].bore"; empty for the whole file
  std::string text;       ///< one sentence: what was wanted, what was found, nearest known name if misspelt
  std::string line_text;  ///< the offending line, without control bytes; empty when there is none
  friend bool operator==(const Problem&, const Problem&) = default;
};

using Problems = std::vector<Problem>;

/// A value, or every reason why there is none. Never converts to the value silently.
template <class T>
class [[nodiscard]] Result {
 public:
  Result(T value) : state_(std::move(value)) {}  // NOLINT: by design
  Result(Problems problems) : state_(std::move(problems)) { assert(!this->problems().empty()); }  // NOLINT
  explicit operator bool() const { return std::holds_alternative<T>(state_); }
  const T& operator*() const& { return std::get<T>(state_); }
  T&& operator*() && { return std::get<T>(std::move(state_)); }
  const T* operator->() const { return &std::get<T>(state_); }
  const Problems& problems() const { return std::get<Problems>(state_); }

 private:
  std::variant<T, Problems> state_;
};

}  // namespace hosefit
