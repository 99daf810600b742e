// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstddef>
#include <memory>
#include <optional>
#include <vector>

namespace hosefit {

/// A dense system A x = b for the Newton steps of a network of a few dozen unknowns.
class LinearEquations {
 public:
  explicit LinearEquations(std::size_t size);
  ~LinearEquations();
  LinearEquations(const LinearEquations&) = delete;
  LinearEquations& operator=(const LinearEquations&) = delete;
  void add(std::size_t row, std::size_t column, double value);
  void set_right_side(std::size_t row, double value);
  /// Empty when the equations are singular to working precision (relative pivot below 1e-14) or not finite.
  std::optional<std::vector<double>> solve() const;

 private:
  struct Dense;  ///< Eigen stays in the .cpp
  std::unique_ptr<Dense> dense_;
};

}  // namespace hosefit
