// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/recheck/sway.h"

#include <algorithm>

namespace hosefit::recheck {
namespace {

constexpr double kReserve = 2.0;  // cross terms of two ways are not measured

struct Seen {
  LineAt shape;
  std::vector<V3> from_engine;
};

Seen seen(const EngineWays& ways, LineAt shape) {
  Seen out{std::move(shape), {}};
  const Frame moved = ways.moved(out.shape.at);
  for (const V3& node : out.shape.nodes_mm) out.from_engine.push_back(moved.back(node));
  return out;
}

double most_of(const std::vector<double>& values) {
  return values.empty() ? 0 : *std::max_element(values.begin(), values.end());
}

void note_bend(LineOver& over, const LineAt& shape) {
  const double most = most_of(shape.bent);
  if (most <= over.most_bent_found) return;
  over.most_bent_found = most;
  over.most_bent_at = shape.at;
}

double add_way(Sway& sway, std::size_t way, const std::vector<V3>& up, const std::vector<V3>& down) {
  double strongest = 0;
  for (std::size_t i = 0; i < sway.at.size(); ++i) {
    sway.by[way].push_back((up[i] - down[i]) / 2);
    const double off = kReserve * ((up[i] + down[i]) / 2 - sway.at[i]).norm();
    sway.off[i] += off;
    strongest = std::max(strongest, off);
  }
  return strongest;
}

void raise(Sway& sway, const EngineAt& signs, const std::vector<V3>& found) {
  for (std::size_t i = 0; i < sway.at.size(); ++i) {
    V3 straight = sway.at[i];
    for (std::size_t way = 0; way < 4; ++way)
      straight += signs[static_cast<Eigen::Index>(way)] * sway.by[way][i];
    sway.off[i] = std::max(sway.off[i], (found[i] - straight).norm());
  }
}

}  // namespace

double Sway::most_mm(std::size_t node) const {
  double most = off[node];
  for (const auto& way : by) most += way[node].norm();
  return most;
}

Box3 box_over(const Sway& sway, const MovingLink& link) {
  Box3 box;
  for (const std::size_t node : {link.a, link.b}) {
    V3 reach = V3::Constant(sway.off[node]);
    for (const auto& way : sway.by) reach += way[node].cwiseAbs();
    box.extend(V3(sway.at[node] - reach));
    box.extend(V3(sway.at[node] + reach));
  }
  return box;
}

Overs line_over(const MovingLine& line, const EngineWays& ways, const PlaceBox& box, const LineAt& near,
                bool with_corners) {
  Overs out;
  const auto centre = line.at(box.centre, near);
  if (!centre) return {std::nullopt, box.centre};
  const Seen middle = seen(ways, *centre);
  LineOver over;
  over.box = box;
  over.centre = middle.shape;
  over.on_chassis.at = middle.shape.nodes_mm;
  over.on_engine.at = middle.from_engine;
  for (Sway* sway : {&over.on_chassis, &over.on_engine}) sway->off.assign(sway->at.size(), 0.0);
  note_bend(over, middle.shape);
  std::vector<double> bent = middle.shape.bent;
  for (std::size_t way = 0; way < 4; ++way) {
    std::vector<Seen> ends;
    for (const double side : {1.0, -1.0}) {
      EngineAt at = box.centre;
      at[static_cast<Eigen::Index>(way)] += side * box.half[static_cast<Eigen::Index>(way)];
      auto shape = line.at(at, middle.shape);
      if (!shape) return {std::nullopt, at};
      note_bend(over, *shape);
      ends.push_back(seen(ways, *std::move(shape)));
    }
    over.strongest_off[way] =
        std::max(add_way(over.on_chassis, way, ends[0].shape.nodes_mm, ends[1].shape.nodes_mm),
                 add_way(over.on_engine, way, ends[0].from_engine, ends[1].from_engine));
    for (std::size_t i = 0; i < bent.size(); ++i) {
      const double up = ends[0].shape.bent[i], down = ends[1].shape.bent[i];
      bent[i] += std::abs(up - down) / 2 + kReserve * std::abs((up + down) / 2 - middle.shape.bent[i]);
    }
  }
  over.most_bent = most_of(bent);
  if (with_corners)
    for (const EngineAt& at : corners(box)) {
      auto shape = line.at(at, middle.shape);
      if (!shape) return {std::nullopt, at};
      note_bend(over, *shape);
      EngineAt signs;
      for (Eigen::Index k = 0; k < 4; ++k) signs[k] = at[k] > box.centre[k] ? 1 : -1;
      const Seen corner = seen(ways, *std::move(shape));
      raise(over.on_chassis, signs, corner.shape.nodes_mm);
      raise(over.on_engine, signs, corner.from_engine);
      over.most_bent = std::max(over.most_bent, most_of(corner.shape.bent));
    }
  out.over = std::move(over);
  return out;
}

}  // namespace hosefit::recheck
