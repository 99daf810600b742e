// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "solver/route/run.h"
#include "tests/route/bays.h"

using namespace hosefit;
using namespace hosefit::test;

TEST_CASE("a run may not lie on the hose over its own neck") {
  // Up, back over the neck and down across its hose, `behind` the neck's end; 20 mm of hose are pushed over
  // it.
  const auto breach = [](double behind) {
    const Bay bay = bay_of({}, neck("a", {0, 0, 0}, {1, 0, 0}, 10),
                           neck("b", {-behind, 0, -200}, {0, 0, 1}, 10), Make::straight_hose);
    FieldStore store;
    const GapTable gaps = even_gaps(2);
    const LineField field(bay, store, gaps, Runner::hose, LineCarrier::chassis);
    RunProblem problem;
    problem.rules = bend_rules(hose(60, 14), bay.necks[0], bay.necks[1]);
    problem.start = {bay.necks[0].end_mm, bay.necks[0].outward};
    problem.goal = {bay.necks[1].end_mm, -bay.necks[1].outward};
    problem.radius_mm = 60;
    const Room room(bay, field, 14, Ground::anywhere);
    return check_run(problem, room, {Vec3(150, 0, 0), Vec3(150, 0, 200), Vec3(-behind, 0, 200)}).breach;
  };
  CHECK(breach(10) == Breach::self_gap);
  CHECK(breach(24) == Breach::self_gap);  // further from the neck's end than two hoses must keep
  CHECK(breach(40) == Breach::none);
}
