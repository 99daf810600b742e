// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/shape_runs.h"

#include <algorithm>
#include <cmath>

namespace hosefit {
namespace {

constexpr double kMostSprung_rad = Angle::deg(kMostSprung_deg).rad();
// Rounding of the bounds; a hundred times more would let through no run worth telling.
constexpr double kRounding_mm = 1e-6, kRounding = 1e-9;

// A bend turns about the line through its arc's centre, a turn about the straight it lies in.
struct Joint {
  Vec3 on_mm, axis;
};

constexpr std::size_t kMostJoints = 2 * kMostShapeBends - 1;

struct LaidChain {
  std::array<Joint, kMostJoints> joints;
  std::size_t size = 0;
  Vec3 first = Vec3::UnitX(), last = Vec3::UnitX();                    // directions of travel
  Vec3 first_corner_mm = Vec3::Zero(), last_corner_mm = Vec3::Zero();  // intersection points
};

double tangent_mm(double radius_mm, double angle_rad) {
  return radius_mm * std::tan(angle_rad / 2);
}

// From the origin along X, as moulded.
LaidChain laid(const ShapeChain& chain) {
  LaidChain out;
  Vec3 at = Vec3::Zero(), along = Vec3::UnitX(), normal = Vec3::UnitZ();
  out.first_corner_mm = tangent_mm(chain.radius_mm[0], chain.angle_rad[0]) * along;
  for (std::size_t i = 0; i < chain.bends; ++i) {
    const double radius = chain.radius_mm[i], angle = chain.angle_rad[i];
    const Vec3 centre = at + radius * normal.cross(along);
    out.joints[out.size++] = {centre, normal};
    along = Eigen::AngleAxisd(angle, normal) * along;
    at = centre - radius * normal.cross(along);
    out.last_corner_mm = at - tangent_mm(radius, angle) * along;
    if (i + 1 == chain.bends) break;
    out.joints[out.size++] = {at, along};
    at += chain.straight_mm[i] * along;
    normal = Eigen::AngleAxisd(chain.turn_rad[i], along) * normal;
  }
  out.last = along;
  return out;
}

double off_axis_mm(const Joint& joint, const Vec3& p_mm) {
  return joint.axis.cross(p_mm - joint.on_mm).norm();
}

// How far a corner gets from each joint's axis at most while the joints between them spring. From the last:
// the corner of the last bend, else that of the first.
using Reaches = std::array<double, kMostJoints>;
Reaches reaches_mm(const LaidChain& chain, const Vec3& corner_mm, bool from_last) {
  const std::size_t m = chain.size;
  Reaches reach{};
  double moved = 0;  // of the corner, by the joints nearer to it
  for (std::size_t k = 0; k < m; ++k) {
    const std::size_t j = from_last ? m - 1 - k : k;
    reach[j] = off_axis_mm(chain.joints[j], corner_mm) + moved;
    moved += kMostSprung_rad * reach[j];
  }
  return reach;
}

// The remainder of a function whose second derivative for joints i, j is at most bound(i, j).
template <class Bound>
double remainder(std::size_t joints, const Bound& bound) {
  double sum = 0;
  for (std::size_t i = 0; i < joints; ++i)
    for (std::size_t j = 0; j < joints; ++j) sum += bound(i, j);
  return 0.5 * kMostSprung_rad * kMostSprung_rad * sum;
}

ShapeRun run_of(const ShapeChain& chain) {
  const LaidChain at = laid(chain);
  const std::size_t m = at.size;
  const Vec3 v = at.last_corner_mm - at.first_corner_mm;
  const Reaches far = reaches_mm(at, at.last_corner_mm, true);
  const Reaches near = reaches_mm(at, at.first_corner_mm, false);
  double apart = v.norm();
  double cosine = 0, triple = 0, along_first = 0, along_last = 0;  // sums of first derivatives
  for (std::size_t j = 0; j < m; ++j) {
    const Joint& joint = at.joints[j];
    const Vec3 moves = joint.axis.cross(at.last_corner_mm - joint.on_mm), turns = joint.axis.cross(at.last);
    cosine += std::abs(at.first.dot(turns));
    triple += std::abs(moves.dot(at.first.cross(at.last)) + v.dot(at.first.cross(turns)));
    along_first += std::abs(moves.dot(at.first));
    along_last += std::abs(moves.dot(at.last) + v.dot(turns));
    apart += kMostSprung_rad * far[j];
  }
  ShapeRun run;
  run.bends = static_cast<std::uint16_t>(chain.bends);
  run.cosine = at.first.dot(at.last);
  run.triple_mm = v.dot(at.first.cross(at.last));
  run.along_first_mm = v.dot(at.first);
  run.along_last_mm = v.dot(at.last);
  const double s = kMostSprung_rad;
  run.cosine_slack = s * cosine + remainder(m, [](auto, auto) { return 1.0; }) + kRounding;
  run.triple_slack_mm = s * triple + kRounding_mm + remainder(m, [&](std::size_t i, std::size_t j) {
                          return far[std::max(i, j)] + far[i] + far[j] + apart;
                        });
  run.along_first_slack_mm = s * along_first + kRounding_mm +
                             remainder(m, [&](std::size_t i, std::size_t j) { return far[std::max(i, j)]; });
  // Seen from the last link it is the first corner that moves.
  run.along_last_slack_mm = s * along_last + kRounding_mm +
                            remainder(m, [&](std::size_t i, std::size_t j) { return near[std::min(i, j)]; });
  run.first_tangent_mm = tangent_mm(chain.radius_mm[0], chain.angle_rad[0]);
  run.last_tangent_mm = tangent_mm(chain.radius_mm[chain.bends - 1], chain.angle_rad[chain.bends - 1]);
  run.first_straight_mm = chain.first_straight_mm;
  run.last_straight_mm = chain.last_straight_mm;
  return run;
}

// Whether a + c b comes within `slack` of `wanted` for some a and b of two ranges.
bool reaches(double wanted, double c, double a_least, double a_most, double b_least, double b_most,
             double slack) {
  const double low = a_least + std::min(c * b_least, c * b_most);
  const double high = a_most + std::max(c * b_least, c * b_most);
  return wanted >= low - slack && wanted <= high + slack;
}

}  // namespace

EndsInvariants invariants_of(const ShapeEnds& ends) {
  const Vec3 v = ends.goal.at_mm - ends.start.at_mm;
  const Vec3 &d = ends.start.along, &e = ends.goal.along;
  return {d.dot(e), v.dot(d.cross(e)), v.dot(d), v.dot(e)};
}

ShapeTable::ShapeTable(std::span<const MouldedShape> shapes) {
  for (std::size_t s = 0; s < shapes.size(); ++s) {
    const std::size_t bends = shapes[s].radii.size();
    if (bends > kMostShapeBends) continue;
    for (std::size_t first = 0; first < bends; ++first)
      for (std::size_t n = 1; first + n <= bends; ++n) {
        ShapeRun run = run_of(chain_of(shapes[s], first, n, false));
        run.shape = static_cast<std::uint32_t>(s);
        run.first = static_cast<std::uint16_t>(first);
        runs_.push_back(run);
      }
  }
}

bool may_join(const ShapeRun& run, const EndsInvariants& wanted, const ShapeEnds& ends, bool backwards) {
  if (std::abs(wanted.cosine - run.cosine) > run.cosine_slack) return false;
  if (std::abs(wanted.triple_mm - run.triple_mm) > run.triple_slack_mm) return false;
  // From the neck's end to the corner of the first bend, and from that of the last to the other neck.
  const double a_most = (backwards ? run.last_straight_mm : run.first_straight_mm) - ends.engagement_from_mm;
  const double b_most = (backwards ? run.first_straight_mm : run.last_straight_mm) - ends.engagement_to_mm;
  if (a_most < ends.lead_from_mm || b_most < ends.lead_to_mm) return false;
  const double a_tangent = backwards ? run.last_tangent_mm : run.first_tangent_mm;
  const double b_tangent = backwards ? run.first_tangent_mm : run.last_tangent_mm;
  const double a0 = ends.lead_from_mm + a_tangent, a1 = a_most + a_tangent;
  const double b0 = ends.lead_to_mm + b_tangent, b1 = b_most + b_tangent;
  const double inner_start = backwards ? run.along_last_mm : run.along_first_mm;
  const double inner_goal = backwards ? run.along_first_mm : run.along_last_mm;
  const double slack_start = backwards ? run.along_last_slack_mm : run.along_first_slack_mm;
  const double slack_goal = backwards ? run.along_first_slack_mm : run.along_last_slack_mm;
  return reaches(wanted.along_start_mm - inner_start, wanted.cosine, a0, a1, b0, b1, slack_start) &&
         reaches(wanted.along_goal_mm - inner_goal, wanted.cosine, b0, b1, a0, a1, slack_goal);
}

}  // namespace hosefit
