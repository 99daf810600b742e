// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "solver/base/result.h"
#include "solver/recheck/space.h"

/// A second opinion on what `hosefit pick --proof` wrote: the input and the record are read again by readers
/// of their own, and every place, gap and rule is worked out again by arithmetic of its own. Nothing of the
/// stages that read, route, prove or judge is used here, so that a mistake there is not made twice.
///
/// THE RECORD, format 4: one file `proof.json` in a folder, JSON in UTF-8, numbers with all their digits,
/// millimetres and radians, vehicle frame (X rearward, Y to the right as seated, Z up).
///   {"hosefit": "proof", "format": 4, "program": "0.1.0", "family": "..",
///    "folders": {"vehicle": "..", "pumps": "..", "data": ".."},
///    "files": [{"name": "vehicle/vehicle.yaml" | "family/.." | "data/..", "sha256": "..", "bytes": 0}],
///    "candidates": [{"pump", "drive", "housing", "intake": names, "housing_clock_deg", "height_mm",
///      "necks": [{"name": "..", "slide_mm": [0], "turn_deg": 0}],
///      "tees": [{"name": "..", "middle": [x,y,z], "along": [x,y,z], "clock_deg": 0}] | nothing,
///      "obstacles": [{"body": "..", "name": ".."}],
///      "lines": [{"name", "from", "to": necks, "make", "stock",
///        "engagement_from_mm", "engagement_to_mm", "lead_from_mm", "lead_to_mm",
///        "centreline": [{"straight": {"from": [x,y,z], "to": [x,y,z]}} |
///                       {"arc": {"start": [x,y,z], "centre": [x,y,z], "normal": [x,y,z], "angle_rad": 0}}],
///        "sections": [{"from_mm", "to_mm", "outside_diameter_mm"}],
///        "pieces": [{"stock", "what", "cut_mm", "bought_mm",
///          "shape": {"name", "from_mm", "to_mm", "reversed"} | nothing}],
///        "gaps": [{"body", "obstacle" | "line", "required_mm", "found_mm", "proved_mm"}],
///        "clamps": [{"neck" | nothing, "piece", "at_start", "from_end_mm", "clock_rad", "spare_mm"}],
///        "clips": [{"at_mm", "carrier": "engine" | "chassis", "body", "obstacle"}]}]}]}
/// `folders`: where the input lay; relative ones are meant from the record's folder. `necks`: where
/// each neck that the input lets choose stands: turned by `turn_deg`, then slid by `slide_mm`, one for each
/// slide of its choice; it and the obstacles that go along with it are of the chassis wherever it is.
/// `tees`: where the tee stands: its middle, the way its line goes, and the angle of its branch, clockwise
/// seen that way from up (rearward where the line is steeper than 64 deg); the line that carries it stands in
/// two parts. `obstacles`: all that were considered. `leads`: the least required. `bought_mm` 0: by the
/// metre; of a moulded shape its whole length. `shape`: the moulded shape that a piece is cut from, its two
/// cuts along it as sold from the end marked A, and whether the line starts at the cut that is farther from
/// A. `gaps`: all within 50 mm to spare. `clamps`: in order along the line; without a neck inside the run.
/// `piece`: of `pieces`, from 0, the hose that it holds, at its first end or its last; `from_end_mm` from
/// there to the middle of the band; `clock_rad` about the neck's outward direction or the line's, from up
/// (rearward where it is upright); `spare_mm`: 20 at most, to everything, and to the clamps of the lines told
/// before. An arc's point at angle t is centre + turn about normal by t (right-handed) of (start - centre).
/// `clips`: those that hold the line in place and direction between its necks while the engine moves, in
/// order along it, each fixed to that obstacle.
///
/// WHAT IS CHECKED. Files by their fingerprints; that the parts pair (flange, seat, height, belt plane,
/// rotation) and do not clash; that every neck with a choice stands at one of its places, and what goes along
/// with one that is not where it is written keeps its gap to all but what the neck grows out of; that a tee
/// stands once, at an angle and within the range of the input, joined by the parts of its line on both sides,
/// and keeps the gaps of rigid parts to all others (between engine and chassis it cannot tell); that every
/// line wanted is there, once; ends on the necks, tangent continuity, leads, radii, bend angles, legs,
/// straights between, pieces and lengths on sale, fit of hose on neck; that a moulded shape of the stock, cut
/// where the record says, has the line's bends and straights, with angles and planes sprung by 5 deg at most;
/// gaps of every line to every obstacle, to the other lines and to itself; room for the housing of every
/// clamp, at necks, joiners and tube ends, at the clock angle that the record names, also from the other
/// clamps; grade at -5, 0 and +5 deg of pitch; known space; that every clip sits on the line and has its
/// metal within reach. Required gaps, obstacles, necks, mounts and stock come from the input. Figures that
/// the record tells and the recheck does not find are told.
///
/// When all that holds, the engine goes everywhere on its mounts: rigid parts on it against those on the
/// chassis; lines and clamps against every obstacle and against the other lines and their clamps; bends of
/// hose that is flexed and turns in a tube's couplers; lengths. Clips hold a line in place and direction,
/// clamps inside a run go with it. Where no stable shape is found, or the budget is spent, it cannot tell.
///
/// ACCURACY. Gaps at rest are measured by stepping along the centreline no farther than no gap can be missed,
/// at least 0.004 mm where it is tight: a gap found is at most 0.002 mm larger than the least there is, up to
/// half a millimetre to spare, and 0.4 % of the spare gap more beyond. A gap counts as held when it is not
/// more than 0.05 mm short, as in the first proof. Gaps between rigid parts are known to 0.002 mm, or it is
/// said that they are not. In motion every place of the engine is bounded: gaps of rigid parts count as held
/// when not more than 0.25 mm short, as in the first proof, those of lines by as much more as the shapes of
/// both proofs were measured to differ (motion_checks.h). Bounds of lines rest on the rod (elastic.h), and on
/// shapes between the places worked out departing from straight motion by no more than twice what was
/// measured.
namespace hosefit::recheck {

inline constexpr double kHeld_mm =
    0.05;  ///< ten times more hides half a millimetre; none would refute rounding
inline constexpr double kLooked_mm = 50.0;          ///< wider spare gaps are neither recorded nor measured
inline constexpr double kMostClampSpare_mm = 20.0;  ///< the same for a clamp's housing
inline constexpr std::string_view kRecordName = "proof.json";

enum class Answer { confirmed, refuted, cannot_tell };

struct Fault {
  std::string text;  ///< one sentence without its end; names in it as they stand in the input
  std::optional<V3> where_mm = std::nullopt;
  bool undecided = false;  ///< keeps from confirming, refutes nothing
};

struct TightestGap {
  std::string other;  ///< "body: obstacle" or "line NAME"
  double found_mm = 0, required_mm = 0, s_mm = 0;
  V3 where_mm = V3::Zero();
};
struct TightestClamp {
  std::string where;  ///< "at NECK" or "at 123.4 mm along"
  std::string other;  ///< "body: obstacle" or "line NAME"; the line that it sits on is not told
  double spare_mm = 0;
};
/// Of the places of the engine that were worked out.
struct TightestInMotion {
  TightestGap gap;
  std::string place;  ///< of the engine, in words
};
struct LineAnswer {
  std::string name, make, stock;
  double length_mm = 0;
  std::optional<TightestGap> tightest;          ///< least to spare, of all within 50 mm
  std::optional<TightestInMotion> in_motion;    ///< of all within 20 mm
  std::size_t clips = 0;                        ///< that hold it
  std::size_t clamps = 0;                       ///< measured
  std::optional<TightestClamp> tightest_clamp;  ///< of all within 20 mm
  std::vector<Fault> faults;
};
struct CandidateAnswer {
  std::string pump, drive, housing, intake;
  double clock_deg = 0, height_mm = 0;
  std::size_t obstacles = 0;  ///< measured against
  struct MovedNeck {
    std::string name;
    V3 end_mm = V3::Zero(), outward = V3::UnitZ();
  };
  std::vector<MovedNeck> moved_necks;  ///< those not where they are written
  struct PlacedTee {
    std::string name;
    V3 middle_mm = V3::Zero();
    double clock_deg = 0;
  };
  std::vector<PlacedTee> tees;  ///< where the record puts them
  std::vector<Fault> faults;    ///< of the set of parts
  std::string motion;           ///< how far the engine goes, in words; empty: only rest was looked at
  std::vector<LineAnswer> lines;
  Answer answer = Answer::confirmed;
};
struct Report {
  std::vector<CandidateAnswer> candidates;
  Answer answer = Answer::cannot_tell;  ///< confirmed only when there is a candidate and all are
  Problems not_understood;  ///< what of the input the recheck does not know; then nothing is checked
};

struct Places {
  std::string proof_folder;
  /// In place of the record's.
  std::optional<std::string> vehicle_folder = std::nullopt, pumps_folder = std::nullopt,
                             data_folder = std::nullopt;
};

/// Problems: a record or an input that cannot be read, or an input that is not the one of the record.
Result<Report> recheck_folder(const Places& places);

/// The answer in words, for a person; safe for a terminal. Ends with what was not rechecked.
std::string tell(const Report& report);

}  // namespace hosefit::recheck
