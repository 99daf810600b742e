// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "solver/model/motion.h"
#include "solver/verify/clip_places.h"
#include "solver/verify/proof.h"

namespace hosefit {

struct MotionOptions {
  /// A gap counts as held when every place worked out has at least the required gap less this, and everything
  /// in between is bounded to that. The elastic shape itself is known no better.
  double tolerance_mm = 0.25;
  /// Boxes of engine places looked at per line, clamp or pair of lines before the answer is undecided.
  int most_boxes = 300;
  /// Wanted besides the required gap from the obstacles of each body, by index into Bay::bodies; empty: none.
  std::vector<double> more_mm = {};
  bool ask_scans = true;  ///< what open scans have not seen; dear, so false while other things may fail
  double more_of(std::size_t body) const { return body < more_mm.size() ? more_mm[body] : 0.0; }
};

/// Where something is tightest while the engine moves: the least of the places worked out.
struct MotionGap {
  std::string other;
  std::optional<ObstacleRef> ref;  ///< empty for a line
  Runner runner = Runner::hose;
  double required_mm = 0, found_mm = 0;  ///< with the engine at `place`, surface to surface
  EnginePlace place = EnginePlace::Zero();
  double s_mm = 0;
  Vec3 where_mm = Vec3::Zero();  ///< on the line
  Provenance provenance;
};

struct MotionLine {
  std::size_t line = 0;
  bool proved = false;  ///< nothing among `findings` is a stop or undecided
  std::vector<Finding> findings;
  std::vector<MotionGap> gaps;             ///< what comes within 20 mm of its required gap, tightest first
  std::optional<double> tightest_bend_mm;  ///< of the places worked out; empty for a line that goes as it is
  std::optional<double> least_slack;       ///< length over the straight way between its ends, less 1, at the
                                           ///< corners of the box; empty for a line that goes as it is
  std::vector<ClipPlace> clips;            ///< that hold it between its necks
  std::size_t clips_wanted = 0;            ///< as many its length asks for
  int boxes = 0, shapes = 0;
  std::int64_t distance_queries = 0;
};

/// The proof over all places of the engine on its mounts, with the gaps that the table wants after motion. A
/// line per route, in order. Looked at: every line and its clamps against every obstacle, lines and clamps
/// against those of other lines, the bend radius of hose that is flexed, a second stable shape where there is
/// one (it must hold as well), each line and its clamps against itself, which must not touch, and what open
/// scans have not seen (scan_skin.h) at the centre and all corners of the engine's places, at each link of
/// the line. Clamps inside a run ride on the line where they sit. Not looked at: the clips and what they are
/// fixed with. Parts against parts: parts_in_motion.h.
///
/// Proved means: for convex obstacles by convexity of distance, for others because distance is 1-Lipschitz,
/// box by box of engine places (as march.h does along one line). It rests on the elastic shape (rod.h,
/// line_shapes.h), and on this: within a box the shape departs from straight motion by no more than twice
/// what was measured at its centre and at both ends of each way; over the whole box the corners are worked
/// out too, so that all ways together are seen once.
///
/// Preconditions: those of prove(); `at_rest` is its answer for the same routes, and lines refused there for
/// their curve or ends may not be given. `clips` runs beside the routes: ways to fit clips in order of
/// preference (clip_choices), or is empty: nothing holds a line between its necks. The first is taken with
/// which the line alone holds; the answer says which. Deterministic.
std::vector<MotionLine> prove_in_motion(const Bay& bay, const ProofBodies& bodies,
                                        std::span<const Route> routes, const ProofReport& at_rest,
                                        std::span<const std::vector<std::vector<ClipPlace>>> clips,
                                        const GapTable& gaps, std::span<const Stock> stock,
                                        const EnginePlaces& places, const MotionOptions& options);

}  // namespace hosefit
