// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/coolant/linear_equations.h"

#include <Eigen/Dense>

namespace hosefit {
namespace {

Eigen::Index at(std::size_t i) {
  return static_cast<Eigen::Index>(i);
}

// In scaled equations a pivot this small means that one of them is missing.
constexpr double kSingular = 1e-14;

}  // namespace

struct LinearEquations::Dense {
  Eigen::MatrixXd a;
  Eigen::VectorXd b;
};

LinearEquations::LinearEquations(std::size_t size)
    : dense_(std::make_unique<Dense>(
          Dense{Eigen::MatrixXd::Zero(at(size), at(size)), Eigen::VectorXd::Zero(at(size))})) {}
LinearEquations::~LinearEquations() = default;

void LinearEquations::add(std::size_t row, std::size_t column, double value) {
  dense_->a(at(row), at(column)) += value;
}
void LinearEquations::set_right_side(std::size_t row, double value) {
  dense_->b(at(row)) = value;
}

std::optional<std::vector<double>> LinearEquations::solve() const {
  if (dense_->a.size() == 0) return std::vector<double>{};
  // Pressures and flows differ by ten orders of magnitude, so rows and then columns are scaled to 1 first.
  const Eigen::VectorXd rows = dense_->a.cwiseAbs().rowwise().maxCoeff();
  Eigen::MatrixXd a = rows.cwiseInverse().asDiagonal() * dense_->a;
  const Eigen::VectorXd columns = a.cwiseAbs().colwise().maxCoeff().transpose();
  a = a * columns.cwiseInverse().asDiagonal();
  if (!a.allFinite()) return std::nullopt;
  const Eigen::PartialPivLU<Eigen::MatrixXd> lu(a);
  const Eigen::VectorXd pivots = lu.matrixLU().diagonal().cwiseAbs();
  if (!(pivots.minCoeff() > kSingular * pivots.maxCoeff())) return std::nullopt;
  const Eigen::VectorXd scaled = lu.solve(dense_->b.cwiseQuotient(rows));
  const Eigen::VectorXd x = scaled.cwiseQuotient(columns);
  if (!x.allFinite()) return std::nullopt;
  return std::vector<double>(x.data(), x.data() + x.size());
}

}  // namespace hosefit
