// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/model/gap_table.h"

#include <cstdlib>

namespace hosefit {

std::string_view word(Hazard hazard) {
  switch (hazard) {
    case Hazard::smooth_metal:
      return "smooth_metal";
    case Hazard::sharp_edge:
      return "sharp_edge";
    case Hazard::belt_or_pulley:
      return "belt_or_pulley";
    case Hazard::fan:
      return "fan";
    case Hazard::bare_exhaust:
      return "bare_exhaust";
    case Hazard::shielded_exhaust:
      return "shielded_exhaust";
    case Hazard::steering:
      return "steering";
    case Hazard::throttle_linkage:
      return "throttle_linkage";
    case Hazard::hood:
      return "hood";
    case Hazard::fuel:
      return "fuel";
    case Hazard::electrics:
      return "electrics";
    case Hazard::air_duct:
      return "air_duct";
    case Hazard::radiator_core:
      return "radiator_core";
    case Hazard::another_hose:
      return "another_hose";
  }
  return "";
}

std::string_view word(Carrier carrier) {
  return carrier == Carrier::chassis ? "chassis" : "engine";
}

std::string_view word(Runner runner) {
  switch (runner) {
    case Runner::hose:
      return "hose";
    case Runner::clamp:
      return "clamp";
    case Runner::rigid_part:
      return "rigid_part";
  }
  return "";
}

GapTable::GapTable(std::vector<GapRow> rows) : rows_(std::move(rows)) {
  for (const Hazard hazard : kHazards)
    for (const Runner runner : {Runner::hose, Runner::clamp, Runner::rigid_part})
      for (const bool same : {false, true})
        row(runner, hazard, same);  // aborts here rather than in the middle of a run
}

const GapRow& GapTable::row(Runner runner, Hazard hazard, bool same_carrier) const {
  for (const GapRow& row : rows_)
    if (row.runner == runner && row.hazard == hazard && row.same_carrier == same_carrier) return row;
  std::abort();  // an incomplete table is refused where it is read
}

void GapTable::set_by_shop(Runner runner, Hazard hazard, std::optional<bool> same_carrier, Length at_rest,
                           const Provenance& who) {
  for (GapRow& row : rows_) {
    if (row.runner != runner || row.hazard != hazard || (same_carrier && row.same_carrier != *same_carrier))
      continue;
    const double share = row.at_rest.mm() > 0 ? row.after_motion / row.at_rest : 1.0;
    row.at_rest = at_rest;
    row.after_motion = at_rest * share;
    row.provenance = who;
  }
}

namespace {

bool carried_alike(LineCarrier carrier, Carrier obstacle_carrier) {
  return (carrier == LineCarrier::chassis && obstacle_carrier == Carrier::chassis) ||
         (carrier == LineCarrier::engine && obstacle_carrier == Carrier::engine);
}

RequiredGap required(const GapTable& table, Runner runner, LineCarrier carrier, const Obstacle& obstacle,
                     Carrier obstacle_carrier, Length GapRow::*which) {
  if (obstacle.own_gap)
    return {obstacle.own_gap->gap, obstacle.own_gap->provenance, "own gap of " + obstacle.name};
  const GapRow& row = table.row(runner, obstacle.hazard, carried_alike(carrier, obstacle_carrier));
  return {row.*which, row.provenance, row.id};
}

}  // namespace

RequiredGap required_gap(const GapTable& table, Runner runner, LineCarrier carrier, const Obstacle& obstacle,
                         Carrier obstacle_carrier) {
  return required(table, runner, carrier, obstacle, obstacle_carrier, &GapRow::at_rest);
}

RequiredGap required_gap_after_motion(const GapTable& table, Runner runner, LineCarrier carrier,
                                      const Obstacle& obstacle, Carrier obstacle_carrier) {
  return required(table, runner, carrier, obstacle, obstacle_carrier, &GapRow::after_motion);
}

RequiredGap required_gap(const GapTable& table, Runner runner, Carrier carrier, const Obstacle& obstacle,
                         Carrier obstacle_carrier) {
  return required_gap(table, runner, carrier == Carrier::chassis ? LineCarrier::chassis : LineCarrier::engine,
                      obstacle, obstacle_carrier);
}

}  // namespace hosefit
