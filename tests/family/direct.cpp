// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/family/direct.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "tests/laws/slow_shapes.h"

namespace hosefit::family {
namespace {

// Tangent lengths T = R tan(bend / 2) repeated until they settle, from where the straight points along the
// chord.
std::optional<Centreline> arc_straight_arc(const Vec3& from, const Vec3& out, const Vec3& to, const Vec3& in,
                                           double radius) {
  const auto tangent = [&](const Vec3& a, const Vec3& b) {
    const double cosine = std::clamp(a.dot(b), -1.0, 1.0);
    return radius * std::sqrt((1 - cosine) / std::max(1 + cosine, 1e-9));
  };
  double t1 = 0, t2 = 0;
  for (int round = 0; round < 200; ++round) {
    const Vec3 u = (to - t2 * in - from - t1 * out).normalized();
    const double n1 = tangent(out, u), n2 = tangent(u, in);
    if (n1 > 20 * radius || n2 > 20 * radius) return std::nullopt;
    const double change = std::max(std::abs(n1 - t1), std::abs(n2 - t2));
    t1 += 0.7 * (n1 - t1);
    t2 += 0.7 * (n2 - t2);
    if (change < 1e-10) break;
    if (round == 199) return std::nullopt;
  }
  FilletChain chain;
  chain.points_mm = {from, from + t1 * out, to - t2 * in, to};
  chain.radii_mm = {radius, radius};
  return centreline_of(chain);
}

}  // namespace

double sampled_spare_mm(const FamilyBay& bay, const Centreline& line) {
  const PlacedBody& placed = bay.bay.bodies.front();
  const double off = bay.stock.outside_diameter.mm() / 2 + bay.gap_mm;
  double least = std::numeric_limits<double>::infinity();
  const double length = length_mm(line);
  for (double s = 0; s <= length;) {
    const Vec3 p = placed.pose.point_inverse(point_at(line, s));
    double here = std::numeric_limits<double>::infinity();
    for (const Obstacle& o : placed.body->obstacles)
      here = std::min(here, laws::distance_mm(o.shape, o.closed, p) - off);
    least = std::min(least, here);
    if (least < -1) return least;
    s += std::max(0.1, here);
  }
  return least;
}

bool direct_will_do(const FamilyBay& bay) {
  const PlacedNeck &a = bay.bay.necks[0], &b = bay.bay.necks[1];
  const double lead = bay.stock.outside_diameter.mm() / 2;  // see least_lead_mm()
  const Vec3 from = a.end_mm + lead * a.outward, to = b.end_mm + lead * b.outward;
  const std::optional<Centreline> line =
      arc_straight_arc(from, a.outward, to, -b.outward, bay.stock.radii.front().mm());
  return line && sampled_spare_mm(bay, *line) >= -0.02;
}

}  // namespace hosefit::family
