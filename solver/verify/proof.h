// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "solver/model/bay.h"
#include "solver/model/finding.h"
#include "solver/model/route.h"
#include "solver/verify/proof_bodies.h"

/// The independent proof. Shares no code with field/ and route/: closed-form distances for primitives, CGAL's
/// AABB tree for rails and meshes, its own marching. What search proposes and this refuses is never shown as
/// fitting.
namespace hosefit {

struct ProofOptions {
  /// A gap counts as held when every place measured has at least the required gap (to kRounding_mm) and every
  /// place in between is bounded to at least required - tolerance. Ten times more would hide a real half
  /// millimetre; ten times less makes a hose along a flat wall ten times dearer to prove.
  double tolerance_mm = 0.05;
  static constexpr double kRounding_mm =
      1e-6;  ///< of distances computed in double at bay size; 1000 times more would show
  static constexpr double kRecorded_mm = 50.0;  ///< obstacles with more spare gap than this are not recorded
};

/// The least spare gap of one route against one obstacle or one other line.
struct GapRecord {
  std::string other;               ///< obstacle or line name
  std::optional<ObstacleRef> ref;  ///< empty for a line
  Runner runner = Runner::hose;
  double required_mm = 0,
         found_mm = 0;  ///< found: surface to surface, measured, so an upper bound of the least gap
  double proved_mm =
      0;  ///< the least gap is at least this: found - max(tolerance, |found - required| / 10) or more
  double s_mm = 0;  ///< arc length on the route's centreline; negative or beyond its length over a neck
  Vec3 where_mm = Vec3::Zero();  ///< on the centreline
  Provenance provenance;
};

/// A clamp at its best clock position. Clock 0: up as far as the axis allows (rearward for a vertical one);
/// right-handed about the neck's outward direction, inside the run about the line's direction.
struct ClampRecord {
  std::optional<std::size_t> neck;  ///< index into Bay::necks; empty: at a joiner, or at a tube's end
  std::size_t piece = 0;            ///< index into Route::pieces of the hose that it holds
  bool at_start = true;             ///< at that hose's first end
  double from_end_mm = 0;           ///< the hose's cut end to the middle of the band
  double s_mm = 0;                  ///< of the band's middle along the route; negative or beyond over necks
  double clock_rad = 0;
  double spare_mm =
      0;  ///< least over everything near, at most 20 (further is not looked at); >= 0: it can be put on
  std::string tightest;  ///< obstacle, line or "clamp on LINE" that it is measured against; empty when
                         ///< nothing is near
  Straight housing;      ///< axis of the capsule that stands for its housing, vehicle frame
};

struct LineProof {
  std::size_t line = 0;
  bool proved =
      false;  ///< no stop and nothing undecided among `findings`; only then may it be called fitting
  std::vector<GapRecord> gaps;  ///< ascending by found - required; the tightest first; all within 50 mm spare
  std::vector<ClampRecord> clamps;  ///< of every clamped end, in order along the line
  std::vector<Finding> findings;  ///< stops for whatever was refused; undecided ones for unknown space; flags
  std::int64_t distance_queries = 0;  ///< point to obstacle or line
};

struct ProofReport {
  std::vector<LineProof> lines;  ///< one per route given, same order
};

/// Proves for every route, at rest:
///   - the gap to every obstacle for every straight and arc, by subdivision (distance is 1-Lipschitz), each
///   stretch with the
///     outside diameter and runner of its section; the obstacles a neck grows out of after the rule at
///     PlacedNeck;
///   - the same for the hose pushed over each neck, and for the housing of every clamp, at necks, joiners and
///   tube ends (clamp_seats.h): at one of 24 clock positions a capsule
///     35 mm long and 20 mm thick on the hose must have a clamp's gap (SAE J1508 type F envelope,
///     second-hand), also from the clamps before it: clocks are chosen in the order of the routes and along
///     each. A second clamp on a neck without a bead is not looked at;
///   - each line against each other line, and against itself. Two routes of one line are alternatives: not
///   measured;
///   - radius, bend angle, straight between bends, leads, legs and lengths on sale of the stock;
///   - tangent continuity (1e-6 rad, 1e-6 mm), ends at the necks, sections that cover the route and are no
///   thinner than its
///     stock; grade at -5, 0 and +5 deg of pitch; known space (a tube outside it is undecided); what open
///     scans have not seen (a tube behind a scan or past its edge is undecided, scan_skin.h).
/// A route that is no curve at all (not finite, broken) gets stops for that and is not measured further.
/// Precondition: `bodies` was made from `bay`; each route's line exists. Deterministic.
ProofReport prove(const Bay& bay, const ProofBodies& bodies, std::span<const Route> routes,
                  const GapTable& gaps, std::span<const Stock> stock, const ProofOptions& options);

}  // namespace hosefit
