// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/recheck/elastic.h"

#include <Eigen/Eigenvalues>
#include <Eigen/LU>
#include <algorithm>
#include <cmath>

namespace hosefit::recheck {
namespace {

constexpr double kHome_mm = 1e-6, kHome_rad = 1e-8;  // rounding over a metre is a thousandth of it
constexpr int kMostRounds = 30, kMostHalvings = 8;
constexpr double kMostTurn_rad = 0.5;  // of a step's end in one round
constexpr double kSingular = 1e-10;    // of ways to give: the shape may swing freely

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

// The four rates of a classical Runge-Kutta step brought together.
State weighed(const State& s, double h, const Rate& a, const Rate& b, const Rate& c, const Rate& d) {
  State out = s;
  out.at += h / 6 * (a.at + 2 * b.at + 2 * c.at + d.at);
  out.turn += h / 6 * (a.turn + 2 * b.turn + 2 * c.turn + d.turn);
  out.moment += h / 6 * (a.moment + 2 * b.moment + 2 * c.moment + d.moment);
  out.turn.normalize();
  return out;
}

State step(const Local& local, const State& s, double h) {
  M3 frame;
  const Rate a = local.rate(s, frame);
  const Rate b = local.rate(moved_on(s, h / 2, a), frame);
  const Rate c = local.rate(moved_on(s, h / 2, b), frame);
  const Rate d = local.rate(moved_on(s, h, c), frame);
  return weighed(s, h, a, b, c, d);
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
  return weighed(s, h, a, b, c, d);
}

M3 even(const M3& m) {
  return (m + m.transpose()) / 2;
}

int below_nothing(const M3& symmetric) {
  const Eigen::SelfAdjointEigenSolver<M3> solver(even(symmetric), Eigen::EigenvaluesOnly);
  return static_cast<int>((solver.eigenvalues().array() <= 0).count());
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

double RodState::curvature(std::size_t end) const {
  const V3 along = ends[end].turn.col(0);
  return (moments[end] - along.dot(moments[end]) * along).norm();
}

/// One round over all shots.
class ElasticRod::Shots {
 public:
  using Columns = Eigen::Matrix<double, 3, 5>;  // by the force (3), by what is off, by the far end's own turn
  using Answer = Eigen::Matrix<double, 5, 1>;

  Shots(const ElasticRod& rod, const RodState& state, const Frame& far, bool turns)
      : rod_(rod), state_(state), far_(far), turns_(turns) {}

  /// How far the shots are off each other, and the far end from home; nothing when all is right. Scaled so
  /// that 1 is the most that is let pass.
  double off() {
    shots_.clear();
    V3 at = V3::Zero();
    double most = 0;
    for (std::size_t k = 0; k < rod_.steps_.size(); ++k) {
      const Step& one = rod_.steps_[k];
      shots_.push_back(step({one.soft, one.rest_bend, state_.force}, begun(k), one.length_mm));
      at += shots_.back().at;
      most = std::max(most, gap_turn(k).norm() / kHome_rad);
      most = std::max(most, gap_moment(k).norm() * rod_.length_mm_ / kHome_rad);
    }
    missed_ = at - far_.at_mm;
    most = std::max(most, missed_.norm() / kHome_mm);
    if (turns_)
      most =
          std::max(most, std::abs(state_.moments.back().dot(far_.turn.col(0))) * rod_.length_mm_ / kHome_rad);
    rod_.steps_made_ += static_cast<std::int64_t>(rod_.steps_.size());
    return most;
  }

  /// The turns of all ends and the changes of moments and force that bring it home to first order; whether
  /// what it starts from is a minimum.
  ///
  /// Turns w that obey the equations of variation between the steps' ends and vanish at the rod's have an
  /// energy that is a block tridiagonal form; each negative pivot of it is a way to gain by giving, as a
  /// conjugate point is (Jacobi's condition for rods: R. S. Manning, K. A. Rogers, J. H. Maddocks, Proc. R.
  /// Soc. A 454 (1998) 3047, from memory; S. P. C. Dhanakoti, arXiv:2407.07601 (2024)). Three conditions,
  /// that the far end stays where it is, take away as many as the negative values of `gives`, how the far end
  /// gives way to a force (E. V. Haynsworth, Linear Algebra Appl. 1 (1968) 73, from memory).
  bool solve() {
    const std::size_t n = rod_.steps_.size();
    vary();
    int negative = 0;
    std::vector<M3> eliminated(n);
    std::vector<Columns> turned(n + 1, Columns::Zero());
    for (std::size_t i = 1; i < n; ++i) {
      const M3 into = last_[i - 1], out = back_[i] * tt(i);
      M3 pivot = into + out;
      Columns right = into * by_turn(i - 1) - by_moment(i - 1) - back_[i] * by_turn(i);
      if (i > 1) {
        const M3 low = mt(i - 1) - last_[i - 1] * tt(i - 1);
        const M3 share = low * eliminated[i - 1];
        pivot += share * back_[i - 1];
        right -= share * turned[i - 1];
      }
      negative += below_nothing(pivot);
      eliminated[i] = pivot.inverse();
      turned[i] = right;
    }
    turned[n].col(4) = far_.turn.col(0);
    for (std::size_t i = n - 1; i >= 1; --i)
      turned[i] = eliminated[i] * (turned[i] + back_[i] * turned[i + 1]);
    std::vector<Columns> moment(n + 1, Columns::Zero());
    Columns moved = Columns::Zero();
    for (std::size_t k = 0; k < n; ++k) {
      moment[k] = back_[k] * (turned[k + 1] - tt(k) * turned[k] - by_turn(k));
      moved += change_[k].place.leftCols<3>() * turned[k] + change_[k].place.middleCols<3>(3) * moment[k];
      moved.leftCols<3>() += change_[k].place.rightCols<3>();
    }
    moment[n] = mt(n - 1) * turned[n - 1] + mm(n - 1) * moment[n - 1] + by_moment(n - 1);
    const M3 gives = moved.leftCols<3>();
    const Eigen::SelfAdjointEigenSolver<M3> ways(even(gives), Eigen::EigenvaluesOnly);
    const V3 values = ways.eigenvalues();
    const bool singular = !(values.cwiseAbs().minCoeff() > kSingular * values.cwiseAbs().maxCoeff());
    minimum_ = !singular && negative == static_cast<int>((values.array() < 0).count());
    return !singular && take(turned, moment, moved);
  }
  bool minimum() const { return minimum_; }

  RodState changed(double share) const {
    RodState out = state_;
    out.force += share * force_;
    for (std::size_t i = 0; i < out.ends.size(); ++i) {
      const double angle = turns_by_[i].norm();
      if (i > 0 && angle > 0)
        out.ends[i].turn =
            Eigen::AngleAxisd(share * angle, turns_by_[i] / angle).toRotationMatrix() * out.ends[i].turn;
      out.moments[i] += share * moments_by_[i];
    }
    return out;
  }
  V3 place_of(std::size_t k) const { return shots_[k].at; }
  double most_turn_rad() const {
    double most = 0;
    for (const V3& turn : turns_by_) most = std::max(most, turn.norm());
    return most;
  }

 private:
  State begun(std::size_t k) const {
    State s;
    const Eigen::Quaterniond q(state_.ends[k].turn);
    s.turn = {q.w(), q.x(), q.y(), q.z()};
    s.moment = state_.moments[k];
    return s;
  }
  V3 gap_turn(std::size_t k) const { return turn_between(state_.ends[k + 1].turn, shots_[k].frame()); }
  V3 gap_moment(std::size_t k) const { return shots_[k].moment - state_.moments[k + 1]; }
  M3 tt(std::size_t k) const { return change_[k].turn.leftCols<3>(); }
  M3 mt(std::size_t k) const { return change_[k].moment.leftCols<3>(); }
  M3 mm(std::size_t k) const { return change_[k].moment.middleCols<3>(3); }
  Columns by_turn(std::size_t k) const {
    Columns out = Columns::Zero();
    out.leftCols<3>() = change_[k].turn.rightCols<3>();
    out.col(3) = gap_turn(k);
    return out;
  }
  Columns by_moment(std::size_t k) const {
    Columns out = Columns::Zero();
    out.leftCols<3>() = change_[k].moment.rightCols<3>();
    out.col(3) = gap_moment(k);
    return out;
  }
  void vary() {
    for (std::size_t k = 0; k < rod_.steps_.size(); ++k) {
      const Step& one = rod_.steps_[k];
      change_.emplace_back();
      step_with_change({one.soft, one.rest_bend, state_.force}, begun(k), one.length_mm, change_.back());
      back_.push_back(change_.back().turn.middleCols<3>(3).inverse());
      last_.push_back(mm(k) * back_.back());
    }
    rod_.steps_made_ += 10 * static_cast<std::int64_t>(rod_.steps_.size());
  }
  // The force that brings the far end home, and its own turn that leaves no twisting moment there.
  bool take(const std::vector<Columns>& turned, const std::vector<Columns>& moment, const Columns& moved) {
    Eigen::Matrix4d system = Eigen::Matrix4d::Identity();
    Eigen::Vector4d wanted = Eigen::Vector4d::Zero();
    system.topLeftCorner<3, 3>() = moved.leftCols<3>();
    wanted.head<3>() = -missed_ - moved.col(3);
    if (turns_) {
      const auto twist = far_.turn.col(0).transpose() * moment.back();
      system.topRightCorner<3, 1>() = moved.col(4);
      system.bottomLeftCorner<1, 3>() = twist.leftCols<3>();
      system(3, 3) = twist(4);
      wanted[3] = -far_.turn.col(0).dot(state_.moments.back()) - twist(3);
    }
    const Eigen::Vector4d found = system.fullPivLu().solve(wanted);
    if (!found.allFinite()) return false;
    Answer by;
    by << found.head<3>(), 1, turns_ ? found[3] : 0;
    force_ = found.head<3>();
    for (std::size_t i = 0; i < turned.size(); ++i) {
      turns_by_.push_back(turned[i] * by);
      moments_by_.push_back(moment[i] * by);
    }
    return true;
  }

  const ElasticRod& rod_;
  const RodState& state_;
  const Frame& far_;
  bool turns_;
  std::vector<State> shots_;
  std::vector<Change> change_;
  std::vector<M3> back_, last_;
  V3 missed_ = V3::Zero(), force_ = V3::Zero();
  std::vector<V3> turns_by_, moments_by_;
  bool minimum_ = false;
};

RodState ElasticRod::under(const RodLoad& load) const {
  RodState out;
  out.force = load.head<3>();
  State s;
  s.moment = load.tail<3>();
  const auto note = [&] {
    out.ends.push_back({s.frame(), s.at});
    out.moments.push_back(s.moment);
  };
  note();
  for (const Step& one : steps_) {
    s = step({one.soft, one.rest_bend, out.force}, s, one.length_mm);
    note();
  }
  const Frame far = out.ends.back();
  Shots shots(*this, out, far, false);
  shots.off();
  shots.solve();
  out.minimum = shots.minimum();
  return out;
}

std::optional<RodState> ElasticRod::settled(const Frame& far, RodState state, bool turns) const {
  if (steps_.size() < 2) return std::nullopt;
  state.ends.back().turn = far.turn;
  for (int round = 0; round < kMostRounds; ++round) {
    Shots shots(*this, state, far, turns);
    const double off = shots.off();
    const bool solved = std::isfinite(off) && shots.solve();
    if (!solved) return std::nullopt;
    if (off <= 1) {
      state.minimum = shots.minimum();
      V3 at = V3::Zero();
      for (std::size_t k = 0; k < state.ends.size(); ++k) {
        state.ends[k].at_mm = at;
        if (k < steps_.size()) at += shots.place_of(k);
      }
      return state;
    }
    double share = std::min(1.0, kMostTurn_rad / std::max(1e-300, shots.most_turn_rad()));
    for (int halving = 0;; ++halving, share /= 2) {
      if (halving == kMostHalvings) return std::nullopt;
      RodState next = shots.changed(share);
      const double then = Shots(*this, next, far, turns).off();
      if (!(then < 2 * off || then <= 1)) continue;
      state = std::move(next);
      break;
    }
  }
  return std::nullopt;
}

std::optional<RodState> ElasticRod::clamped(const Frame& far, RodState near) const {
  return settled(far, std::move(near), false);
}

std::optional<RodState> ElasticRod::turning_freely(const Frame& far, RodState near) const {
  const V3 direction = far.turn.col(0);
  const M3& end = near.ends.back().turn;
  const M3 turned = Eigen::Quaterniond::FromTwoVectors(V3(end.col(0)), direction).toRotationMatrix() * end;
  return settled({turned, far.at_mm}, std::move(near), true);
}

}  // namespace hosefit::recheck
