// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "solver/recheck/convex.h"

namespace hosefit::recheck {
namespace {

constexpr double kClose_mm = 0.002;  // upper less lower bound at which a distance is known
constexpr int kMostRounds = 400;     // only touching curved faces come near it

double cross2(const V2& a, const V2& b, const V2& c) {
  return (b.x() - a.x()) * (c.y() - a.y()) - (c.x() - a.x()) * (b.y() - a.y());
}

// Corners of the outline three by three: an ear is a corner with no other corner in its triangle.
std::vector<std::array<V2, 3>> ears(std::vector<V2> rest) {
  std::vector<std::array<V2, 3>> out;
  while (rest.size() >= 3) {
    const std::size_t n = rest.size();
    std::size_t ear = n;
    for (std::size_t i = 0; i < n && ear == n; ++i) {
      const V2 &a = rest[i == 0 ? n - 1 : i - 1], &b = rest[i], &c = rest[i + 1 == n ? 0 : i + 1];
      if (cross2(a, b, c) < 0) continue;
      const bool holds_other = std::any_of(rest.begin(), rest.end(), [&](const V2& p) {
        return p != a && p != b && p != c && cross2(a, b, p) >= 0 && cross2(b, c, p) >= 0 &&
               cross2(c, a, p) >= 0;
      });
      if (!holds_other || cross2(a, b, c) == 0) ear = i;
    }
    if (ear == n) ear = 0;  // rounding alone: a sliver more does no harm to a bound from below
    out.push_back({rest[ear == 0 ? n - 1 : ear - 1], rest[ear], rest[ear + 1 == n ? 0 : ear + 1]});
    rest.erase(rest.begin() + static_cast<std::ptrdiff_t>(ear));
  }
  return out;
}

struct Splitter {
  const Box3& near;
  std::vector<Convex> out;

  void keep(Convex part) {
    part.close();
    if (part.box.intersects(near)) out.push_back(std::move(part));
  }
  void operator()(const Block& s) {
    Convex part;
    for (int k = 0; k < 8; ++k)
      part.points_mm.push_back(
          s.frame.point(V3((k & 1 ? 1 : -1) * s.half_mm.x(), (k & 2 ? 1 : -1) * s.half_mm.y(),
                           (k & 4 ? 1 : -1) * s.half_mm.z())));
    keep(std::move(part));
  }
  void operator()(const Round& s) {
    const V3 axis = (s.b_mm - s.a_mm).normalized();
    Convex part;
    const V3 one = axis.unitOrthogonal(), other = axis.cross(one);
    part.discs = {{s.a_mm, axis, one, other, s.radius_a_mm}, {s.b_mm, axis, one, other, s.radius_b_mm}};
    keep(std::move(part));
  }
  void operator()(const Ball& s) {
    Convex part;
    part.points_mm = {s.a_mm, s.b_mm};
    part.around_mm = s.radius_mm;
    keep(std::move(part));
  }
  void operator()(const Prism& s) {
    for (const auto& ear : ears(s.outline_mm)) {
      Convex part;
      for (const V2& corner : ear)
        for (const double z : {0.0, s.height_mm})
          part.points_mm.push_back(s.frame.point(V3(corner.x(), corner.y(), z)));
      keep(std::move(part));
    }
  }
  void operator()(const Pieces& s) {
    for (const auto& piece : s.pieces) {
      Convex part;
      part.points_mm.assign(piece.begin(), piece.end());
      keep(std::move(part));
    }
  }
  void operator()(const Surface& s) {
    Box3 own;
    for (int k = 0; k < 8; ++k) own.extend(s.frame.back(near.corner(static_cast<Box3::CornerType>(k))));
    for (const std::uint32_t t : s.grid->touching(own)) {
      Convex part;
      for (const V3& corner : s.grid->triangles()[t]) part.points_mm.push_back(s.frame.point(corner));
      keep(std::move(part));
    }
  }
};

}  // namespace

V3 Convex::farthest(const V3& direction) const {
  double most = -std::numeric_limits<double>::infinity();
  V3 best = V3::Zero();
  const auto take = [&](const V3& p) {
    if (const double along = p.dot(direction); along > most) {
      most = along;
      best = p;
    }
  };
  for (const V3& p : points_mm) take(p);
  for (const Disc& disc : discs) {
    // By two axes of its own, so that the point lies in the disc even when the direction is square to it.
    const double one = direction.dot(disc.one), other = direction.dot(disc.other);
    const double length = std::hypot(one, other);
    take(length > 0 ? V3(disc.middle_mm + (disc.radius_mm / length) * (one * disc.one + other * disc.other))
                    : disc.middle_mm);
  }
  return best;
}

double Convex::least_along(const V3& direction) const {
  return direction.dot(farthest(-direction)) - around_mm * direction.norm();
}

void Convex::close() {
  box.setEmpty();
  for (const V3& p : points_mm) box.extend(p);
  for (const Disc& disc : discs) {
    const V3 reach = disc.radius_mm * (V3::Ones() - disc.axis.cwiseAbs2()).cwiseMax(0.0).cwiseSqrt();
    box.extend(V3(disc.middle_mm - reach));
    box.extend(V3(disc.middle_mm + reach));
  }
  box.min().array() -= around_mm;
  box.max().array() += around_mm;
}

Convex moved(Convex body, const Frame& frame) {
  for (V3& p : body.points_mm) p = frame.point(p);
  for (Disc& disc : body.discs) {
    disc.middle_mm = frame.point(disc.middle_mm);
    for (V3* axis : {&disc.axis, &disc.one, &disc.other}) *axis = frame.turn * *axis;
  }
  body.close();
  return body;
}

std::vector<Convex> convex_parts(const Solid& solid, const Box3& near) {
  Splitter splitter{near, {}};
  std::visit(splitter, solid);
  return std::move(splitter.out);
}

namespace {

/// A point of the difference of two bodies, and the point of the first that it came from.
struct Corner {
  V3 apart, on_a;
};
struct Nearest {
  std::vector<Corner> corners;  // the smallest face of them that holds the nearest point
  V3 point = V3::Zero(), on_a = V3::Zero();
};

// The point of the hull of up to four corners nearest to the origin: every face of it is tried.
Nearest nearest_of(const std::vector<Corner>& corners) {
  Nearest best;
  double least = std::numeric_limits<double>::infinity();
  for (unsigned face = 1; face < 1U << corners.size(); ++face) {
    std::vector<Corner> chosen;
    for (std::size_t i = 0; i < corners.size(); ++i)
      if ((face >> i & 1U) != 0) chosen.push_back(corners[i]);
    const auto edges = static_cast<Eigen::Index>(chosen.size()) - 1;
    Eigen::VectorXd weight = Eigen::VectorXd::Zero(edges + 1);
    weight[0] = 1;
    if (edges > 0) {
      Eigen::Matrix<double, 3, Eigen::Dynamic> m(3, edges);
      for (Eigen::Index k = 0; k < edges; ++k)
        m.col(k) = chosen[static_cast<std::size_t>(k) + 1].apart - chosen[0].apart;
      const Eigen::VectorXd share = m.colPivHouseholderQr().solve(-chosen[0].apart);
      if (!share.allFinite() || (share.array() < 0).any() || share.sum() > 1) continue;
      weight[0] = 1 - share.sum();
      weight.tail(edges) = share;
    }
    V3 point = V3::Zero(), on_a = V3::Zero();
    for (std::size_t k = 0; k < chosen.size(); ++k) {
      point += weight[static_cast<Eigen::Index>(k)] * chosen[k].apart;
      on_a += weight[static_cast<Eigen::Index>(k)] * chosen[k].on_a;
    }
    if (point.norm() < least) {
      least = point.norm();
      best = {chosen, point, on_a};
    }
  }
  return best;
}

}  // namespace

ConvexApart apart(const Convex& a, const Convex& b) {
  const double around = a.around_mm + b.around_mm;
  const auto corner = [&](const V3& direction) {
    const V3 on_a = a.farthest(direction);
    return Corner{on_a - b.farthest(-direction), on_a};
  };
  Nearest nearest{{}, V3::Zero(), V3::Zero()};
  nearest.corners = {corner(V3::UnitX())};
  nearest.point = nearest.corners[0].apart;
  nearest.on_a = nearest.corners[0].on_a;
  double at_least = 0, at_most = nearest.point.norm();
  V3 where = nearest.on_a, towards = V3::Zero();
  for (int round = 0; round < kMostRounds && at_most - at_least > kClose_mm; ++round) {
    if (at_most < kClose_mm / 2) break;
    const Corner next = corner(-nearest.point);
    if (const double kept = next.apart.dot(nearest.point) / nearest.point.norm(); kept > at_least) {
      at_least = kept;
      towards = nearest.point.normalized();
    }
    std::vector<Corner> corners = nearest.corners;
    if (corners.size() == 4) break;  // holds the origin
    corners.push_back(next);
    nearest = nearest_of(corners);
    if (nearest.point.norm() < at_most) {
      at_most = nearest.point.norm();
      where = nearest.on_a;
    }
  }
  return {std::max(0.0, at_least - around), std::max(0.0, at_most - around), where, towards};
}

namespace {

// Is a whole surface without a crossing inside another solid? One point of it tells.
V3 any_point(const Solid& solid) {
  struct Picker {
    V3 operator()(const Block& s) const { return s.frame.at_mm; }
    V3 operator()(const Round& s) const { return (s.a_mm + s.b_mm) / 2; }
    V3 operator()(const Ball& s) const { return s.a_mm; }
    V3 operator()(const Prism& s) const {
      return s.frame.point(V3(s.outline_mm[0].x(), s.outline_mm[0].y(), s.height_mm / 2));
    }
    V3 operator()(const Pieces& s) const { return s.pieces[0][0]; }
    V3 operator()(const Surface& s) const { return s.frame.point(s.grid->triangles()[0][0]); }
  };
  return std::visit(Picker{}, solid);
}

}  // namespace

Apart apart(const Solid& a, const Solid& b, double within_mm) {
  Apart least{within_mm, within_mm, V3::Zero()};
  Box3 around_b = box_of(b);
  around_b.min().array() -= within_mm;
  around_b.max().array() += within_mm;
  for (const Convex& part_a : convex_parts(a, around_b)) {
    Box3 around_a = part_a.box;
    around_a.min().array() -= least.at_most_mm;
    around_a.max().array() += least.at_most_mm;
    for (const Convex& part_b : convex_parts(b, around_a)) {
      const double boxes = part_a.box.exteriorDistance(part_b.box);
      if (boxes >= least.at_most_mm) continue;
      const ConvexApart found = apart(part_a, part_b);
      least.at_least_mm = std::min(least.at_least_mm, found.at_least_mm);
      if (found.at_most_mm >= least.at_most_mm) continue;
      least.at_most_mm = found.at_most_mm;
      least.where_mm = found.where_mm;
    }
  }
  const auto lies_in = [](const Solid& inner, const Solid& outer) {
    return std::holds_alternative<Surface>(outer) && is_inside(outer, any_point(inner));
  };
  if (least.at_least_mm > 0 && (lies_in(a, b) || lies_in(b, a))) return {0, 0, any_point(a)};
  return least;
}

}  // namespace hosefit::recheck
