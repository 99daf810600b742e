// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <fmt/format.h>

#include <cstddef>
#include <string>

#include "tests/bench/machine.h"

struct Timed {
  double cpu, wall;
};

template <class Work>
Timed timed(Work&& work) {
  const double cpu = cpu_ms();
  const double wall = wall_ms();
  work();
  return {cpu_ms() - cpu, wall_ms() - wall};
}

inline void row(const std::string& what, Timed t, const std::string& note = {}) {
  fmt::print("  {:<46} {:>10.2f} ms CPU {:>10.2f} ms wall  {}\n", what, t.cpu, t.wall, note);
}

/// Queries of the search's index beside CGAL's tree and a ray-tracing kernel, build time, memory and query
/// time as meshes grow from 10 000 triangles tenfold up to the most. False when they disagree.
bool bench_distances(std::size_t most_triangles);

/// Reading, mending and indexing of a scan of a million triangles.
void bench_scan();
/// A vehicle's fitting pumps as the intake moves step by step.
namespace hosefit {
class Prepared;
struct Query;
}  // namespace hosefit
void bench_slider(const hosefit::Prepared& prepared, const hosefit::Query& query);
/// Moulded shapes between two necks, with and without the quick rejection.
void bench_shapes();
