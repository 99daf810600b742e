// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "tests/bench/peers/contest.h"
#include "tests/family/results.h"

namespace hosefit::bench {
namespace {

using family::quantile;

struct Column {
  int bays = 0, proved = 0, refused = 0, proved_not_direct = 0, not_direct = 0;
  std::vector<double> ms, ms_proved, calls, over_best, spare, bends;
  double cpu_ms = 0, clearance_ms = 0;

  void take(const Contest& c, const Attempt& a) {
    ++bays;
    not_direct += c.direct ? 0 : 1;
    ms.push_back(a.cpu_ms);
    calls.push_back(static_cast<double>(a.calls));
    cpu_ms += a.cpu_ms;
    clearance_ms += a.clearance_ms;
    refused += a.found && !a.proved ? 1 : 0;
    if (!a.proved) return;
    ++proved;
    proved_not_direct += c.direct ? 0 : 1;
    ms_proved.push_back(a.cpu_ms);
    over_best.push_back(a.length_mm / c.best_known_mm);
    spare.push_back(a.spare_mm);
    bends.push_back(a.bends);
  }
};

Column column(const std::vector<Contest>& contests, std::size_t solver) {
  Column sum;
  for (const Contest& c : contests) sum.take(c, c.attempts[solver]);
  return sum;
}

double percent(int part, int whole) {
  return whole > 0 ? 100.0 * part / whole : 0;
}

void print_summary(const std::vector<Contest>& contests, const std::vector<std::string>& names,
                   std::int64_t budget) {
  fmt::print(
      "everybody may ask {} clearance calls a bay (router, length: as many as it wants)\n"
      "  {:<15} {:>7} {:>10} {:>8} {:>9} {:>9} {:>9} {:>7} {:>7} {:>8} {:>6} {:>9} {:>7}\n",
      budget, "solver", "proved", "not direct", "ms p50", "ms p95", "calls50", "calls95", "len50", "len95",
      "spare50", "bends", "clearance", "refused");
  for (std::size_t s = 0; s < names.size(); ++s) {
    const Column c = column(contests, s);
    fmt::print(
        "  {:<15} {:>5.1f} % {:>8.1f} % {:>8.2f} {:>9.2f} {:>9.0f} {:>9.0f} {:>7.3f} {:>7.3f} {:>8.2f} "
        "{:>6.0f} {:>7.0f} % {:>7}\n",
        names[s], percent(c.proved, c.bays), percent(c.proved_not_direct, c.not_direct), quantile(c.ms, 0.5),
        quantile(c.ms, 0.95), quantile(c.calls, 0.5), quantile(c.calls, 0.95), quantile(c.over_best, 0.5),
        quantile(c.over_best, 0.95), quantile(c.spare, 0.5), quantile(c.bends, 0.5),
        c.cpu_ms > 0 ? 100 * c.clearance_ms / c.cpu_ms : 0, c.refused);
  }
  fmt::print(
      "  proved: found and proved by verify, of all bays; not direct: of those that no arc, straight, arc "
      "solves. ms: CPU, misses\n  included. len: over the shortest known. spare: least gap less the gap "
      "required, mm, by verify. clearance: share of the time.\n");
}

void print_kinds(const std::vector<Contest>& contests, const std::vector<std::string>& names) {
  fmt::print("proved, by kind\n  {:<15} {:>5} {:>7}", "kind", "bays", "direct");
  for (const std::string& name : names) fmt::print(" {:>15}", name);
  fmt::print("\n");
  for (const family::Kind kind : family::kKinds) {
    std::vector<Contest> of_kind;
    int direct = 0;
    for (const Contest& c : contests)
      if (c.kind == kind) {
        of_kind.push_back(c);
        direct += c.direct ? 1 : 0;
      }
    if (of_kind.empty()) continue;
    const int bays = static_cast<int>(of_kind.size());
    fmt::print("  {:<15} {:>5} {:>5.0f} %", family::word(kind), bays, percent(direct, bays));
    for (std::size_t s = 0; s < names.size(); ++s)
      fmt::print(" {:>13.0f} %", percent(column(of_kind, s).proved, bays));
    fmt::print("\n");
  }
  int direct = 0;
  for (const Contest& c : contests) direct += c.direct ? 1 : 0;
  fmt::print("  direct connection alone solves {:.1f} % of all\n",
             percent(direct, static_cast<int>(contests.size())));
}

// With equal time: how many were there by then. From the same run, since an answer does not depend on when it
// is cut off.
void print_profile(const std::vector<Contest>& contests, const std::vector<std::string>& names) {
  constexpr std::array kTimes_ms{0.3, 1.0, 3.0, 10.0, 30.0, 100.0, 300.0, 1000.0};
  fmt::print("proved within so many ms CPU, % of all\n  {:<15}", "solver");
  for (const double ms : kTimes_ms) fmt::print(" {:>7}", ms);
  fmt::print("\n");
  for (std::size_t s = 0; s < names.size(); ++s) {
    const Column c = column(contests, s);
    fmt::print("  {:<15}", names[s]);
    for (const double ms : kTimes_ms) {
      const auto n = std::count_if(c.ms_proved.begin(), c.ms_proved.end(), [&](double t) { return t <= ms; });
      fmt::print(" {:>7.1f}", percent(static_cast<int>(n), c.bays));
    }
    fmt::print("\n");
  }
}

void print_pairs(const std::vector<Contest>& contests, const std::vector<std::string>& names) {
  for (std::size_t s = 1; s < names.size(); ++s) {
    int both = 0, first_alone = 0, second_alone = 0, none = 0;
    std::vector<double> ratio;
    for (const Contest& c : contests) {
      const Attempt &a = c.attempts.front(), &b = c.attempts[s];
      both += a.proved && b.proved;
      first_alone += a.proved && !b.proved;
      second_alone += !a.proved && b.proved;
      none += !a.proved && !b.proved;
      if (a.proved && b.proved) ratio.push_back(b.length_mm / a.length_mm);
    }
    fmt::print(
        "  {} and {}: both {}, first alone {}, second alone {}, neither {}; length of the second to the "
        "first "
        "p5 {:.3f}, p50 {:.3f}, p95 {:.3f}\n",
        names.front(), names[s], both, first_alone, second_alone, none, quantile(ratio, 0.05),
        quantile(ratio, 0.5), quantile(ratio, 0.95));
  }
}

void print_length(const std::vector<Contest>& contests, std::size_t solver, const std::string& name) {
  int n = 0, near = 0, fair = 0;
  double worst = 1;
  const Contest* worst_bay = nullptr;
  for (const Contest& c : contests) {
    const Attempt& a = c.attempts[solver];
    if (!a.proved) continue;
    const double over = a.length_mm / c.best_known_mm;
    ++n;
    near += over <= 1.01;
    fair += over <= 1.05;
    if (over <= worst) continue;
    worst = over;
    worst_bay = &c;
  }
  fmt::print(
      "  {}: of {} proved {:.1f} % within 1 % of the shortest known, {:.1f} % within 5 %, worst {:.3f}", name,
      n, percent(near, n), percent(fair, n), worst);
  if (worst_bay != nullptr) fmt::print(" ({} {})", family::word(worst_bay->kind), worst_bay->seed);
  fmt::print("\n");
}

}  // namespace

void print_tables(const std::vector<Contest>& contests, const Rules& rules) {
  const std::vector<std::string> names = names_of(rules);
  print_summary(contests, names, rules.budget);
  print_kinds(contests, names);
  print_profile(contests, names);
  fmt::print("side by side\n");
  print_pairs(contests, names);
  fmt::print("length\n");
  for (std::size_t s = 0; s < names.size(); ++s) print_length(contests, s, names[s]);
  fmt::print("found but refused by the proof: {}\n", refused(contests));
  for (const Contest& c : contests)
    for (std::size_t s = 0; s < names.size(); ++s)
      if (c.attempts[s].found && !c.attempts[s].proved)
        fmt::print("  {} {}: {} refused by {}\n", family::word(c.kind), c.seed, names[s],
                   c.attempts[s].refused_by);
}

}  // namespace hosefit::bench
