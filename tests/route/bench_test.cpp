// SPDX-License-Identifier: GPL-3.0-or-later
// Timings and success over random bays; printed, never asserted, and hidden from the normal run.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdio>
#include <cstdlib>
#include <ctime>

#include "solver/route/run.h"
#include "tests/route/bays.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

double cpu_ms() {
  return 1000.0 * static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

void report(const char* title, std::vector<double> ms) {
  if (ms.empty()) return;
  std::sort(ms.begin(), ms.end());
  const auto at = [&](double q) {
    return ms[std::min(ms.size() - 1, static_cast<std::size_t>(q * static_cast<double>(ms.size())))];
  };
  std::printf("  %s: n %zu, p50 %.1f ms, p95 %.1f ms, max %.1f ms\n", title, ms.size(), at(0.5), at(0.95),
              ms.back());
}

// Whether plain arc, straight, arc from lead to lead keeps every gap: such bays need no search.
bool direct_will_do(const Bay& bay, const Stock& stock, double gap_mm) {
  const BendRules rules = bend_rules(stock, bay.necks[0], bay.necks[1]);
  RunProblem problem;
  problem.start = {bay.necks[0].end_mm, bay.necks[0].outward};
  problem.goal = {bay.necks[1].end_mm, -bay.necks[1].outward};
  problem.rules = rules;
  const double radius = rules.radii_mm.front();
  const Heading from = start_of_run(problem), to = end_of_run(problem);
  const std::optional<Connection> c = shortest_connection(from, to, radius);
  if (!c || c->straight_mm < rules.straight_between_mm) return false;
  Route route;
  route.centreline = pieces_of(*c, from, to, radius);
  route.sections = {{0, 1e9, rules.outside_diameter_mm, Runner::hose}};
  return brute_force_spare_mm(bay, route, gap_mm, 2.0) >= 0;
}

void run_pool(const char* title, const Stock& stock, int obstacles, double spare_mm, std::uint64_t first,
              int count) {
  std::vector<double> direct, searched, failed, cold;
  double length_ratio = 0, bends = 0;
  for (int i = 0; i < count; ++i) {
    const WitnessBay w = witness_bay(first + static_cast<std::uint64_t>(i), stock, 8, spare_mm, obstacles);
    FieldStore store;
    const std::vector<Stock> on_sale{stock};
    const GapTable gaps = even_gaps(8);
    const double start = cpu_ms();
    const LineSearch found = route_lines(w.bay, store, gaps, on_sale, {}).front();
    cold.push_back(cpu_ms() - start);
    const double again = cpu_ms();  // the field is filled now, as it is for every candidate but the first
    (void)route_lines(w.bay, store, gaps, on_sale, {});
    const double ms = cpu_ms() - again;
    if (!found.route) {
      failed.push_back(ms);
      std::printf("    failed: bay %d, outcome %d, work %ld, witness %zu bends, miss %.1f mm, %.0f ms\n", i,
                  static_cast<int>(found.outcome), static_cast<long>(found.attempts.front().work_units),
                  w.witness_bends, found.nearest_miss ? found.nearest_miss->missing_mm : -1.0, ms);
      continue;
    }
    (direct_will_do(w.bay, stock, 8) ? direct : searched).push_back(ms);
    length_ratio += length_mm(found.route->centreline) / w.witness_length_mm;
    bends += static_cast<double>(bend_table(found.route->centreline).rows.size());
  }
  const std::size_t n = direct.size() + searched.size();
  std::printf("%s: found %zu of %d; length to witness %.3f, bends %.2f\n", title, n, count,
              length_ratio / static_cast<double>(n), bends / static_cast<double>(n));
  report("direct, field filled", direct);
  report("searched, field filled", searched);
  report("failed, field filled", failed);
  report("all, field empty", cold);
  std::fflush(stdout);
}

}  // namespace

TEST_CASE("random bays with a hidden witness", "[.bench]") {
  const char* scale_text = std::getenv("HOSEFIT_BENCH_BAYS");
  const int bays = scale_text ? std::atoi(scale_text) : 60;
  run_pool("tube, 40 obstacles", tube(), 40, 1.5, 1000, bays);
  run_pool("tube, 120 obstacles", tube(), 120, 1.5, 2000, bays);
  run_pool("hose R 90, 120 obstacles", hose(90, 40), 120, 1.5, 3000, bays);
}
