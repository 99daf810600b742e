// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/verify/motion_proof.h"
#include "solver/verify/tube.h"
#include "tests/verify/plain_bay.h"

/// A bay whose engine moves, for tests of the proof in motion.
namespace hosefit::test {

inline EngineMotion motion_of(double roll_deg, double lift, double forward, double rearward,
                              double sideways) {
  EngineMotion motion;
  motion.roll = Angle::deg(roll_deg);
  motion.lift = Length::mm(lift);
  motion.forward = Length::mm(forward);
  motion.rearward = Length::mm(rearward);
  motion.sideways = Length::mm(sideways);
  motion.axis_below_crank = Length::mm(100);
  return motion;
}

inline EnginePlaces places_about(const EngineMotion& motion, const Vec3& crank) {
  return engine_places(motion, Pose::translation(crank));
}

/// A job whose engine body (1) carries the necks named, so that lines from the chassis to it flex.
struct MovingJob : PlainJob {
  std::vector<std::vector<ClipPlace>> clips;
  MovingJob() { bay.bodies.push_back(body_of("engine", Carrier::engine, {})); }
  void put_on_engine(std::size_t neck) {
    bay.necks[neck].body = 1;
    bay.necks[neck].carrier = Carrier::engine;
  }
  void carry_line(std::size_t line) {
    put_on_engine(bay.lines[line].from);
    put_on_engine(bay.lines[line].to);
    bay.lines[line].carrier = LineCarrier::engine;
  }
  void flex_line(std::size_t line) {
    put_on_engine(bay.lines[line].to);
    bay.lines[line].carrier = LineCarrier::both;
  }
  /// Without clamps.
  std::vector<MotionLine> moved(const EnginePlaces& places, MotionOptions options = {}) const {
    ProofReport rest;
    rest.lines.resize(routes.size());
    return moved(rest, places, options);
  }
  std::vector<MotionLine> moved(const ProofReport& rest, const EnginePlaces& places,
                                const MotionOptions& options = {}) const {
    const ProofBodies bodies(bay);
    std::vector<std::vector<std::vector<ClipPlace>>> layouts;
    for (std::size_t i = 0; i < clips.size(); ++i)
      layouts.push_back(clip_layouts(clips[i], from_neck(bay, routes[i]).carrier));
    return prove_in_motion(bay, bodies, routes, rest, layouts, gaps, stock, places, options);
  }
};

inline const Finding* find(const MotionLine& line, RuleId rule) {
  for (const Finding& finding : line.findings)
    if (finding.rule == rule) return &finding;
  return nullptr;
}

}  // namespace hosefit::test
