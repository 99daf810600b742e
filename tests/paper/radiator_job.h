// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/decide/decide.h"
#include "tests/support/box_job.h"

namespace hosefit {

/// The box bay (tests/support/box_job.h) with its radiator named: the core fills x -90..-30, y -250..250,
/// z 300..800, so that A lies at y = -250, B at z = 300, C at x = -30. Both hoses proved.
struct RadiatorCase {
  Job job = box_job::make();
  CandidateResult result;
};

inline RadiatorCase radiator_case() {
  RadiatorCase out;
  out.job.vehicle.radiator = {{"core"}, {"radiator.top", "radiator.bottom"}};
  out.result.candidate.height = Length::mm(300);
  out.result.verdict.fit = Fit::fits;
  for (std::size_t line = 0; line < 2; ++line) {
    LineProof proof;
    proof.line = line;
    proof.proved = true;
    out.result.proof.lines.push_back(proof);
  }
  return out;
}

/// The top neck with a spigot root that goes along, both 60 mm to the right of where they are written.
inline RadiatorCase moved_case() {
  RadiatorCase out = radiator_case();
  Vehicle& v = out.job.vehicle;
  Body chassis = *v.chassis;
  Obstacle root;
  root.name = "root";
  root.shape = CylinderShape{{-30, 100, 700}, {5, 100, 700}, 21};
  chassis.obstacles.push_back(root);
  v.chassis = std::make_shared<const Body>(std::move(chassis));
  v.radiator.obstacles.emplace_back("root");
  NeckChoice choice;
  choice.with = {"root"};
  choice.slides = {{Vec3::UnitY(), Length{}, Length::mm(60), Length::mm(20)}};
  v.necks[0].choice = choice;
  StandingNeck there;
  there.neck = 0;
  for (const NeckPlace& place : places_of(v.necks[0]))
    if (place.slid[0] == Length::mm(60)) there.place = place;
  there.end_mm = {40, 160, 700};
  there.outward = Vec3::UnitX();
  there.as_written = false;
  out.result.necks = {there};
  return out;
}

}  // namespace hosefit
