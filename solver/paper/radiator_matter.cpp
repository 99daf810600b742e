// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/paper/radiator_matter.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "solver/report/words.h"

namespace hosefit {
namespace {

bool holds(const std::vector<std::string>& names, const std::string& name) {
  return std::find(names.begin(), names.end(), name) != names.end();
}

const Obstacle* core_of(const Vehicle& vehicle) {
  for (const Obstacle& o : vehicle.chassis->obstacles)
    if (o.hazard == Hazard::radiator_core && holds(vehicle.radiator.obstacles, o.name)) return &o;
  return nullptr;
}

// The core's box: its own when it is one, else that around it, square to the vehicle.
BoxShape box_of(const Shape& core) {
  if (const BoxShape* box = std::get_if<BoxShape>(&core)) return *box;
  const AxisBox around = bounds(core);
  BoxShape box;
  box.frame.origin_mm = around.center();
  box.half_size_mm = around.sizes() / 2;
  return box;
}

// The axis among those left that lies nearest to `wanted`, turned to its side.
Vec3 take_nearest(std::vector<Vec3>& axes, const Vec3& wanted) {
  const auto best = std::max_element(axes.begin(), axes.end(), [&](const Vec3& a, const Vec3& b) {
    return std::abs(a.dot(wanted)) < std::abs(b.dot(wanted));
  });
  Vec3 axis = best->dot(wanted) < 0 ? Vec3(-*best) : *best;
  axes.erase(best);
  return axis;
}

void set_frame(const BoxShape& box, const Vec3& engine_mm, RadiatorMatter& matter) {
  std::vector<Vec3> axes{box.frame.rotation.col(0), box.frame.rotation.col(1), box.frame.rotation.col(2)};
  Eigen::Index thin = 0;
  box.half_size_mm.minCoeff(&thin);
  Vec3 out = axes[static_cast<std::size_t>(thin)];
  axes.erase(axes.begin() + thin);
  if (out.dot(engine_mm - box.frame.origin_mm) < 0) out = -out;
  const Vec3 up = take_nearest(axes, Vec3::UnitZ());
  matter.frame = Pose::from_axes(box.frame.origin_mm, out, up.cross(out));
  const Vec3 half = (matter.frame.rotation.transpose() * box.frame.rotation).cwiseAbs() * box.half_size_mm;
  matter.core_mm = 2 * half;
  matter.frame.origin_mm = matter.frame.point({-half.x(), -half.y(), half.z()});
  matter.leans = Angle::rad(std::min(angle_between(out, Vec3::UnitX()), angle_between(out, -Vec3::UnitX())));
}

std::string unproved_line(const Job& job, const CandidateResult& result, const std::string& neck) {
  for (std::size_t i = 0; i < job.vehicle.lines.size(); ++i) {
    const Line& line = job.vehicle.lines[i];
    if (line.from != neck && line.to != neck) continue;
    const auto& proofs = result.proof.lines;
    if (std::none_of(proofs.begin(), proofs.end(),
                     [&](const LineProof& proof) { return proof.line == i && proof.proved; }))
      return line.name;
  }
  return {};
}

const StandingNeck* standing(const CandidateResult& result, std::size_t neck) {
  for (const StandingNeck& s : result.necks)
    if (s.neck == neck) return &s;
  return nullptr;
}

RadiatorNeck neck_of(const Job& job, const CandidateResult& result, std::size_t index, const Pose& frame) {
  const Neck& neck = job.vehicle.necks[index];
  RadiatorNeck out;
  out.name = neck.name;
  out.end_mm = out.written_mm = frame.point_inverse(neck.end_mm.value);
  out.outward = out.written_outward = frame.direction_inverse(neck.outward.normalized());
  out.outside_diameter = neck.outside_diameter;
  out.bore = neck.bore;
  out.straight = neck.straight;
  out.bead = neck.bead;
  out.method = neck.end_mm.method;
  out.accuracy = neck.end_mm.accuracy;
  for (const Line& line : job.vehicle.lines)
    if (line.from == neck.name || line.to == neck.name) out.lines.push_back(line.name);
  const StandingNeck* there = standing(result, index);
  if (there == nullptr || there->as_written) return out;
  out.held_back_by = unproved_line(job, result, neck.name);
  if (!out.held_back_by.empty()) return out;
  out.moved = true;
  out.turned = there->place.turned;
  out.end_mm = frame.point_inverse(there->end_mm);
  out.outward = frame.direction_inverse(there->outward.normalized());
  return out;
}

// The neck that takes a part of the chassis along, and is drawn elsewhere than written.
const StandingNeck* taken_along(const Job& job, const CandidateResult& result, const RadiatorMatter& matter,
                                const std::string& part) {
  for (const StandingNeck& s : result.necks) {
    const Neck& neck = job.vehicle.necks[s.neck];
    const bool drawn = std::any_of(matter.necks.begin(), matter.necks.end(),
                                   [&](const RadiatorNeck& n) { return n.moved && n.name == neck.name; });
    if (drawn && neck.choice && holds(neck.choice->with, part)) return &s;
  }
  return nullptr;
}

void add_solid(const Job& job, const CandidateResult& result, const Obstacle& o, RadiatorMatter& matter) {
  const Pose to_sheet = inverse(matter.frame);
  const StandingNeck* by = taken_along(job, result, matter, o.name);
  if (by == nullptr && !holds(job.vehicle.radiator.obstacles, o.name)) return;
  if (by == nullptr) {
    matter.solids.push_back({o.name, transformed(o.shape, to_sheet)});
    return;
  }
  matter.before.push_back({o.name, transformed(o.shape, to_sheet)});
  matter.solids.push_back({o.name, transformed(o.shape, to_sheet * by->place.moved)});
}

}  // namespace

Result<RadiatorMatter> radiator_matter(const Job& job, const CandidateResult& result) {
  const Vehicle& vehicle = job.vehicle;
  const Obstacle* core = core_of(vehicle);
  if (core == nullptr)
    return Problems{{vehicle.place,
                     "radiator.core",
                     "no radiator core is described, so there are no edges to dimension from; describe it",
                     {}}};
  RadiatorMatter matter;
  matter.core_is_box = std::holds_alternative<BoxShape>(core->shape);
  set_frame(box_of(core->shape), vehicle.engine_at_mm.value, matter);
  for (std::size_t i = 0; i < vehicle.necks.size(); ++i) {
    if (holds(vehicle.radiator.necks, vehicle.necks[i].name)) {
      matter.necks.push_back(neck_of(job, result, i, matter.frame));
      continue;
    }
    const StandingNeck* there = standing(result, i);
    if (there != nullptr && !there->as_written) matter.elsewhere.push_back(vehicle.necks[i].name);
  }
  matter.solids.push_back({core->name, transformed(core->shape, inverse(matter.frame))});
  for (const Obstacle& o : vehicle.chassis->obstacles)
    if (&o != core) add_solid(job, result, o, matter);
  return matter;
}

NeckLean lean_of(const Vec3& outward) {
  constexpr double kSquare_deg = 0.05;  // shown with one decimal
  NeckLean lean{Angle::rad(angle_between(outward, Vec3::UnitZ())), {}};
  if (lean.by.deg() < kSquare_deg) return {};
  if (outward.head<2>().norm() < 1e-9) return lean;  // straight forward: towards nowhere
  double towards = std::atan2(outward.x(), outward.y());
  if (towards < -1e-9) towards += 2 * std::numbers::pi;
  lean.towards = Angle::rad(std::max(0.0, towards));
  return lean;
}

std::string moved_words(const RadiatorNeck& neck, LengthUnit unit) {
  constexpr double kNothing_mm = 0.05;
  if (!neck.moved) return {};
  const Vec3 by = neck.end_mm - neck.written_mm;
  constexpr std::array<std::array<const char*, 2>, 3> ways{
      {{"to the left", "to the right"}, {"down", "up"}, {"into the face", "out of the face"}}};
  std::string out;
  const auto add = [&](const std::string& words) {
    out += fmt::format("{}{}", out.empty() ? "" : ", ", words);
  };
  for (int i = 0; i < 3; ++i)
    if (std::abs(by[i]) >= kNothing_mm)
      add(fmt::format("{} {}",
                      unit == LengthUnit::mm ? length_words(Length::mm(std::abs(by[i])), unit)
                                             : both_short(Length::mm(std::abs(by[i]))),
                      ways[static_cast<std::size_t>(i)][by[i] < 0 ? 0 : 1]));
  if (neck.turned.rad() != 0) add(fmt::format("turned by {:g} deg", neck.turned.deg()));
  return out;
}

}  // namespace hosefit
