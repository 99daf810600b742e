// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/geometry/tape_fit.h"

#include <Eigen/Cholesky>
#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>
#include <limits>

namespace hosefit {
namespace {

constexpr int kMostSteps = 200;
constexpr double kSettled_mm = 1e-9;
constexpr double kDamping = 1e-4;
constexpr double kMostDamping = 1e12;
constexpr double kUnchecked = 1e-6;     // share of a reading that others check, below which none does
constexpr double kBestPlace_mm = 0.01;  // no tape makes a place better than that
constexpr double kPower = 4.13;         // sigmas: limit 3.29 once in a thousand, found in four of five
constexpr double kRounded = 1000;       // per mm
constexpr double kOpen = 1e-12;         // eigenvalue over the largest, below which a direction is open

double of_accuracy(double accuracy_mm) {
  return accuracy_mm / 2;
}

// Of one point, in units of sigma; down to zero where the misfit is none.
struct Whitened {
  Eigen::VectorXd misfit;
  Eigen::MatrixXd slope;
  double squares() const { return misfit.squaredNorm(); }
};

// Which way `from` has to go to be farther from `to`; some way where they meet.
Vec3 away(const Vec3& from, const Vec3& to) {
  const Vec3 way = from - to;
  return way.norm() > 1e-9 ? way.normalized() : Vec3(Vec3::UnitZ());
}
Vec3 slope(TapeKind kind, const Vec3& point, const Vec3& end) {
  return kind == TapeKind::drop ? Vec3(Vec3::UnitZ()) : away(point, end);
}

// Levenberg-Marquardt. `whiten` gives misfit (wanted less worked out) and slope of what is worked out.
template <class Whiten>
Eigen::VectorXd least_squares(Eigen::VectorXd x, const Whiten& whiten) {
  double damping = kDamping;
  Whitened now = whiten(x);
  for (int step = 0; step < kMostSteps && damping < kMostDamping; ++step) {
    Eigen::MatrixXd normal = now.slope.transpose() * now.slope;
    normal.diagonal() *= 1 + damping;
    normal.diagonal().array() += 1e-12;
    const Eigen::VectorXd move = normal.ldlt().solve(now.slope.transpose() * now.misfit);
    if (!move.allFinite()) break;
    Whitened next = whiten(x + move);
    if (next.squares() > now.squares()) {
      damping *= 10;
      continue;
    }
    x += move;
    now = std::move(next);
    damping = std::max(damping / 10, 1e-15);
    if (move.cwiseAbs().maxCoeff() < kSettled_mm) break;
  }
  return x;
}

Whitened whiten_one(std::span<const RoughReading> readings, const Vec3& at) {
  const auto n = static_cast<Eigen::Index>(readings.size());
  Whitened out{Eigen::VectorXd(n), Eigen::MatrixXd(n, 3)};
  for (Eigen::Index i = 0; i < n; ++i) {
    const RoughReading& r = readings[static_cast<std::size_t>(i)];
    out.misfit[i] = (r.reads_mm - worked_out_mm(r.kind, at, r.end_mm)) / r.sigma_mm;
    out.slope.row(i) = slope(r.kind, at, r.end_mm).transpose() / r.sigma_mm;
  }
  return out;
}

struct Loosest {
  double accuracy_mm = std::numeric_limits<double>::infinity();
  Vec3 direction = Vec3::UnitZ();
};
Loosest loosest_of_normal(const Mat3& normal) {
  const Eigen::SelfAdjointEigenSolver<Mat3> eigen(normal);
  Loosest out;
  out.direction = eigen.eigenvectors().col(0);
  if (eigen.eigenvalues()[0] > kOpen * eigen.eigenvalues()[2])
    out.accuracy_mm = 2 / std::sqrt(eigen.eigenvalues()[0]);
  return out;
}

RoughPlace settled(std::span<const RoughReading> readings, const Vec3& start) {
  RoughPlace place;
  place.at_mm = least_squares(start, [&](const Eigen::VectorXd& x) { return whiten_one(readings, Vec3(x)); });
  const Whitened at = whiten_one(readings, place.at_mm);
  place.squares = at.squares();
  for (std::size_t i = 0; i < readings.size(); ++i)
    place.worst_misfit_mm = std::max(
        place.worst_misfit_mm, std::abs(at.misfit[static_cast<Eigen::Index>(i)]) * readings[i].sigma_mm);
  const Loosest loosest = loosest_of_normal(at.slope.transpose() * at.slope);
  place.accuracy_mm = loosest.accuracy_mm;
  place.loosest = loosest.direction;
  return place;
}

// Points and the datums they are measured from, as one vector of coordinates.
class Together {
 public:
  Together(const TapeNetwork& net, std::span<const std::size_t> points, std::span<const std::size_t> readings)
      : net_(net),
        points_(points),
        readings_(readings),
        column_of_point_(net.points.size(), -1),
        column_of_datum_(net.datums.size(), -1) {
    for (const std::size_t p : points) column_of_point_[p] = take();
    for (const std::size_t i : readings) {
      const TapeEnd& to = net.readings[i].to;
      if (!to.datum || column_of_datum_[to.index] >= 0) continue;
      column_of_datum_[to.index] = take();
      datums_.push_back(to.index);
    }
  }

  Eigen::VectorXd start(std::span<const std::optional<Vec3>> places) const {
    Eigen::VectorXd x(columns_);
    for (const std::size_t p : points_) x.segment<3>(column_of_point_[p]) = *places[p];
    for (const std::size_t d : datums_) x.segment<3>(column_of_datum_[d]) = net_.datums[d].at_mm;
    return x;
  }

  Whitened whiten(const Eigen::VectorXd& x) const {
    const auto n = static_cast<Eigen::Index>(readings_.size());
    const Eigen::Index rows = n + 3 * static_cast<Eigen::Index>(datums_.size());
    Whitened out{Eigen::VectorXd::Zero(rows), Eigen::MatrixXd::Zero(rows, columns_)};
    for (Eigen::Index i = 0; i < n; ++i) {
      const TapeReading& r = net_.readings[readings_[static_cast<std::size_t>(i)]];
      const double sigma = of_accuracy(r.accuracy_mm);
      const Eigen::Index from = column_of_point_[r.point], to = column_of(r.to);
      const Vec3 point = x.segment<3>(from), end = x.segment<3>(to);
      const Vec3 way = slope(r.kind, point, end) / sigma;
      out.misfit[i] = (r.reads_mm - worked_out_mm(r.kind, point, end)) / sigma;
      out.slope.block<1, 3>(i, from) = way.transpose();
      out.slope.block<1, 3>(i, to) = -way.transpose();
    }
    Eigen::Index row = n;
    for (const std::size_t d : datums_) {
      const double sigma = of_accuracy(net_.datums[d].accuracy_mm);
      out.misfit.segment<3>(row) = (net_.datums[d].at_mm - x.segment<3>(column_of_datum_[d])) / sigma;
      out.slope.block<3, 3>(row, column_of_datum_[d]) = Mat3::Identity() / sigma;
      row += 3;
    }
    return out;
  }

  TapeFit told(const Eigen::VectorXd& x) const {
    const Whitened at = whiten(x);
    TapeFit out;
    const Eigen::LLT<Eigen::MatrixXd> normal(at.slope.transpose() * at.slope);
    if (normal.info() != Eigen::Success) return out;
    const Eigen::MatrixXd covariance = normal.solve(Eigen::MatrixXd::Identity(columns_, columns_));
    if (!covariance.allFinite()) return out;
    out.fixed = true;
    out.squares = at.squares();
    out.spare = readings_.size() - std::min(readings_.size(), 3 * points_.size());
    for (const std::size_t p : points_) out.places.push_back(place(x, covariance, column_of_point_[p]));
    for (std::size_t i = 0; i < readings_.size(); ++i) {
      out.readings.push_back(readings_[i]);
      out.residuals.push_back(residual(at, covariance, x, i));
    }
    return out;
  }

 private:
  Eigen::Index take() {
    columns_ += 3;
    return columns_ - 3;
  }
  Eigen::Index column_of(const TapeEnd& to) const {
    return to.datum ? column_of_datum_[to.index] : column_of_point_[to.index];
  }

  static TapePlace place(const Eigen::VectorXd& x, const Eigen::MatrixXd& covariance, Eigen::Index column) {
    const Eigen::SelfAdjointEigenSolver<Mat3> eigen(Mat3(covariance.block<3, 3>(column, column)));
    TapePlace out;
    for (Eigen::Index i = 0; i < 3; ++i) out.at_mm[i] = std::round(x[column + i] * kRounded) / kRounded + 0.0;
    out.accuracy_mm = std::max(2 * std::sqrt(std::max(eigen.eigenvalues()[2], 0.0)), kBestPlace_mm);
    out.worst = eigen.eigenvectors().col(2);
    return out;
  }

  TapeResidual residual(const Whitened& at, const Eigen::MatrixXd& covariance, const Eigen::VectorXd& x,
                        std::size_t which) const {
    const TapeReading& r = net_.readings[readings_[which]];
    const auto row = static_cast<Eigen::Index>(which);
    const double sigma = of_accuracy(r.accuracy_mm);
    const Vec3 point = x.segment<3>(column_of_point_[r.point]);
    const Vec3 end = r.to.datum ? net_.datums[r.to.index].at_mm : Vec3(x.segment<3>(column_of(r.to)));
    TapeResidual out;
    out.off_mm = r.reads_mm - worked_out_mm(r.kind, point, end);
    out.times_accuracy = out.off_mm / r.accuracy_mm;
    const double checked = 1 - at.slope.row(row) * covariance * at.slope.row(row).transpose();
    if (checked < kUnchecked) return out;
    out.studentised = at.misfit[row] / std::sqrt(checked);
    out.slip_mm = at.misfit[row] * sigma / checked;
    out.seen_from_mm = kPower * sigma / std::sqrt(checked);
    return out;
  }

  const TapeNetwork& net_;
  std::span<const std::size_t> points_, readings_;
  std::vector<Eigen::Index> column_of_point_, column_of_datum_;
  std::vector<std::size_t> datums_;
  Eigen::Index columns_ = 0;
};

}  // namespace

double worked_out_mm(TapeKind kind, const Vec3& point, const Vec3& end) {
  return kind == TapeKind::drop ? point.z() - end.z() : (point - end).norm();
}

std::vector<RoughPlace> rough_places(std::span<const RoughReading> readings, double same_mm) {
  Vec3 middle = Vec3::Zero();
  double reach = 0;
  for (const RoughReading& r : readings) {
    middle += r.end_mm / static_cast<double>(readings.size());
    reach = std::max(reach, std::abs(r.reads_mm));
  }
  std::vector<RoughPlace> out;
  for (int x = -1; x <= 1; ++x)
    for (int y = -1; y <= 1; ++y)
      for (int z = -1; z <= 1; ++z) {
        // Off the axes, so that no start lies in a plane of symmetry of the ends.
        const Vec3 way(x + 0.03, y - 0.05, z + 0.07);
        RoughPlace place = settled(readings, middle + reach * way);
        if (!place.at_mm.allFinite()) continue;
        const auto again = std::find_if(out.begin(), out.end(), [&](const RoughPlace& known) {
          return (known.at_mm - place.at_mm).norm() < same_mm;
        });
        if (again == out.end())
          out.push_back(place);
        else if (place.squares < again->squares)
          *again = place;
      }
  std::stable_sort(out.begin(), out.end(),
                   [](const RoughPlace& a, const RoughPlace& b) { return a.squares < b.squares; });
  return out;
}

TapeFit fit(const TapeNetwork& network, std::span<const std::size_t> points,
            std::span<const std::size_t> readings, std::span<const std::optional<Vec3>> start_mm) {
  const Together together(network, points, readings);
  return together.told(
      least_squares(together.start(start_mm), [&](const Eigen::VectorXd& x) { return together.whiten(x); }));
}

}  // namespace hosefit
