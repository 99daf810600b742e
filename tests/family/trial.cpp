// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/family/trial.h"

#include <ctime>

#include "solver/verify/proof.h"
#include "tests/family/direct.h"

namespace hosefit::family {
namespace {

double thread_cpu_ms() {
  timespec t{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
  return static_cast<double>(t.tv_sec) * 1e3 + static_cast<double>(t.tv_nsec) * 1e-6;
}

// The index and the search's grid, so that their making is not counted.
void build_index(const FamilyBay& bay, FieldStore& store, const GapTable& gaps) {
  const LineField field(bay.bay, store, gaps, Runner::hose, LineCarrier::chassis);
  (void)field.estimate_mm(bay.bay.necks.front().end_mm);
}

}  // namespace

Trial try_bay(const FamilyBay& bay, const RouteOptions& options) {
  Trial t;
  t.kind = bay.kind;
  t.seed = bay.seed;
  t.direct = direct_will_do(bay);
  t.missing_mm = bay.missing_mm;
  t.witness_length_mm = length_mm(bay.witness.centreline);
  FieldStore store;
  const GapTable gaps = even_gaps(bay.gap_mm);
  const std::vector<Stock> stock{bay.stock};
  build_index(bay, store, gaps);
  const double start = thread_cpu_ms();
  const LineSearch found = route_lines(bay.bay, store, gaps, stock, options).front();
  t.cpu_ms = thread_cpu_ms() - start;
  t.outcome = word(found.outcome);
  for (const MakeAttempt& attempt : found.attempts) t.work_units += attempt.work_units;
  if (found.nearest_miss) t.told_missing_mm = found.nearest_miss->missing_mm;
  if (!found.route) return t;
  t.length_mm = length_mm(found.route->centreline);
  t.bends = static_cast<int>(bend_table(found.route->centreline).rows.size());
  const std::vector<Route> routes{*found.route};
  t.proved = prove(bay.bay, ProofBodies(bay.bay), routes, gaps, stock, {}).lines.front().proved;
  return t;
}

}  // namespace hosefit::family
