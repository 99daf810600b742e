// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "tests/support/box_job.h"

/// The bay of boxes with a third large hose at the vehicle's side, straight rearward over 400 mm from (200,
/// 300, 700) with both ends on the chassis, a tee in it, and a small hose from the tee to a neck at (399,
/// 650, 700) that faces it. Hose of 48 mm outside keeps 24 mm straight before a bend or a fitting, and the
/// tee's run reaches 55 mm to either side of its middle; so its middle may be 79 to 321 mm along the line.
namespace hosefit::tee_job {

inline constexpr const char* kTee = "side tee";

inline Tee tee() {
  Tee t;
  t.name = kTee;
  t.run = {Length::mm(38), Length::mm(34), Length::mm(35), true};
  t.body_length = Length::mm(40);
  t.body_outside = Length::mm(44);
  t.branch = {Length::mm(16), Length::mm(13), Length::mm(25), true};
  t.branch_off_axis = Length::mm(60);
  return t;
}

inline Stock small_hose() {
  Stock s = box_job::straight_hose();
  s.id = "straight 16";
  s.bore = Length::mm(16);
  s.wall = Length::mm(4);
  s.outside_diameter = Length::mm(24);
  s.radii = {Length::mm(100)};
  s.straight_between = Length::mm(24);
  return s;
}

inline Neck small_neck(std::string name, const Vec3& at, const Vec3& outward) {
  Neck n = box_job::neck(std::move(name), at, outward);
  n.outside_diameter = Length::mm(16);
  n.bore = Length::mm(13);
  return n;
}

inline void add_to_chassis(Job& job, Obstacle obstacle) {
  Body chassis = *job.vehicle.chassis;
  chassis.obstacles.push_back(std::move(obstacle));
  job.vehicle.chassis = std::make_shared<const Body>(std::move(chassis));
}

/// `on`: the line that carries the tee, "side" or one of the others.
inline Job make(Tee of = tee(), const std::string& on = "side") {
  Job job = box_job::make();
  Vehicle& v = job.vehicle;
  job.stock.push_back(small_hose());
  v.necks.push_back(box_job::neck("side.front", {200, 300, 700}, Vec3::UnitX()));
  v.necks.push_back(box_job::neck("side.rear", {600, 300, 700}, -Vec3::UnitX()));
  v.necks.push_back(small_neck("bottle", {399, 650, 700}, -Vec3::UnitY()));
  v.lines.push_back(box_job::line("side", "side.front", "side.rear", Duty::vent));
  v.lines.push_back(box_job::line("small", of.name, "bottle", Duty::vent));
  v.lines = split_at_tee(v.lines, on, of);
  v.tee = std::move(of);
  return job;
}

}  // namespace hosefit::tee_job
