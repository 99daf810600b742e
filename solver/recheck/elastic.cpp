// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/recheck/elastic.h"

#include <Eigen/Eigenvalues>
#include <Eigen/LU>
#include <algorithm>
#include <cmath>

namespace hosefit::recheck {
namespace {

constexpr double kHome_mm = 1e-7, kHome_rad = 1e-9;  // rounding over a metre is a thousandth of it
constexpr int kMostRounds = 25, kMostChords = 12, kMostHalvings = 10;
constexpr double kSingular = 1e-10;  // of scaled changes by the load: the shape may swing freely

using M36 = Eigen::Matrix<double, 3, 6>;
using M39 = Eigen::Matrix<double, 3, 9>;

M3 cross(const V3& v) {
  M3 out;
  out << 0, -v.z(), v.y(), v.z(), 0, -v.x(), -v.y(), v.x(), 0;
  return out;
}

// How one step's end follows from a small change of its beginning: rows turn, moment, place; columns turn,
// moment, force.
struct Change {
  M39 turn = M39::Zero(), moment = M39::Zero(), place = M39::Zero();

  Change plus(double h, const Change& by) const {
    Change out;
    out.turn = turn + h * by.turn;
    out.moment = moment + h * by.moment;
    out.place = place + h * by.place;
    return out;
  }
};

struct State {
  V3 at = V3::Zero();
  Eigen::Vector4d turn{1, 0, 0, 0};  // quaternion
  V3 moment = V3::Zero();

  M3 frame() const {
    return Eigen::Quaterniond(turn[0], turn[1], turn[2], turn[3]).normalized().toRotationMatrix();
  }
};
struct Rate {
  V3 at, moment;
  Eigen::Vector4d turn;
};

State moved_on(const State& s, double h, const Rate& by) {
  return {s.at + h * by.at, s.turn + h * by.turn, s.moment + h * by.moment};
}

struct Local {
  double soft = 1;
  V3 rest_bend, force;

  // m in the frame, divided by the stiffnesses, and with the bend at rest.
  Rate rate(const State& s, M3& frame) const {
    frame = s.frame();
    const V3 own = frame.transpose() * s.moment;
    const V3 bend = rest_bend + soft * V3(own.x() / kTwistStiffness, own.y(), own.z());
    const V3 along = frame.col(0);
    const Eigen::Vector4d& q = s.turn;
    Eigen::Vector4d turn(-q[1] * bend.x() - q[2] * bend.y() - q[3] * bend.z(),
                         q[0] * bend.x() + q[2] * bend.z() - q[3] * bend.y(),
                         q[0] * bend.y() + q[3] * bend.x() - q[1] * bend.z(),
                         q[0] * bend.z() + q[1] * bend.y() - q[2] * bend.x());
    return {along, force.cross(along), 0.5 * turn};
  }
  // With the turn w and the change n of the moment, all in the axes of the first end:
  //   w' = G (n - w x m),  n' = df x t + f x (w x t),  dr' = w x t,  G = R B^-1 R^T.
  Change change(const State& s, const M3& frame, const Change& c) const {
    const V3 along = frame.col(0);
    const M3 give = soft * (M3::Identity() + (1 / kTwistStiffness - 1) * along * along.transpose());
    Change out;
    const M39 sideways = -cross(along) * c.turn;
    out.turn = give * (c.moment + cross(s.moment) * c.turn);
    out.moment = cross(force) * sideways;
    out.moment.rightCols<3>() -= cross(along);
    out.place = sideways;
    return out;
  }
};

// One step of the classical Runge-Kutta method.
State step(const Local& local, const State& s, double h) {
  M3 frame;
  const Rate a = local.rate(s, frame);
  const Rate b = local.rate(moved_on(s, h / 2, a), frame);
  const Rate c = local.rate(moved_on(s, h / 2, b), frame);
  const Rate d = local.rate(moved_on(s, h, c), frame);
  State out = s;
  out.at += h / 6 * (a.at + 2 * b.at + 2 * c.at + d.at);
  out.turn += h / 6 * (a.turn + 2 * b.turn + 2 * c.turn + d.turn);
  out.moment += h / 6 * (a.moment + 2 * b.moment + 2 * c.moment + d.moment);
  out.turn.normalize();
  return out;
}

State step_with_change(const Local& local, const State& s, double h, Change& change) {
  Change start;
  start.turn.leftCols<3>().setIdentity();
  start.moment.middleCols<3>(3).setIdentity();
  M3 frame;
  const Rate a = local.rate(s, frame);
  const Change ca = local.change(s, frame, start);
  const State sb = moved_on(s, h / 2, a);
  const Rate b = local.rate(sb, frame);
  const Change cb = local.change(sb, frame, start.plus(h / 2, ca));
  const State sc = moved_on(s, h / 2, b);
  const Rate c = local.rate(sc, frame);
  const Change cc = local.change(sc, frame, start.plus(h / 2, cb));
  const State sd = moved_on(s, h, c);
  const Rate d = local.rate(sd, frame);
  const Change cd = local.change(sd, frame, start.plus(h, cc));
  change = start.plus(h / 6, ca).plus(h / 3, cb).plus(h / 3, cc).plus(h / 6, cd);
  State out = s;
  out.at += h / 6 * (a.at + 2 * b.at + 2 * c.at + d.at);
  out.turn += h / 6 * (a.turn + 2 * b.turn + 2 * c.turn + d.turn);
  out.moment += h / 6 * (a.moment + 2 * b.moment + 2 * c.moment + d.moment);
  out.turn.normalize();
  return out;
}

int below_nothing(const M3& symmetric) {
  const M3 even = (symmetric + symmetric.transpose()) / 2;
  const Eigen::SelfAdjointEigenSolver<M3> solver(even, Eigen::EigenvaluesOnly);
  return static_cast<int>((solver.eigenvalues().array() <= 0).count());
}

/// Ways in which the rod gives without work, or gains by it: fields of turns that obey the equations of
/// variation between the steps' ends and vanish at the rod's. Their energy is a block tridiagonal form, whose
/// pivots are met one by one; each that is negative is one conjugate point (Jacobi's condition for rods: R.
/// S. Manning, K. A. Rogers, J. H. Maddocks, Proc. R. Soc. A 454 (1998) 3047, from memory; S. P. C.
/// Dhanakoti, arXiv:2407.07601 (2024)). The turn w and n + m x w / 2 are conjugate.
class Pivots {
 public:
  void add(const Change& c, const V3& moment_before, const V3& moment_after) {
    const M3 tt = c.turn.leftCols<3>(), tm = c.turn.middleCols<3>(3);
    const M3 mm = c.moment.middleCols<3>(3);
    const M3 back = tm.inverse();
    const M3 first = back * tt - cross(moment_before) / 2, last = mm * back + cross(moment_after) / 2;
    if (begun_) {
      const M3 pivot = open_ + first;
      negative_ += below_nothing(pivot);
      open_ = last - back.transpose() * pivot.inverse() * back;
    } else {
      open_ = last;
    }
    begun_ = true;
  }
  int negative() const { return negative_; }

 private:
  bool begun_ = false;
  int negative_ = 0;
  M3 open_ = M3::Zero();
};

RodLoad off_home(const Frame& end, const Frame& far) {
  RodLoad off;
  off << far.at_mm - end.at_mm, turn_between(end.turn, far.turn);
  return off;
}
bool is_home(const RodLoad& off) {
  return off.head<3>().norm() < kHome_mm && off.tail<3>().norm() < kHome_rad;
}
double far_off(const RodLoad& off, double length_mm) {
  return off.head<3>().norm() / length_mm + off.tail<3>().norm();
}

/// By a load in units of the rod's length, so that all is of one size.
struct Scaled {
  double length_mm;
  M6 of(M6 by_load) const {
    by_load.topRows<3>() /= length_mm;
    by_load.leftCols<3>() /= length_mm * length_mm;
    by_load.rightCols<3>() /= length_mm;
    return by_load;
  }
  RodLoad solve(const Eigen::FullPivLU<M6>& lu, RodLoad off) const {
    off.head<3>() /= length_mm;
    RodLoad load = lu.solve(off);
    load.head<3>() /= length_mm * length_mm;
    load.tail<3>() /= length_mm;
    return load;
  }
};

bool is_singular(const Eigen::FullPivLU<M6>& lu) {
  const auto diagonal = lu.matrixLU().diagonal().cwiseAbs();
  return !(diagonal.minCoeff() > kSingular * diagonal.maxCoeff());
}

}  // namespace

V3 turn_between(const M3& from, const M3& to) {
  const Eigen::AngleAxisd turn(M3(to * from.transpose()));
  return turn.angle() * turn.axis();
}

ElasticRod::ElasticRod(const std::vector<RodPart>& parts) {
  at_mm_.push_back(0);
  for (const RodPart& part : parts) {
    const int count = std::max(1, static_cast<int>(std::ceil(part.length_mm / kLongestStep_mm - 1e-9)));
    for (int k = 0; k < count; ++k) {
      steps_.push_back({part.length_mm / count, 1 / part.stiff, part.rest_bend});
      at_mm_.push_back(length_mm_ + part.length_mm * (k + 1) / count);
    }
    length_mm_ += part.length_mm;
  }
}

ElasticRod ElasticRod::straightened(double left) const {
  ElasticRod out = *this;
  for (Step& step : out.steps_) step.rest_bend *= left;
  return out;
}

Frame ElasticRod::end_under(const RodLoad& load) const {
  State s;
  s.moment = load.tail<3>();
  for (const Step& one : steps_) s = step({one.soft, one.rest_bend, load.head<3>()}, s, one.length_mm);
  steps_made_ += static_cast<std::int64_t>(steps_.size());
  return {s.frame(), s.at};
}

RodState ElasticRod::under(const RodLoad& load) const {
  RodState out;
  out.load = load;
  State s;
  s.moment = load.tail<3>();
  M36 turn = M36::Zero(), moment = M36::Zero(), place = M36::Zero();  // by the load
  moment.rightCols<3>().setIdentity();
  Pivots pivots;
  const auto note = [&] {
    out.ends.push_back({s.frame(), s.at});
    const V3 along = out.ends.back().turn.col(0);
    out.curvature.push_back((s.moment - along.dot(s.moment) * along).norm());
  };
  note();
  for (const Step& one : steps_) {
    Change c;
    const V3 before = s.moment;
    s = step_with_change({one.soft, one.rest_bend, load.head<3>()}, s, one.length_mm, c);
    pivots.add(c, before, s.moment);
    const auto follow = [&](const M39& by) {
      M36 next = by.leftCols<3>() * turn + by.middleCols<3>(3) * moment;
      next.leftCols<3>() += by.rightCols<3>();
      return next;
    };
    const M36 moved = follow(c.place), turned_by = follow(c.turn), loaded = follow(c.moment);
    place += moved;
    turn = turned_by;
    moment = loaded;
    note();
  }
  steps_made_ += 10 * static_cast<std::int64_t>(steps_.size());
  out.by_load << place, turn;
  // Inertia of a form with three conditions on it: E. V. Haynsworth, Linear Algebra Appl. 1 (1968) 73, from
  // memory. `gives` is how the far end gives way to a force while it does not turn.
  const M3 gives = out.by_load.topLeftCorner<3, 3>() - out.by_load.topRightCorner<3, 3>() *
                                                           out.by_load.bottomRightCorner<3, 3>().inverse() *
                                                           out.by_load.bottomLeftCorner<3, 3>();
  out.minimum = gives.allFinite() && pivots.negative() == below_nothing(gives);
  return out;
}

std::optional<RodState> ElasticRod::clamped(const Frame& far, const RodState& near) const {
  const Scaled scaled{length_mm_};
  RodLoad load = near.load;
  Eigen::FullPivLU<M6> lu(scaled.of(near.by_load));
  if (is_singular(lu)) return std::nullopt;
  RodLoad off = off_home(end_under(load), far);
  for (int chord = 0; chord < kMostChords && !is_home(off); ++chord) {
    const RodLoad next = load + scaled.solve(lu, off);
    const RodLoad then = off_home(end_under(next), far);
    if (!(far_off(then, length_mm_) < 0.3 * far_off(off, length_mm_))) break;
    load = next;
    off = then;
  }
  RodState state = under(load);
  for (int round = 0; !is_home(off); ++round) {
    if (round == kMostRounds) return std::nullopt;
    lu.compute(scaled.of(state.by_load));
    if (!state.by_load.allFinite() || is_singular(lu)) return std::nullopt;
    const RodLoad by = scaled.solve(lu, off);
    double share = 1;
    for (int halving = 0;; ++halving, share /= 2) {
      if (halving == kMostHalvings) return std::nullopt;
      const RodLoad then = off_home(end_under(load + share * by), far);
      if (!(far_off(then, length_mm_) < (1 - share / 4) * far_off(off, length_mm_)) && !is_home(then))
        continue;
      off = then;
      break;
    }
    load += share * by;
    state = under(load);
  }
  if (!state.by_load.allFinite() || is_singular(Eigen::FullPivLU<M6>(scaled.of(state.by_load))))
    return std::nullopt;
  return state;
}

std::optional<RodState> ElasticRod::turning_freely(const Frame& far, const RodLoad& start) const {
  // Two of the far turns count, those across its direction; the third is exchanged for the twisting moment,
  // m at the far end along the direction there: m(L) = m(0) + f x (r(L) - r(0)).
  const V3 direction = far.turn.col(0);
  const V3 one = direction.unitOrthogonal(), other = direction.cross(one);
  const auto misses = [&](const Frame& end, const RodLoad& load) {
    const V3 turn = Eigen::Quaterniond::FromTwoVectors(end.turn.col(0), direction).vec() * 2;
    const V3 moment = load.tail<3>() + load.head<3>().cross(end.at_mm);
    RodLoad off;
    off << far.at_mm - end.at_mm, turn.dot(one), turn.dot(other), -moment.dot(end.turn.col(0)) * length_mm_;
    return off;
  };
  const Scaled scaled{length_mm_};
  RodState state = under(start);
  RodLoad off = misses(state.ends.back(), start);
  for (int round = 0; !is_home(off); ++round) {
    if (round == kMostRounds || !state.by_load.allFinite()) return std::nullopt;
    const Frame& end = state.ends.back();
    const V3 moment = state.load.tail<3>() + state.load.head<3>().cross(end.at_mm), along = end.turn.col(0);
    M36 by_moment;
    by_moment << -cross(end.at_mm), M3::Identity();
    by_moment += cross(state.load.head<3>()) * state.by_load.topRows<3>();
    M6 by;
    by << state.by_load.topRows<3>(), one.transpose() * state.by_load.bottomRows<3>(),
        other.transpose() * state.by_load.bottomRows<3>(),
        length_mm_ * (along.transpose() * by_moment +
                      moment.transpose() * (-cross(along)) * state.by_load.bottomRows<3>());
    const Eigen::FullPivLU<M6> lu(scaled.of(by));
    if (is_singular(lu)) return std::nullopt;
    const RodLoad change = scaled.solve(lu, off);
    double share = 1;
    for (int halving = 0;; ++halving, share /= 2) {
      if (halving == kMostHalvings) return std::nullopt;
      const RodLoad load = state.load + share * change;
      const RodLoad then = misses(end_under(load), load);
      if (!(far_off(then, length_mm_) < (1 - share / 4) * far_off(off, length_mm_)) && !is_home(then))
        continue;
      off = then;
      break;
    }
    state = under(state.load + share * change);
  }
  return state;
}

}  // namespace hosefit::recheck
