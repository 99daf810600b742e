// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/shape_fit.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <numbers>

namespace hosefit {
namespace {

constexpr double kMostSprung_rad = Angle::deg(kMostSprung_deg).rad();
constexpr double kCloses_mm = 1e-9;   // ten times what a proof's ends may be off is a thousand of these
constexpr double kTurn_mm = 100.0;    // by which an angle off counts like a length off
constexpr double kCut_mm = 1000.0;    // moving a cut by this is as dear as
constexpr double kClock_rad = 1.0;    // turning the whole by this, or
constexpr double kSpring_rad = 0.05;  // springing a bend by this
constexpr double kSingular = 1e-13;   // share of the trace, for ends that one bend joins in its plane only
constexpr int kMostSteps = 14;
constexpr double kNearly_mm = 1e-3;  // from here on closing counts alone, or least springing and closing sway
constexpr double kMustShrink = 0.7;  // of what is left to close, from the third step on
constexpr double kSameStart_rad = 0.35;  // two starts nearer than this lead to the same end
constexpr std::size_t kMostUnknowns = 2 * kMostShapeBends + 2;
constexpr double kOffAxis_mm = 5.0, kAskew = 0.05;  // less tells nothing of the clocking

using Vec5 = Eigen::Matrix<double, 5, 1>;
using Mat5 = Eigen::Matrix<double, 5, 5>;

struct Range {
  double least = 0, most = 0;
};

class ChainFit {
 public:
  ChainFit(const ShapeChain& chain, const ShapeEnds& ends)
      : chain_(chain), ends_(ends), unknowns_(2 * chain.bends + 2) {
    zero_ = any_perpendicular(ends.start.along);
    other_ = ends.start.along.cross(zero_);
    across_ = any_perpendicular(ends.goal.along);
    up_ = ends.goal.along.cross(across_);
    first_ = {ends.lead_from_mm, chain.first_straight_mm - ends.engagement_from_mm};
    last_ = {ends.lead_to_mm, chain.last_straight_mm - ends.engagement_to_mm};
  }

  std::optional<ChainPose> best() {
    if (first_.least > first_.most || last_.least > last_.most) return std::nullopt;
    std::optional<ChainPose> best;
    double least = 0;
    for (const double clock : clocks()) {
      const std::optional<ChainPose> found = from(clock);
      if (!found) continue;
      const double sprung = found->most_sprung_rad(chain_.bends);
      if (best && sprung >= least) continue;
      best = found;
      least = sprung;
    }
    return best;
  }

 private:
  // As moulded, from the start's heading with the clocking 0, in the frame (along, zero, other).
  struct Moulded {
    Vec3 end_mm = Vec3::Zero(), along = Vec3::UnitX();
  };
  Moulded moulded() const {
    Moulded m;
    Vec3 normal = Vec3::UnitY();
    for (std::size_t i = 0; i < chain_.bends; ++i) {
      const Vec3 centre = m.end_mm + chain_.radius_mm[i] * normal.cross(m.along);
      m.along = Eigen::AngleAxisd(chain_.angle_rad[i], normal) * m.along;
      m.end_mm = centre - chain_.radius_mm[i] * normal.cross(m.along);
      if (i + 1 == chain_.bends) break;
      m.end_mm += chain_.straight_mm[i] * m.along;
      normal = Eigen::AngleAxisd(chain_.turn_rad[i], m.along) * normal;
    }
    return m;
  }

  double angle_about(double along_zero, double along_other) const {
    return std::atan2(along_other, along_zero);
  }

  // The clockings at which the far direction, and the far end with straights of middle length, point the way
  // they must about the start's line.
  std::vector<double> clocks() const {
    const Moulded m = moulded();
    const Vec3 wanted = ends_.goal.along, to = ends_.goal.at_mm - ends_.start.at_mm;
    const double middle = (last_.least + last_.most) / 2;
    const Vec3 end = m.end_mm + middle * m.along;
    std::vector<double> out;
    const auto add = [&](double turn) {
      const bool known = std::any_of(out.begin(), out.end(), [&](double other) {
        return std::abs(std::remainder(turn - other, 2 * std::numbers::pi)) < kSameStart_rad;
      });
      if (!known) out.push_back(turn);
    };
    const Vec2 askew(wanted.dot(zero_), wanted.dot(other_)), askew_own(m.along.y(), m.along.z());
    if (askew.norm() > kAskew && askew_own.norm() > kAskew)
      add(angle_about(askew.x(), askew.y()) - angle_about(askew_own.x(), askew_own.y()));
    const Vec2 off(to.dot(zero_), to.dot(other_)), off_own(end.y(), end.z());
    if (off.norm() > kOffAxis_mm && off_own.norm() > kOffAxis_mm)
      add(angle_about(off.x(), off.y()) - angle_about(off_own.x(), off_own.y()));
    if (out.empty()) add(0);
    return out;
  }

  // Unknowns: clock, first straight, last straight, then bend, turn, bend, ...
  using Row = std::array<double, kMostUnknowns>;
  Range range_of(std::size_t unknown) const {
    if (unknown == 0) return {-1e9, 1e9};
    if (unknown == 1) return first_;
    if (unknown == 2) return last_;
    return {-kMostSprung_rad, kMostSprung_rad};
  }
  static double scale_of(std::size_t unknown) {
    return unknown == 0 ? kClock_rad : unknown <= 2 ? kCut_mm : kSpring_rad;
  }
  ChainPose pose_of(const Row& x) const {
    ChainPose pose;
    pose.clock_rad = x[0];
    pose.first_mm = x[1];
    pose.last_mm = x[2];
    for (std::size_t i = 0; i < chain_.bends; ++i) {
      pose.bend_rad[i] = x[3 + 2 * i];
      if (i + 1 < chain_.bends) pose.turn_rad[i] = x[4 + 2 * i];
    }
    return pose;
  }

  struct Closing {
    Vec5 left = Vec5::Zero();  // end off the goal, three lengths and two angles times kTurn_mm
    std::array<Vec5, kMostUnknowns> by{};
    bool faces = false;  // the right way
  };

  Closing closing(const Row& x) const {
    struct Hinge {
      Vec3 on_mm, axis;
    };
    std::array<Hinge, kMostUnknowns> hinges;
    Vec3 along = ends_.start.along, at = ends_.start.at_mm + x[1] * along;
    Vec3 normal = std::cos(x[0]) * zero_ + std::sin(x[0]) * other_;
    hinges[0] = {at, along};
    for (std::size_t i = 0; i < chain_.bends; ++i) {
      const double radius = chain_.radius_mm[i], angle = chain_.angle_rad[i] + x[3 + 2 * i];
      const Vec3 side = normal.cross(along);
      const Vec3 centre = at + radius * side;
      hinges[3 + 2 * i] = {centre, normal};
      const double c = std::cos(angle), s = std::sin(angle);
      const Vec3 next = c * along + s * side;
      at = centre - radius * (c * side - s * along);
      along = next;
      if (i + 1 == chain_.bends) break;
      hinges[4 + 2 * i] = {at, along};
      at += chain_.straight_mm[i] * along;
      const double turn = chain_.turn_rad[i] + x[4 + 2 * i];
      normal = std::cos(turn) * normal + std::sin(turn) * along.cross(normal);
    }
    const Vec3 end = at + x[2] * along;
    Closing out;
    const auto told = [&](const Vec3& moves, const Vec3& turns) {
      Vec5 v;
      v << moves, kTurn_mm * across_.dot(turns), kTurn_mm * up_.dot(turns);
      return v;
    };
    out.left = told(end - ends_.goal.at_mm, along);
    out.faces = along.dot(ends_.goal.along) > 0;
    for (std::size_t j = 0; j < unknowns_; ++j) {
      if (j == 1)
        out.by[j] = told(ends_.start.along, Vec3::Zero());
      else if (j == 2)
        out.by[j] = told(along, Vec3::Zero());
      else
        out.by[j] = told(hinges[j].axis.cross(end - hinges[j].on_mm), hinges[j].axis.cross(along));
    }
    return out;
  }

  // Of all x that close both ends to first order that with the least springing, the rest near where it is;
  // when they are nearly closed, the nearest. What would leave its range is put on its border and the others
  // are asked again.
  Row step(const Row& x, const Closing& at) const {
    const bool nearly = at.left.norm() < kNearly_mm;
    std::array<bool, kMostUnknowns> held{};
    Row next = x;
    for (std::size_t tries = 0; tries < unknowns_; ++tries) {
      Vec5 wanted = -at.left;
      Mat5 normal = Mat5::Zero();
      for (std::size_t j = 0; j < unknowns_; ++j) {
        if (held[j]) {
          wanted -= (next[j] - x[j]) * at.by[j];
          continue;
        }
        if (j > 2 && !nearly) wanted += x[j] * at.by[j];
        const double scale = scale_of(j);
        normal.noalias() += (scale * scale) * at.by[j] * at.by[j].transpose();
      }
      // Kept off singular by a little, and what that leaves is asked for again.
      const Eigen::LDLT<Mat5> solver(normal + kSingular * normal.trace() * Mat5::Identity());
      Vec5 pull = solver.solve(wanted);
      for (int again = 0; again < 2; ++again) pull += solver.solve(wanted - normal * pull);
      std::optional<std::size_t> worst;
      double over = 0;
      for (std::size_t j = 0; j < unknowns_; ++j) {
        if (held[j]) continue;
        const double scale = scale_of(j);
        next[j] = (j > 2 && !nearly ? 0.0 : x[j]) + scale * scale * at.by[j].dot(pull);
        const Range range = range_of(j);
        const double out = std::max(range.least - next[j], next[j] - range.most) / scale;
        if (out <= over) continue;
        over = out;
        worst = j;
      }
      if (!worst) break;
      held[*worst] = true;
      next[*worst] = std::clamp(next[*worst], range_of(*worst).least, range_of(*worst).most);
    }
    for (std::size_t j = 0; j < unknowns_; ++j)
      next[j] = std::clamp(next[j], range_of(j).least, range_of(j).most);
    return next;
  }

  std::optional<ChainPose> from(double clock) const {
    Row x{};
    x[0] = clock;
    x[1] = (first_.least + first_.most) / 2;
    x[2] = (last_.least + last_.most) / 2;
    Closing at = closing(x);
    double left = at.left.norm();
    for (int k = 0; k < kMostSteps; ++k) {
      x = step(x, at);
      at = closing(x);
      const double now = at.left.norm();
      if (now <= kCloses_mm) return at.faces ? std::optional(pose_of(x)) : std::nullopt;
      if (!std::isfinite(now) || (k >= 2 && now > kMustShrink * left)) return std::nullopt;
      left = now;
    }
    return std::nullopt;
  }

  const ShapeChain& chain_;
  const ShapeEnds& ends_;
  std::size_t unknowns_;
  Vec3 zero_, other_, across_, up_;
  Range first_, last_;
};

}  // namespace

std::optional<ChainPose> fit_chain(const ShapeChain& chain, const ShapeEnds& ends) {
  return ChainFit(chain, ends).best();
}

}  // namespace hosefit
