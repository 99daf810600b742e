// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <cmath>
#include <numbers>
#include <optional>
#include <queue>
#include <set>
#include <string>

#include "solver/model/route.h"
#include "tests/laws/slow_shapes.h"
#include "tests/laws/small_bays.h"

/// What is true of a small bay, found by dense sampling. Millimetres.
namespace hosefit::laws {

inline constexpr double kTold_mm = 0.05;  // a gap may be told as kept when it is short by this much at most

struct Spot {
  double s_mm = 0;
  Vec3 at_mm;
  double radius_mm = 0;
  Runner runner = Runner::hose;
};

inline double run_gap_mm(const SmallBay& small, const Obstacle& o, Runner runner, bool same) {
  return o.own_gap ? o.own_gap->gap.mm() : table_gap_mm(runner, o.hazard, same, small.extra_gap_mm);
}

inline bool grows_out_of(const PlacedNeck& neck, std::size_t body, std::size_t obstacle) {
  return std::find(neck.own_part.begin(), neck.own_part.end(), ObstacleRef{body, obstacle}) !=
         neck.own_part.end();
}

/// Gap found less gap required of a ball at a place of a line, over all obstacles. `lead_from` and `lead_to`:
/// least straights beyond the necks' ends.
inline double spare_at(const SmallBay& small, const BayLine& line, const Spot& place, double length,
                       double lead_from, double lead_to) {
  const PlacedNeck &from = small.bay.necks[line.from], &to = small.bay.necks[line.to];
  const bool on_from = place.s_mm<0, on_to = place.s_mm> length;
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t b = 0; b < small.bay.bodies.size(); ++b) {
    const PlacedBody& placed = small.bay.bodies[b];
    const Carrier of_body = placed.body->carrier;
    const Vec3 p = placed.pose.rotation.transpose() * (place.at_mm - placed.pose.origin_mm);
    bool same = line.carrier == (of_body == Carrier::chassis ? LineCarrier::chassis : LineCarrier::engine);
    if (on_from) same = from.carrier == of_body;
    if (on_to) same = to.carrier == of_body;
    for (std::size_t o = 0; o < placed.body->obstacles.size(); ++o) {
      const Obstacle& obstacle = placed.body->obstacles[o];
      double gap = run_gap_mm(small, obstacle, place.runner, same);
      if (grows_out_of(from, b, o)) {
        if (on_from) continue;
        if (place.s_mm < lead_from) gap = 0;
      }
      if (grows_out_of(to, b, o)) {
        if (on_to) continue;
        if (place.s_mm > length - lead_to) gap = 0;
      }
      least = std::min(least, distance_mm(obstacle.shape, obstacle.closed, p) - place.radius_mm - gap);
    }
  }
  return least;
}

inline const Stock& stock_named(const SmallBay& small, const std::string& id) {
  return *std::find_if(small.stock.begin(), small.stock.end(), [&](const Stock& s) { return s.id == id; });
}

/// Least straight from a neck's end, from the words of Stock and least_lead_mm().
inline double lead_mm(const Stock& stock) {
  if (stock.make == Make::bent_tube) return stock.coupler_gap.mm() + stock.cuff.mm();
  const double cuff_beyond =
      stock.make == Make::corrugated_hose ? std::max(0.0, stock.cuff.mm() - stock.cuff_trim.mm() - 28) : 0;
  return cuff_beyond + 0.5 * stock.outside_diameter.mm();
}

/// A finished route laid out as places.
class Laid {
 public:
  Laid(const SmallBay& small, const Route& route)
      : route_(route),
        line_(small.bay.lines[route.line]),
        length_(hosefit::length_mm(route.centreline)),
        lead_(lead_mm(stock_named(small, route.stock))) {}

  double from_s() const { return -route_.engagement_from_mm; }
  double to_s() const { return length_ + route_.engagement_to_mm; }
  double length() const { return length_; }
  double lead() const { return lead_; }
  const BayLine& line() const { return line_; }

  Spot at(double s) const {
    Spot place{s, Vec3::Zero(), 0, Runner::hose};
    const Centreline& c = route_.centreline;
    if (s < 0)
      place.at_mm = start_point(c) + s * start_direction(c);
    else if (s > length_)
      place.at_mm = end_point(c) + (s - length_) * end_direction(c);
    else
      place.at_mm = point_at(c, s);
    const double on = std::clamp(s, 0.0, length_);
    for (const RouteSection& section : route_.sections)
      if (on >= section.from_s_mm && on <= section.to_s_mm &&
          section.outside_diameter_mm / 2 >= place.radius_mm) {
        place.radius_mm = section.outside_diameter_mm / 2;
        place.runner = section.runner;
      }
    return place;
  }

 private:
  const Route& route_;
  const BayLine& line_;
  double length_, lead_;
};

/// Least spare gap of a route to obstacles: every 1 mm, and every 0.05 mm where less could hide between.
inline double least_spare(const SmallBay& small, const Laid& laid) {
  const auto spare = [&](double s) {
    return spare_at(small, laid.line(), laid.at(std::clamp(s, laid.from_s(), laid.to_s())), laid.length(),
                    laid.lead(), laid.lead());
  };
  double least = std::numeric_limits<double>::infinity();
  for (double s = laid.from_s(); s <= laid.to_s(); s += 1) {
    const double here = spare(s);
    least = std::min(least, here);
    if (here > 0.6) continue;
    for (double fine = s - 0.5; fine <= s + 0.5; fine += 0.05) least = std::min(least, spare(fine));
  }
  return least;
}

inline double least_between(const Laid& a, const Laid& b, double gap) {
  double least = std::numeric_limits<double>::infinity();
  for (double s = a.from_s(); s <= a.to_s(); s += 2) {
    const Spot p = a.at(s);
    for (double t = b.from_s(); t <= b.to_s(); t += 2) {
      const Spot q = b.at(t);
      const double off = p.radius_mm + q.radius_mm + gap;
      const double here = (p.at_mm - q.at_mm).norm() - off;
      least = std::min(least, here);
      if (here > 3) continue;
      for (double fs = s - 1; fs <= s + 1; fs += 0.2)
        for (double ft = t - 1; ft <= t + 1; ft += 0.2)
          least = std::min(least, (a.at(std::clamp(fs, a.from_s(), a.to_s())).at_mm -
                                   b.at(std::clamp(ft, b.from_s(), b.to_s())).at_mm)
                                          .norm() -
                                      off);
    }
  }
  return least;
}

/// Of places on one line further apart than half a turn of its tightest bend: distance less outside diameter.
inline double least_to_itself(const Laid& laid, double tightest_mm) {
  double least = std::numeric_limits<double>::infinity();
  for (double s = 0; s <= laid.length(); s += 2)
    for (double t = s + std::numbers::pi * tightest_mm; t <= laid.length(); t += 2) {
      const Spot p = laid.at(s), q = laid.at(t);
      least = std::min(least, (p.at_mm - q.at_mm).norm() - p.radius_mm - q.radius_mm);
    }
  return least;
}

/// Largest way back of heights from first to last place with the vehicle pitched about Y.
inline double falls_back_mm(const Laid& laid, double pitch_deg, bool rising) {
  const double pitch = pitch_deg * std::numbers::pi / 180;
  double most = 0, extreme = 0;
  for (double s = 0; s <= laid.length(); s += 0.5) {
    const Vec3 p = laid.at(s).at_mm;
    const double height = (rising ? 1 : -1) * (-std::sin(pitch) * p.x() + std::cos(pitch) * p.z());
    extreme = s == 0 ? height : std::max(extreme, height);
    most = std::max(most, extreme - height);
  }
  return most;
}

/// Flood from one place to another over cubes of 6 mm, through faces whose crossing is free for sure: both
/// centres together have more spare gap than they are apart. True: a ball of this radius gets there on a way
/// that never leaves the ellipsoid of `longest` about the two places, by at most 100000 cubes.
inline bool gets_through(const SmallBay& small, const BayLine& line, const Vec3& from, const Vec3& to,
                         double radius, double longest) {
  constexpr double kCell = 6;
  const auto spare = [&](const Vec3& p) {
    return spare_at(small, line, {1e3, p, radius, Runner::hose}, 2e3, 0, 0);
  };
  if (spare(from) <= 0 || spare(to) <= 0) return false;
  using Cell = std::array<int, 3>;
  const auto centre = [&](const Cell& c) { return Vec3(from + kCell * Vec3(c[0], c[1], c[2])); };
  const auto beyond = [&](const Vec3& p) { return (p - from).norm() + (p - to).norm(); };
  std::set<Cell> seen{{0, 0, 0}};
  struct Open {
    double far;
    Cell cell;
    double spare;
    bool operator<(const Open& o) const { return far != o.far ? far > o.far : cell > o.cell; }
  };
  std::priority_queue<Open> open;
  open.push({(to - from).norm(), {0, 0, 0}, spare(from)});
  const double at_goal = spare(to);
  while (!open.empty() && seen.size() < 100000) {
    const Open here = open.top();
    open.pop();
    const Vec3 p = centre(here.cell);
    if ((p - to).norm() < here.spare + at_goal && (p - to).norm() < 2 * kCell) return true;
    for (int axis = 0; axis < 3; ++axis)
      for (const int step : {-1, 1}) {
        Cell next = here.cell;
        next[static_cast<std::size_t>(axis)] += step;
        const Vec3 q = centre(next);
        if (beyond(q) > 0.7 * longest || !seen.insert(next).second) continue;
        const double there = spare(q);
        if (there + here.spare > kCell) open.push({(to - q).norm(), next, there});
      }
  }
  return false;
}

/// Shoots random curves with bends of `radius` or more; true when one stays free over `length`.
inline bool can_turn(const SmallBay& small, const BayLine& line, Vec3 at, Vec3 along, double run_radius,
                     double bend_radius, double length, Dice dice) {
  for (int shot = 0; shot < 300; ++shot) {
    Vec3 p = at, heading = along;
    double done = 0, left = 0, curvature = 0;
    Vec3 side = any_perpendicular(heading);
    bool free = true;
    while (done < length && free) {
      if (left <= 0) {
        left = dice.between(0.1, 1) * length;
        curvature = dice.below(3) == 0 ? 0 : dice.between(0.3, 1) / bend_radius;
        const Vec3 any = test::random_direction(dice);
        side = (any - any.dot(heading) * heading).normalized();
      }
      constexpr double kStep = 0.5;
      // A chord of the arc, then the heading turned by what the step bends.
      const double turn = curvature * kStep;
      p += kStep * (std::cos(turn / 2) * heading + std::sin(turn / 2) * side);
      const Vec3 turned = std::cos(turn) * heading + std::sin(turn) * side;
      side = (std::cos(turn) * side - std::sin(turn) * heading).normalized();
      heading = turned.normalized();
      done += kStep;
      left -= kStep;
      free = spare_at(small, line, {1e3, p, run_radius, Runner::hose}, 2e3, 0, 0) > kStep;
    }
    if (free) return true;
  }
  return false;
}

}  // namespace hosefit::laws
