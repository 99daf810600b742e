// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "solver/model/body.h"

namespace hosefit {

/// What runs past an obstacle.
enum class Runner { hose, clamp, rigid_part };
std::string_view word(Runner runner);

/// One row of the table: the least distance between surfaces.
struct GapRow {
  std::string id;
  Runner runner = Runner::hose;
  Hazard hazard = Hazard::smooth_metal;
  bool same_carrier = false;  ///< both on the engine or both on the chassis
  Length at_rest;
  Length after_motion;
  Provenance provenance;
};

/// Required gaps, looked up at query time and never baked into an index. Complete: holds exactly one row for
/// every (runner, hazard, same_carrier).
class GapTable {
 public:
  /// Precondition: complete. input/ refuses tables that are not.
  explicit GapTable(std::vector<GapRow> rows);
  const GapRow& row(Runner runner, Hazard hazard, bool same_carrier) const;
  /// Every row of this (runner, hazard) gets the new gap at rest, from the shop; `after_motion` keeps its old
  /// share of it. `same_carrier`: only that row when given.
  void set_by_shop(Runner runner, Hazard hazard, std::optional<bool> same_carrier, Length at_rest,
                   const Provenance& who);
  const std::vector<GapRow>& rows() const { return rows_; }

 private:
  std::vector<GapRow> rows_;
};

/// The gap that holds between something of `runner` on `carrier` and an obstacle of a body carried by
/// `obstacle_carrier`.
struct RequiredGap {
  Length gap;
  Provenance provenance;
  std::string row_id;
};
RequiredGap required_gap(const GapTable& table, Runner runner, Carrier carrier, const Obstacle& obstacle,
                         Carrier obstacle_carrier);

/// A line between necks on different carriers counts as being on neither: every obstacle is then on another
/// carrier.
enum class LineCarrier { chassis, engine, both };
RequiredGap required_gap(const GapTable& table, Runner runner, LineCarrier carrier, const Obstacle& obstacle,
                         Carrier obstacle_carrier);

/// The same with the engine anywhere on its mounts: what must be left of the gap. An obstacle's own gap holds
/// there too.
RequiredGap required_gap_after_motion(const GapTable& table, Runner runner, LineCarrier carrier,
                                      const Obstacle& obstacle, Carrier obstacle_carrier);

}  // namespace hosefit
