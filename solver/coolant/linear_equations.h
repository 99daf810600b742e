// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstddef>
#include <optional>
#include <vector>

namespace hosefit {

/// A dense square system A x = b of a few dozen unknowns, solved by elimination with row pivoting. Rows
/// should be scaled so that their largest coefficients are alike.
class LinearEquations {
 public:
  explicit LinearEquations(std::size_t size) : size_(size), a_(size * (size + 1), 0.0) {}
  void add(std::size_t row, std::size_t column, double value) { at(row, column) += value; }
  void set_right_side(std::size_t row, double value) { at(row, size_) = value; }
  /// Empty when a pivot vanishes. Uses up the equations.
  std::optional<std::vector<double>> solve();

 private:
  double& at(std::size_t row, std::size_t column) { return a_[row * (size_ + 1) + column]; }
  std::size_t size_;
  std::vector<double> a_;
};

}  // namespace hosefit
