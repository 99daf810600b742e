// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <fmt/format.h>

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

/// Reading, mending and indexing of a scan of a million triangles.
void bench_scan();
/// Moulded shapes between two necks, with and without the quick rejection.
void bench_shapes();
