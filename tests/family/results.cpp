// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/family/results.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <map>
#include <sstream>

namespace hosefit::family {
namespace {

bool excluded(const Trial& t) {
  return t.outcome == "no_passage" || t.outcome == "no_room_to_bend" || t.outcome == "stub_blocked";
}

struct Row {
  int bays = 0, solved = 0, direct = 0;
  std::vector<double> ms, work, length;
  void take(const Trial& t) {
    ++bays;
    direct += t.direct;
    ms.push_back(t.cpu_ms);
    work.push_back(static_cast<double>(t.work_units));
    if (!t.proved) return;
    ++solved;
    length.push_back(t.length_mm / t.witness_length_mm);
  }
};

void print_row(const std::string& name, const Row& r) {
  fmt::print(
      "  {:<15} {:>5} {:>6} {:>6.1f} % {:>6.1f} % {:>8.2f} {:>9.2f} {:>9.2f} {:>7.0f} {:>7.0f} {:>7.3f}\n",
      name, r.bays, r.solved, 100.0 * r.solved / r.bays, 100.0 * r.direct / r.bays, quantile(r.ms, 0.5),
      quantile(r.ms, 0.95), quantile(r.ms, 0.99), quantile(r.work, 0.5), quantile(r.work, 0.95),
      quantile(r.length, 0.5));
}

void print_feasible(const std::vector<Trial>& trials) {
  fmt::print(
      "bays with a known route\n  {:<15} {:>5} {:>6} {:>8} {:>8} {:>8} {:>9} {:>9} {:>7} {:>7} {:>7}\n",
      "kind", "bays", "proved", "share", "direct", "ms p50", "ms p95", "ms p99", "work50", "work95", "len50");
  Row all, searched;
  for (const Kind kind : kKinds) {
    if (!feasible(kind)) continue;
    Row row;
    for (const Trial& t : trials)
      if (t.kind == kind) row.take(t);
    if (row.bays > 0) print_row(std::string(word(kind)), row);
  }
  for (const Trial& t : trials) {
    if (!feasible(t.kind)) continue;
    all.take(t);
    if (!t.direct) searched.take(t);
  }
  if (all.bays > 0) print_row("all", all);
  if (searched.bays > 0) print_row("not direct", searched);
  fmt::print("  direct: falls to a plain arc, straight, arc. len50: median of length to the witness's.\n");
}

void print_impossible(const std::vector<Trial>& trials) {
  fmt::print(
      "bays with no route, missing mm known\n  {:<15} {:>5} {:>8} {:>9} {:>9} {:>9} {:>10} {:>10}  said\n",
      "kind", "bays", "ms p50", "ms p95", "told", "in 0.5mm", "off p50", "off p95");
  for (const Kind kind : kKinds) {
    if (feasible(kind)) continue;
    int bays = 0, told = 0, near = 0;
    std::vector<double> off, ms;
    std::map<std::string, int> said;
    for (const Trial& t : trials) {
      if (t.kind != kind) continue;
      ++bays;
      ms.push_back(t.cpu_ms);
      ++said[t.outcome];
      if (!t.told_missing_mm) continue;
      ++told;
      off.push_back(std::abs(*t.told_missing_mm - t.missing_mm));
      near += off.back() <= 0.5;
    }
    if (bays == 0) continue;
    std::string words;
    for (const auto& [what, n] : said) words += fmt::format(" {} {}", what, n);
    fmt::print("  {:<15} {:>5} {:>8.2f} {:>9.2f} {:>9} {:>9} {:>7.2f} mm {:>7.2f} mm {}\n", word(kind), bays,
               quantile(ms, 0.5), quantile(ms, 0.95), told, near, quantile(off, 0.5), quantile(off, 0.95),
               words);
  }
}

}  // namespace

double quantile(std::vector<double> values, double q) {
  if (values.empty()) return 0;
  std::sort(values.begin(), values.end());
  return values[std::min(values.size() - 1,
                         static_cast<std::size_t>(q * static_cast<double>(values.size())))];
}

std::string line_of(const Trial& t) {
  return fmt::format("{} {} {} {} {} {:.3f} {} {:.3f} {:.3f} {} {:.4f} {}", word(t.kind), t.seed,
                     int{t.direct}, t.outcome, int{t.proved}, t.cpu_ms, t.work_units, t.length_mm,
                     t.witness_length_mm, t.bends, t.missing_mm,
                     t.told_missing_mm ? fmt::format("{:.4f}", *t.told_missing_mm) : "-");
}

std::optional<Trial> trial_of(const std::string& line) {
  std::istringstream in(line);
  std::string kind, told;
  Trial t;
  if (!(in >> kind >> t.seed >> t.direct >> t.outcome >> t.proved >> t.cpu_ms >> t.work_units >>
        t.length_mm >> t.witness_length_mm >> t.bends >> t.missing_mm >> told))
    return std::nullopt;
  const std::optional<Kind> known = kind_named(kind);
  if (!known) return std::nullopt;
  t.kind = *known;
  if (told != "-") t.told_missing_mm = std::stod(told);
  return t;
}

std::optional<std::vector<BayName>> read_seeds(const std::string& file, int& wrong_line) {
  std::ifstream in(file);
  wrong_line = 0;
  if (!in) return std::nullopt;
  std::vector<BayName> names;
  for (std::string line; std::getline(in, line);) {
    ++wrong_line;
    if (line.empty() || line.front() == '#') continue;
    std::istringstream words(line);
    std::string kind, rest;
    BayName name;
    const bool read = static_cast<bool>(words >> kind >> name.seed) && !(words >> rest);
    const std::optional<Kind> known = kind_named(kind);
    if (!read || !known) return std::nullopt;
    name.kind = *known;
    names.push_back(name);
  }
  return names;
}

Totals totals_of(const std::vector<Trial>& trials) {
  Totals sum;
  for (const Trial& t : trials) {
    sum.refused += t.outcome == "found" && !t.proved;
    if (feasible(t.kind)) {
      ++sum.feasible;
      sum.solved += t.proved;
      sum.possible_excluded += excluded(t);
    } else {
      sum.impossible_solved += t.proved;
    }
  }
  return sum;
}

void print_summary(const std::vector<Trial>& trials) {
  print_feasible(trials);
  print_impossible(trials);
  const Totals sum = totals_of(trials);
  fmt::print(
      "found but refused by the proof: {}; proved where there is no route: {}; excluded where there is one: "
      "{}\n",
      sum.refused, sum.impossible_solved, sum.possible_excluded);
}

bool is_wrong(const Totals& totals) {
  return totals.refused + totals.impossible_solved + totals.possible_excluded > 0;
}

void print_budget_heading() {
  fmt::print("  {:>9} | {:>6} {:>9} {:>10} {:>9} {:>9} | {:>6} {:>10} {:>9}\n", "work", "route", "solved",
             "undecided", "ms p50", "ms p95", "none", "undecided", "in 0.5mm");
}

void print_budget_row(std::int64_t work_units, const std::vector<Trial>& trials) {
  int feasible_bays = 0, solved = 0, open = 0, others = 0, others_open = 0, near = 0;
  std::vector<double> ms;
  for (const Trial& t : trials) {
    const bool undecided = t.outcome == "budget_spent";
    if (feasible(t.kind)) {
      ++feasible_bays;
      solved += t.proved;
      open += undecided;
      ms.push_back(t.cpu_ms);
    } else {
      ++others;
      others_open += undecided;
      near += t.told_missing_mm && std::abs(*t.told_missing_mm - t.missing_mm) <= 0.5;
    }
  }
  const auto share = [](int part, int whole) { return whole > 0 ? 100.0 * part / whole : 0; };
  fmt::print("  {:>9} | {:>6} {:>7.1f} % {:>8.1f} % {:>9.1f} {:>9.1f} | {:>6} {:>8.1f} % {:>7.1f} %\n",
             work_units, feasible_bays, share(solved, feasible_bays), share(open, feasible_bays),
             quantile(ms, 0.5), quantile(ms, 0.95), others, share(others_open, others), share(near, others));
}

}  // namespace hosefit::family
