// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/coolant/linear_equations.h"

#include <cmath>
#include <utility>

namespace hosefit {

std::optional<std::vector<double>> LinearEquations::solve() {
  for (std::size_t k = 0; k < size_; ++k) {
    std::size_t pivot = k;
    for (std::size_t row = k + 1; row < size_; ++row)
      if (std::abs(at(row, k)) > std::abs(at(pivot, k))) pivot = row;
    if (!(std::abs(at(pivot, k)) > 0.0)) return std::nullopt;
    for (std::size_t column = k; pivot != k && column <= size_; ++column)
      std::swap(at(k, column), at(pivot, column));
    for (std::size_t row = k + 1; row < size_; ++row) {
      const double factor = at(row, k) / at(k, k);
      for (std::size_t column = k; factor != 0.0 && column <= size_; ++column)
        at(row, column) -= factor * at(k, column);
    }
  }
  std::vector<double> x(size_);
  for (std::size_t k = size_; k-- > 0;) {
    double sum = at(k, size_);
    for (std::size_t column = k + 1; column < size_; ++column) sum -= at(k, column) * x[column];
    x[k] = sum / at(k, k);
  }
  return x;
}

}  // namespace hosefit
