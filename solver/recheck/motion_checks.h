// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "solver/recheck/line_checks.h"
#include "solver/recheck/sway.h"

/// Everything again wherever the engine goes on its mounts, with the gaps after motion, in boxes of places
/// that are halved until a bound holds or a place is found that comes short.
namespace hosefit::recheck {

/// What may be short in motion: as far as shapes of hose are known at all, and by how much the shapes of the
/// first proof, chains of links, were measured to differ from those of the recheck (tests/recheck prints it).
inline constexpr double kMotionHeld_mm = 0.25, kShapesDiffer_mm = 0.12;  // 0.107 found in 4636 shapes
inline constexpr double kMotionLooked_mm = 20.0;                         ///< wider spare gaps are not told
inline constexpr double kBendHeld = 0.01;                                ///< share of what is allowed

/// Counts what is worked out. Steps of rods count by what they take.
struct MotionEffort {
  std::int64_t left = 250'000'000;  ///< about ten seconds; the bundled vehicles take a tenth
  int most_boxes = 600;             ///< of places, for one part of a line, or two, or two rigid parts
  bool spent() const { return left <= 0; }
};

struct Moving {
  const Bay& bay;
  const Gaps& gaps;
  const EngineWays& ways;
};

struct LineInMotionFound {
  std::optional<TightestGap> tightest;
  EngineAt tightest_at = EngineAt::Zero();
  std::vector<Fault> faults;
};
/// One line's parts and clamps against every obstacle on either carrier, their bends and lengths.
LineInMotionFound line_motion_faults(const Moving& moving, std::span<const MovingLine> parts,
                                     MotionEffort& effort);

/// All that a part may come to, its thickness too; everything when no shape was found somewhere.
Box3 swept_mm(const MovingLine& line, const EngineWays& ways);
struct SweptLine {
  const MovingLine* line = nullptr;
  Box3 box;
};
/// Parts and clamps of two lines against each other.
std::vector<Fault> lines_motion_faults(const Moving& moving, std::span<const SweptLine> a,
                                       std::span<const SweptLine> b, MotionEffort& effort);

/// Rigid parts on the engine against those on the chassis, for the pairs that count at rest.
std::vector<Fault> parts_motion_faults(const Moving& moving, bool fan_on_engine, MotionEffort& effort);

}  // namespace hosefit::recheck
