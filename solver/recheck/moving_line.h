// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <vector>

#include "solver/recheck/clamp_places.h"
#include "solver/recheck/elastic.h"
#include "solver/recheck/engine_ways.h"

namespace hosefit::recheck {

/// What carries a part of a line; `both`: its two ends go with different ones.
enum class Carried { chassis, engine, both };

/// A straight between two nodes of a line.
struct MovingLink {
  std::size_t a = 0, b = 0;       ///< nodes
  double from_mm = 0, to_mm = 0;  ///< along the line
  double radius_mm = 0;
  bool clamp = false;  ///< the housing of one, else hose
  Carried carried = Carried::both;
  OwnPart own_from = OwnPart::counts, own_to = OwnPart::counts;
  bool on_tee = false, beside_tee = false;
};

/// A line, or a part of it, with the engine at one place; vehicle frame.
struct LineAt {
  EngineAt at = EngineAt::Zero();
  std::vector<V3> nodes_mm;
  std::vector<double> bent;  ///< of what is allowed, wherever it is asked; 1 is all of it
  RodState rod;
};

/// What bends at most: hose that is flexed its least radius, a coupler's free hose 5 deg.
struct BendAllowed {
  double least_radius_mm = 0, most_turn_rad = 0;  ///< one of them; the other 0
};

/// A part of a line that goes about with the engine: between two places where necks or clips hold it, with
/// the hose over those necks and the clamps that sit on it; or one clamp on a neck. Straight and corrugated
/// hose is straight when free, and was turned until it holds no twist with the engine at rest; elbows are
/// made to the record's curve; a bent tube is made to it and ten thousand times as stiff as the free hose in
/// its couplers. Between ends that are carried alike, flexed hose keeps the shape that it takes at rest, all
/// else the record's.
class MovingLine {
 public:
  std::size_t line = 0;  ///< of the bay
  std::vector<MovingLink> links;
  std::optional<BendAllowed> bend;
  std::optional<LineAt> at_rest;  ///< empty: no shape was found, or none that is a minimum of energy
  std::string what;               ///< "" or "the clamp at NECK"

  bool between() const { return from_moves_ != to_moves_; }
  double length_mm() const { return length_mm_; }
  double chord_mm(const EngineAt& at) const;
  /// Reached from `near`, in small steps where one does not lead there. Empty: no minimum was found.
  std::optional<LineAt> at(const EngineAt& at, const LineAt& near) const;
  std::int64_t steps_made() const { return rod_.steps_made(); }

 private:
  friend class LineMaker;
  struct Node {
    enum class On { from_end, rod, to_end } on = On::from_end;
    std::size_t step = 0;    // of the rod
    V3 own_mm = V3::Zero();  // in that step's frame; else where it is at rest, vehicle frame
  };
  Frame from_at(const EngineAt& at) const;
  Frame to_at(const EngineAt& at) const;
  std::optional<LineAt> step_to(const EngineAt& at, const LineAt& near) const;
  LineAt laid(const EngineAt& at, RodState rod) const;
  std::vector<double> bent(const RodState& rod) const;

  EngineWays ways_;
  bool from_moves_ = false, to_moves_ = false;
  double length_mm_ = 0;
  ElasticRod rod_;
  Frame from_, to_;  // at rest, vehicle frame
  std::vector<Node> nodes_;
  std::vector<std::size_t> in_coupler_;  // of each step: 1 in the first coupler, 2 in the second, else 0
};

/// A line's parts between the places where necks and recorded clips hold it, in order, then the clamps at its
/// necks. Preconditions: no faults of its ends, its clips and its clamps.
std::vector<MovingLine> moving_parts(const Bay& bay, const Tube& tube, const EngineWays& ways);

/// Clips on the line, in order, each within 120 mm (common practice, no source) of the smooth metal that it
/// names, which goes with the carrier it names.
std::vector<Fault> clip_faults(const Bay& bay, const Tube& tube);

}  // namespace hosefit::recheck
