// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "solver/route/shape_chain.h"

namespace hosefit {

/// What a moulded shape is to connect: from neck end to neck end, headings in the direction of travel.
struct ShapeEnds {
  Heading start, goal;
  double lead_from_mm = 0, lead_to_mm = 0;              ///< least straight at each end, from the neck's end
  double engagement_from_mm = 0, engagement_to_mm = 0;  ///< hose over each neck: cut from the same straights
};

/// What decides whether two ends can be joined, whatever the clocking: with V from start to goal, d and e the
/// two directions of travel, these four are all that is left when the lot is moved and turned.
struct EndsInvariants {
  double cosine = 0;                             ///< d . e
  double triple_mm = 0;                          ///< V . (d x e)
  double along_start_mm = 0, along_goal_mm = 0;  ///< V . d, V . e
};
EndsInvariants invariants_of(const ShapeEnds& ends);

/// Some bends in turn of one shape of a table, counted from A, and bounds of the same four for them with
/// every bend and turn sprung by up to kMostSprung_deg: exact for the shape as moulded, plus or minus what
/// springing can change (first derivatives, and a bound of the second ones: springs are rotations about lines
/// whose distance to the far end is bounded).
struct ShapeRun {
  std::uint32_t shape = 0;
  std::uint16_t first = 0, bends = 0;
  double cosine = 0, cosine_slack = 0;
  double triple_mm = 0, triple_slack_mm = 0;
  /// From intersection point to intersection point of its first and last bend, along each direction.
  double along_first_mm = 0, along_first_slack_mm = 0, along_last_mm = 0, along_last_slack_mm = 0;
  double first_tangent_mm = 0, last_tangent_mm = 0;    ///< of those bends as moulded
  double first_straight_mm = 0, last_straight_mm = 0;  ///< as moulded
};

/// Every run of whole bends of every shape. Shapes with more than kMostShapeBends bends have none.
class ShapeTable {
 public:
  explicit ShapeTable(std::span<const MouldedShape> shapes);
  const std::vector<ShapeRun>& runs() const { return runs_; }

 private:
  std::vector<ShapeRun> runs_;
};

/// False only when the run, from A or from the other end, cannot join such ends, however it is sprung.
/// `backwards`: told from the other end.
bool may_join(const ShapeRun& run, const EndsInvariants& wanted, const ShapeEnds& ends, bool backwards);

}  // namespace hosefit
