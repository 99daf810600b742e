// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>
#include <vector>

#include "tests/bench/peers/planners.h"
#include "tests/family/family.h"

/// Router and peers on the same bays in the same run.
namespace hosefit::bench {

/// What one solver made of one bay.
struct Attempt {
  bool found = false;                  ///< a run that keeps every rule by its own account
  bool proved = false;                 ///< and by verify
  double cpu_ms = 0;                   ///< index and grid ready
  std::int64_t calls = 0;              ///< clearance calls
  double clearance_ms = 0;             ///< the same calls asked once more
  double length_mm = 0, spare_mm = 0;  ///< of what is proved; spare measured by verify
  int bends = 0;
  std::string refused_by;  ///< verify's rules
};

struct Contest {
  family::Kind kind = family::Kind::clutter;
  std::uint64_t seed = 0;
  bool direct = false;            ///< falls to a plain arc, straight, arc
  double best_known_mm = 0;       ///< shortest proved run of anybody, witness and reference included
  std::vector<Attempt> attempts;  ///< beside Rules::solvers
};

/// Who takes part, in the order of the tables: router, router for length alone, peers.
struct Rules {
  bool router = true, length = true;
  std::vector<Planner> peers{Planner::kpiece, Planner::rrt_connect, Planner::kpiece_polished};
  std::int64_t budget = 400'000;  ///< clearance calls a bay, for everybody
  int reference_seeds = 0;        ///< searches for length with ten times the work, for the best known
};
std::vector<std::string> names_of(const Rules& rules);

/// Deterministic in (bay, rules) but for the times. One thread at a time.
Contest hold(const family::FamilyBay& bay, const Rules& rules);

void print_tables(const std::vector<Contest>& contests, const Rules& rules);
/// Of what was found, how much the proof refused.
int refused(const std::vector<Contest>& contests);

/// Lengths with no obstacle beside the shortest arc, straight, arc of the data files. True when the search
/// for length meets all of them to 0.1 %.
bool print_empty_space();

}  // namespace hosefit::bench
