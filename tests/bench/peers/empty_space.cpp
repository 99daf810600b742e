// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <fstream>
#include <numbers>
#include <sstream>

#include "solver/route/run_search.h"
#include "tests/bench/peers/contest.h"
#include "tests/bench/peers/shortest_run.h"

namespace hosefit::bench {
namespace {

constexpr double kOutside_mm = 8;
constexpr double kNear = 1e-3;
constexpr double kRadius_mm = 60;  // rows have radii of their own, some of 1 without a unit: all are scaled
constexpr std::int64_t kWork = 40000;

struct Row {
  std::string name;
  Heading from, to;
  double length_mm = 0;
};

std::vector<Row> rows_of(const std::string& file) {
  std::ifstream in(file);
  std::vector<Row> rows;
  for (std::string line; std::getline(in, line);) {
    if (line.empty() || line[0] == '#' || line.rfind("name", 0) == 0) continue;
    std::istringstream cells(line);
    Row row;
    std::getline(cells, row.name, ',');
    std::vector<double> v;
    for (std::string cell; std::getline(cells, cell, ',');) v.push_back(std::stod(cell));
    if (v.size() != 14) continue;
    const double scale = kRadius_mm / v[12];
    row.from = {scale * Vec3(v[0], v[1], v[2]), Vec3(v[3], v[4], v[5]).normalized()};
    row.to = {scale * Vec3(v[6], v[7], v[8]), Vec3(v[9], v[10], v[11]).normalized()};
    row.length_mm = scale * v[13];
    rows.push_back(row);
  }
  return rows;
}

// No leads, no lengths on sale, a hose that bends at any place and need not keep off itself: what is left is
// the least radius.
RunProblem problem_of(const Row& row) {
  RunProblem problem;
  problem.start = row.from;
  problem.goal = row.to;
  problem.radius_mm = kRadius_mm;
  problem.rules.outside_diameter_mm = problem.rules.lead_outside_diameter_mm = kOutside_mm;
  problem.rules.radii_mm = {kRadius_mm};
  problem.rules.radius_is_least = true;
  problem.self_gap_mm = 0;
  return problem;
}

struct Tally {
  int rows = 0, found = 0, near = 0;
  double worst = 0;
  std::string worst_row, missed;
  void take(const Row& row, std::optional<double> length_mm) {
    ++rows;
    const double off = length_mm ? *length_mm / row.length_mm - 1 : 1e9;
    found += length_mm ? 1 : 0;
    near += std::abs(off) <= kNear ? 1 : 0;
    if (std::abs(off) > kNear)
      missed += length_mm ? fmt::format(" {} {:+.2f} %", row.name, 100 * off) : " " + row.name + " none";
    if (!length_mm || std::abs(off) <= std::abs(worst)) return;
    worst = off;
    worst_row = row.name;
  }
  void print(const char* who) const {
    fmt::print("  {:<16} {} rows, {} found, {} equal to 0.1 %; furthest off {:+.4f} % ({})\n", who, rows,
               found, near, 100 * worst, worst_row);
    if (!missed.empty()) fmt::print("    not equal:{}\n", missed);
  }
};

}  // namespace

bool print_empty_space() {
  const std::string tests = std::string(HOSEFIT_ROOT_DIR) + "/tests";
  bool all = true;
  fmt::print("no obstacle: lengths beside the shortest arc, straight, arc\n");
  for (const char* file : {"/route/data/arc_line_arc.csv", "/bench/data/arc_line_arc_wide.csv"}) {
    Tally router, length;
    const std::vector<Row> rows = rows_of(tests + file);
    fmt::print(" {}\n", file);
    if (rows.empty()) all = false;
    for (const Row& row : rows) {
      Bay empty;
      FieldStore store;
      const GapTable gaps = family::even_gaps(0);
      const LineField field(empty, store, gaps, Runner::hose, LineCarrier::chassis);
      const Room room(empty, field, kOutside_mm, Ground::anywhere);
      const RunProblem problem = problem_of(row);
      Work one(4000, {}), other(kWork, {});
      const RunSearch found = find_run(problem, room, RunSeed{1}, one);
      router.take(row, found.run ? std::optional(length_mm(found.run->centreline)) : std::nullopt);
      const PolishOutcome shortest = shortest_run(problem, room, 4, RunSeed{1}, other);
      length.take(row, shortest.run ? std::optional(length_mm(shortest.run->centreline)) : std::nullopt);
    }
    router.print("router");
    length.print("router, length");
    all = all && length.near == length.rows;
  }
  return all;
}

}  // namespace hosefit::bench
