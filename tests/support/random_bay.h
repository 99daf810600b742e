// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <memory>
#include <string>
#include <vector>

#include "solver/model/bay.h"
#include "solver/model/gap_table.h"
#include "tests/support/random_shapes.h"

/// Random bays and a complete gap table, for seeded tests of the field, the router and the proof.
namespace hosefit::test {

inline Obstacle obstacle_of(std::string name, Hazard hazard, Shape shape) {
  Obstacle out;
  out.name = std::move(name);
  out.hazard = hazard;
  out.shape = std::move(shape);
  return out;
}

inline PlacedBody body_of(std::string name, Carrier carrier, std::vector<Obstacle> obstacles,
                          Pose pose = {}) {
  return {std::make_shared<const Body>(Body{std::move(name), carrier, std::move(obstacles)}), pose};
}

/// Every row there must be. Gaps differ by hazard, runner and carrier so that a row looked up wrongly shows;
/// made up for tests.
inline GapTable test_gaps(double extra_mm = 0) {
  std::vector<GapRow> rows;
  for (const Hazard hazard : kHazards)
    for (const Runner runner : {Runner::hose, Runner::clamp, Runner::rigid_part})
      for (const bool same : {false, true}) {
        GapRow row;
        row.id = std::string(word(runner)) + "/" + std::string(word(hazard)) + (same ? "/same" : "/other");
        row.runner = runner;
        row.hazard = hazard;
        row.same_carrier = same;
        const double mm =
            4 + 2 * static_cast<double>(hazard) + (runner == Runner::clamp ? 1.5 : 0) + (same ? 0 : 3);
        row.at_rest = Length::mm(mm + extra_mm);
        row.after_motion = 0.5 * row.at_rest;
        rows.push_back(std::move(row));
      }
  return GapTable(std::move(rows));
}

/// Bodies in random poses with `per_body` obstacles each of all kinds, in a cube of 2 `half_size`; the last
/// obstacle of the first body is an open sheet, some obstacles have their own gap. One body is empty.
inline Bay random_bay(Dice& dice, int bodies = 3, int per_body = 5, double half_size = 300) {
  Bay bay;
  for (int b = 0; b < bodies; ++b) {
    std::vector<Obstacle> obstacles;
    for (int i = 0; i < per_body; ++i) {
      const auto hazard = static_cast<Hazard>(dice.below(kHazards.size() - 1));
      obstacles.push_back(
          obstacle_of("obstacle " + std::to_string(i), hazard, random_shape(dice, dice.bits(), half_size)));
      if (dice.below(4) == 0) obstacles.back().own_gap = OwnGap{Length::mm(dice.between(0, 30)), {}};
    }
    if (b == 0) {
      const Vec3 centre = random_point(dice, half_size);
      obstacles.push_back(obstacle_of("sheet", Hazard::smooth_metal,
                                      MeshShape{"sheet.stl", std::make_shared<const TriangleMesh>(wavy_sheet(
                                                                 dice, centre, half_size / 2, 12))}));
      obstacles.back().closed = false;
    }
    const Carrier carrier = dice.below(2) == 0 ? Carrier::chassis : Carrier::engine;
    bay.bodies.push_back(
        body_of("body " + std::to_string(b), carrier, std::move(obstacles), random_pose(dice, 50)));
  }
  bay.bodies.push_back(body_of("empty", Carrier::chassis, {}));
  return bay;
}

}  // namespace hosefit::test
