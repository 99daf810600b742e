// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/motion_box.h"

#include <algorithm>

namespace hosefit {
namespace {

// What the cross terms of two ways may add is not measured; twice the straight second differences stands for
// all.
constexpr double kReserve = 2.0;

struct Worked {
  LineShape shape;
  std::vector<Vec3> from_engine;
};

std::optional<Worked> work_out(const LineInMotion& line, const EnginePlaces& places, const EnginePlace& place,
                               const LineShape& near, EnginePlace& lost) {
  auto shape = line.at(place, near);
  if (!shape) {
    lost = place;
    return std::nullopt;
  }
  Worked out{std::move(*shape), {}};
  const Pose moved = places.moved(place);
  for (const Vec3& node : out.shape.nodes_mm) out.from_engine.push_back(moved.point_inverse(node));
  return out;
}

void add_way(NodeMotion& motion, std::size_t way, const std::vector<Vec3>& up, const std::vector<Vec3>& down,
             double& strongest) {
  const std::size_t n = motion.at.size();
  motion.by[way].resize(n);
  for (std::size_t i = 0; i < n; ++i) {
    motion.by[way][i] = 0.5 * (up[i] - down[i]);
    const double off = kReserve * 0.5 * (up[i] + down[i] - 2 * motion.at[i]).norm();
    motion.off[i] += off;
    strongest = std::max(strongest, off);
  }
}

double most_of(const std::vector<double>& values) {
  return values.empty() ? 0 : *std::max_element(values.begin(), values.end());
}

void keep_more_bent(LineOverBox& over, const LineShape& shape) {
  if (over.most_bent_shape.nodes_mm.empty() || most_of(shape.bent) > most_of(over.most_bent_shape.bent))
    over.most_bent_shape = shape;
}

}  // namespace

std::array<EnginePlace, 16> corners(const PlaceBox& box) {
  std::array<EnginePlace, 16> out;
  for (unsigned corner = 0; corner < 16; ++corner) {
    out[corner] = box.centre;
    for (Eigen::Index way = 0; way < 4; ++way)
      out[corner][way] += (corner >> way & 1U) != 0 ? box.half[way] : -box.half[way];
  }
  return out;
}

std::array<PlaceBox, 2> halves(const PlaceBox& box, std::size_t way) {
  const auto k = static_cast<Eigen::Index>(way);
  std::array<PlaceBox, 2> out{box, box};
  for (const std::size_t side : {0U, 1U}) {
    out[side].half[k] *= 0.5;
    out[side].centre[k] += (side == 0 ? -0.5 : 0.5) * box.half[k];
  }
  return out;
}

AxisBox swept(const NodeMotion& motion) {
  AxisBox box;
  for (std::size_t i = 0; i < motion.at.size(); ++i) {
    double sway = motion.off[i];
    for (const auto& way : motion.by) sway += way[i].norm();
    box.extend(motion.at[i] - Vec3::Constant(sway));
    box.extend(motion.at[i] + Vec3::Constant(sway));
  }
  return box;
}

std::optional<LineOverBox> line_over_box(const LineInMotion& line, const EnginePlaces& places,
                                         const PlaceBox& box, const LineShape& near, EnginePlace& lost) {
  const auto centre = work_out(line, places, box.centre, near, lost);
  if (!centre) return std::nullopt;
  LineOverBox out;
  out.centre = centre->shape;
  out.shapes = 9;
  out.on_chassis.at = centre->shape.nodes_mm;
  out.on_engine.at = centre->from_engine;
  out.on_chassis.off.assign(out.on_chassis.at.size(), 0.0);
  out.on_engine.off = out.on_chassis.off;
  keep_more_bent(out, centre->shape);
  std::vector<double> bent = centre->shape.bent;
  for (std::size_t way = 0; way < 4; ++way) {
    EnginePlace step = EnginePlace::Zero();
    step[static_cast<Eigen::Index>(way)] = box.half[static_cast<Eigen::Index>(way)];
    const auto up = work_out(line, places, box.centre + step, centre->shape, lost);
    if (!up) return std::nullopt;
    const auto down = work_out(line, places, box.centre - step, centre->shape, lost);
    if (!down) return std::nullopt;
    add_way(out.on_chassis, way, up->shape.nodes_mm, down->shape.nodes_mm, out.strongest_off[way]);
    add_way(out.on_engine, way, up->from_engine, down->from_engine, out.strongest_off[way]);
    keep_more_bent(out, up->shape);
    keep_more_bent(out, down->shape);
    for (std::size_t i = 0; i < bent.size(); ++i) {
      const double at = centre->shape.bent[i], a = up->shape.bent[i], b = down->shape.bent[i];
      bent[i] += 0.5 * std::abs(a - b) + kReserve * 0.5 * std::abs(a + b - 2 * at);
    }
  }
  out.most_bent = most_of(bent);
  return out;
}

namespace {

void raise_to(NodeMotion& motion, const std::array<double, 4>& sides, const std::vector<Vec3>& seen) {
  for (std::size_t i = 0; i < motion.at.size(); ++i) {
    Vec3 told = motion.at[i];
    for (std::size_t way = 0; way < 4; ++way) told += sides[way] * motion.by[way][i];
    motion.off[i] = std::max(motion.off[i], (seen[i] - told).norm());
  }
}

}  // namespace

bool include_corners(const LineInMotion& line, const EnginePlaces& places, const PlaceBox& box,
                     LineOverBox& over, EnginePlace& lost) {
  for (unsigned corner = 0; corner < 16; ++corner) {
    std::array<double, 4> sides{};
    EnginePlace place = box.centre;
    for (std::size_t way = 0; way < 4; ++way) {
      sides[way] = (corner >> way & 1U) != 0 ? 1.0 : -1.0;
      place[static_cast<Eigen::Index>(way)] += sides[way] * box.half[static_cast<Eigen::Index>(way)];
    }
    const auto worked = work_out(line, places, place, over.centre, lost);
    if (!worked) return false;
    ++over.shapes;
    raise_to(over.on_chassis, sides, worked->shape.nodes_mm);
    raise_to(over.on_engine, sides, worked->from_engine);
    keep_more_bent(over, worked->shape);
    over.most_bent = std::max(over.most_bent, most_of(worked->shape.bent));
  }
  return true;
}

}  // namespace hosefit
