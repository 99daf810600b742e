// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/model/tee.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "solver/model/route.h"

namespace hosefit {
namespace {

constexpr double kSteep = 0.9;  // cosine to the vertical from which "up" says little

Neck neck_of(const Tee& tee, TeeNeck which, const TeeEnd& end, const Vec3& at_mm, const Vec3& outward) {
  Neck neck;
  neck.name = tee_neck_name(tee.name, which);
  neck.end_mm.value = at_mm;
  neck.end_mm.method = MeasuredBy::drawing;  // it is where the plan puts it
  neck.end_mm.accuracy = Length{};
  neck.outward = outward;
  neck.outside_diameter = end.outside_diameter;
  neck.bore = end.bore;
  neck.straight = end.straight;
  neck.bead = end.bead;
  for (const Obstacle& own : tee_obstacles(tee)) neck.on.push_back(own.name);
  return neck;
}

Obstacle rod(std::string name, const Vec3& a_mm, const Vec3& b_mm, Length diameter) {
  Obstacle o;
  o.name = std::move(name);
  o.shape = CylinderShape{a_mm, b_mm, diameter.mm() / 2};
  o.method = MeasuredBy::drawing;
  o.accuracy = Length{};
  return o;
}

// How much of a tube end shows between its hose and what it grows out of.
double bare_mm(const TeeEnd& end) {
  return std::max(0.0, end.straight.mm() - least_engagement_mm(end.outside_diameter));
}

}  // namespace

Pose tee_pose(const TeeStand& stand) {
  const Vec3 zero = std::abs(stand.along.z()) > kSteep ? Vec3::UnitX() : Vec3::UnitZ();
  const Pose at_zero = Pose::from_axes(stand.middle_mm, stand.along, zero);
  Pose pose = at_zero;
  pose.rotation = at_zero.rotation * Eigen::AngleAxisd(stand.clock.rad(), Vec3::UnitZ()).toRotationMatrix();
  return pose;
}

double half_run_mm(const Tee& tee) {
  return tee.body_length.mm() / 2 + tee.run.straight.mm();
}

std::vector<Angle> clocks_of(const Tee& tee) {
  if (!tee.clocks.empty()) return tee.clocks;
  std::vector<Angle> clocks;
  for (int step = 0; step * kTeeClockStep_deg < 360; ++step)
    clocks.push_back(Angle::deg(step * kTeeClockStep_deg));
  return clocks;
}

std::vector<Obstacle> tee_obstacles(const Tee& tee) {
  const double half_mm = tee.body_length.mm() / 2 + bare_mm(tee.run);
  const double branch_mm = tee.branch_off_axis.mm() - tee.branch.straight.mm() + bare_mm(tee.branch);
  return {rod(tee.name + " body", {0, 0, -half_mm}, {0, 0, half_mm}, tee.body_outside),
          rod(tee.name + " branch", Vec3::Zero(), {branch_mm, 0, 0}, tee.branch.outside_diameter)};
}

std::string tee_neck_name(const std::string& tee, TeeNeck which) {
  switch (which) {
    case TeeNeck::before:
      return tee + ".run start";
    case TeeNeck::after:
      return tee + ".run end";
    case TeeNeck::branch:
      return tee + ".branch";
  }
  return tee;
}

std::array<Neck, 3> tee_necks(const Tee& tee) {
  const double half_mm = half_run_mm(tee);
  return {neck_of(tee, TeeNeck::before, tee.run, {0, 0, -half_mm}, -Vec3::UnitZ()),
          neck_of(tee, TeeNeck::after, tee.run, {0, 0, half_mm}, Vec3::UnitZ()),
          neck_of(tee, TeeNeck::branch, tee.branch, {tee.branch_off_axis.mm(), 0, 0}, Vec3::UnitX())};
}

std::string part_before(const std::string& line, const std::string& tee) {
  return line + " to " + tee;
}
std::string part_after(const std::string& line, const std::string& tee) {
  return line + " from " + tee;
}

std::vector<Line> split_at_tee(const std::vector<Line>& lines, const std::string& on, Tee& tee) {
  std::vector<Line> out;
  for (const Line& line : lines) {
    if (line.name != on) {
      const bool starts = line.from == tee.name, ends = line.to == tee.name;
      if (starts || ends) tee.branch_line = out.size();
      out.push_back(line);
      if (starts) out.back().from = tee_neck_name(tee.name, TeeNeck::branch);
      if (ends) out.back().to = tee_neck_name(tee.name, TeeNeck::branch);
      continue;
    }
    tee.whole = line;
    tee.before = out.size();
    out.push_back(line);
    out.back().name = part_before(line.name, tee.name);
    out.back().to = tee_neck_name(tee.name, TeeNeck::before);
    tee.after = out.size();
    out.push_back(line);
    out.back().name = part_after(line.name, tee.name);
    out.back().from = tee_neck_name(tee.name, TeeNeck::after);
  }
  assert(out.size() == lines.size() + 1);
  return out;
}

}  // namespace hosefit
