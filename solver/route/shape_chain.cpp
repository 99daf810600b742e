// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/shape_chain.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace hosefit {
namespace {

constexpr double kNoLength_mm = 1e-9;

Vec3 turned(const Vec3& v, const Vec3& axis, double angle_rad) {
  return Eigen::AngleAxisd(angle_rad, axis) * v;
}

}  // namespace

ShapeChain chain_of(const MouldedShape& shape, std::size_t first, std::size_t bends, bool backwards) {
  assert(bends >= 1 && bends <= kMostShapeBends && first + bends <= shape.radii.size());
  ShapeChain chain;
  chain.bends = bends;
  for (std::size_t i = 0; i < bends; ++i) {
    const std::size_t bend = backwards ? first + bends - 1 - i : first + i;
    chain.radius_mm[i] = shape.radii[bend].mm();
    chain.angle_rad[i] = shape.angles[bend].rad();
    if (i + 1 == bends) continue;
    chain.straight_mm[i] = shape.straights[backwards ? bend : bend + 1].mm();
    chain.turn_rad[i] = shape.turns[backwards ? bend - 1 : bend].rad();
  }
  chain.first_straight_mm = shape.straights[first].mm();
  chain.last_straight_mm = shape.straights[first + bends].mm();
  if (backwards) std::swap(chain.first_straight_mm, chain.last_straight_mm);
  return chain;
}

double ChainPose::most_sprung_rad(std::size_t bends) const {
  double most = 0;
  for (std::size_t i = 0; i < bends; ++i) {
    most = std::max(most, std::abs(bend_rad[i]));
    if (i + 1 < bends) most = std::max(most, std::abs(turn_rad[i]));
  }
  return most;
}

Centreline centreline_of(const ShapeChain& chain, const ChainPose& pose, const Heading& from) {
  Centreline line;
  Heading now = from;
  Vec3 normal = turned(any_perpendicular(from.along), from.along, pose.clock_rad);
  const auto go_straight = [&](double length_mm) {
    if (!(length_mm > kNoLength_mm)) return;
    const Vec3 to = now.at_mm + length_mm * now.along;
    line.pieces.push_back(Straight{now.at_mm, to});
    now.at_mm = to;
  };
  go_straight(pose.first_mm);
  for (std::size_t i = 0; i < chain.bends; ++i) {
    const double angle = chain.angle_rad[i] + pose.bend_rad[i];
    const Arc arc = arc_from(now, normal.cross(now.along), chain.radius_mm[i], angle);
    line.pieces.push_back(arc);
    now = {point_at(arc, angle * chain.radius_mm[i]), turned(now.along, normal, angle).normalized()};
    if (i + 1 == chain.bends) break;
    go_straight(chain.straight_mm[i]);
    normal = turned(normal, now.along, chain.turn_rad[i] + pose.turn_rad[i]);
    normal = (normal - normal.dot(now.along) * now.along).normalized();
  }
  go_straight(pose.last_mm);
  return line;
}

}  // namespace hosefit
