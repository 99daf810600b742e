// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/verify/motion_gaps.h"
#include "solver/verify/motion_proof.h"

namespace hosefit {

/// What a proof in motion asks about one bay.
struct MotionQuestion {
  const Bay& bay;
  const ProofBodies& bodies;
  const GapTable& gaps;
  const EnginePlaces& places;
  const MotionOptions& options;
};

/// Proves one line, or one clamp, from one of its shapes at rest, and adds to `told`.
void prove_line(const MotionQuestion& asked, const LineInMotion& line, const LineShape& start,
                MotionLine& told);

/// Two lines that move together.
void prove_pair(const MotionQuestion& asked, const LineInMotion& a, const LineInMotion& b, MotionLine& told_a,
                MotionLine& told_b);

/// Two stretches of one line, or one and itself: where they are more than `apart_s_mm` from each other along
/// the line they must not touch.
void prove_against_itself(const MotionQuestion& asked, const LineInMotion& a, const LineInMotion& b,
                          double apart_s_mm, MotionLine& told);

/// A finding about a place of the engine, with the place in its parameters.
Finding in_motion(Finding finding, const EnginePlace& place);
Finding short_in_motion(const MotionGap& gap, const std::string& line);

}  // namespace hosefit
