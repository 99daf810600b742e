// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/route/run.h"
#include "tests/route/bays.h"

namespace hosefit::test {

/// The problem of a single line, as the search poses it.
struct Posed {
  Posed(Bay wanted, const Stock& stock, double gap_mm = 10)
      : bay(std::move(wanted)), field(bay, store, even_gaps(gap_mm), Runner::hose, LineCarrier::chassis) {
    problem.rules = bend_rules(stock, bay.necks[0], bay.necks[1]);
    problem.start = {bay.necks[0].end_mm, bay.necks[0].outward};
    problem.goal = {bay.necks[1].end_mm, -bay.necks[1].outward};
    problem.radius_mm = problem.rules.radii_mm.front();
  }
  Room room() const { return Room(bay, field, problem.rules.outside_diameter_mm, Ground::anywhere); }
  Bay bay;
  FieldStore store;
  LineField field;
  RunProblem problem;
};

}  // namespace hosefit::test
