// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/shortcut.h"

#include <algorithm>
#include <cmath>

namespace hosefit {
namespace {

constexpr double kNoBend_rad = 1e-6;
constexpr std::int64_t kConnectionsPerUnit = 8;  // they ask no distances

int bends_in(const Connection& c) {
  return (c.first_bend_rad > kNoBend_rad ? 1 : 0) + (c.second_bend_rad > kNoBend_rad ? 1 : 0);
}

}  // namespace

Bends bends_of(const Connection& c, const Heading& from, const Heading& to, double radius_mm) {
  Bends bends;
  if (c.first_bend_rad > kNoBend_rad)
    bends.push_back(from.at_mm + radius_mm * std::tan(c.first_bend_rad / 2) * from.along);
  if (c.second_bend_rad > kNoBend_rad)
    bends.push_back(to.at_mm - radius_mm * std::tan(c.second_bend_rad / 2) * to.along);
  return bends;
}

std::optional<Bends> shortcut(const RunProblem& problem, const Room& room, const Way& way, const Look& look,
                              int most_bends, Work& work) {
  struct Cell {
    double cost = 1e300;
    int from = -1, bends_before = 0;
    Connection connection;
  };
  const std::size_t n = way.size();
  const auto levels = static_cast<std::size_t>(most_bends) + 1;
  std::vector<std::vector<Cell>> best(n, std::vector<Cell>(levels));
  best[0][0].cost = 0;
  std::int64_t connections = 0;
  for (std::size_t j = 1; j < n; ++j)
    for (std::size_t i = j; i-- > 0;) {
      const std::optional<Connection> c = connect(way[i], way[j], problem.radius_mm);
      if (++connections % kConnectionsPerUnit == 0) work.spend(1);
      if (!c || std::max(c->first_bend_rad, c->second_bend_rad) > problem.rules.most_bend_rad) continue;
      const auto added = static_cast<std::size_t>(bends_in(*c));
      const double cost = c->length_mm + 0.5 * problem.radius_mm * static_cast<double>(added);
      bool useful = false;
      for (std::size_t b = 0; b + added < levels; ++b)
        useful = useful || best[i][b].cost + cost < best[j][b + added].cost;
      if (useful) work.spend(1);
      if (!useful || !is_free(room, pieces_of(*c, way[i], way[j], problem.radius_mm), look)) continue;
      for (std::size_t b = 0; b + added < levels; ++b)
        if (best[i][b].cost + cost < best[j][b + added].cost)
          best[j][b + added] = {best[i][b].cost + cost, static_cast<int>(i), static_cast<int>(b), *c};
    }

  const auto end = std::min_element(best[n - 1].begin(), best[n - 1].end(),
                                    [](const Cell& a, const Cell& b) { return a.cost < b.cost; });
  if (end->cost >= 1e300) return std::nullopt;
  Bends bends;
  std::size_t j = n - 1;
  auto level = static_cast<std::size_t>(end - best[n - 1].begin());
  while (j > 0) {
    const Cell& cell = best[j][level];
    const auto i = static_cast<std::size_t>(cell.from);
    const Bends part = bends_of(cell.connection, way[i], way[j], problem.radius_mm);
    bends.insert(bends.begin(), part.begin(), part.end());
    j = i;
    level = static_cast<std::size_t>(cell.bends_before);
  }
  return bends;
}

}  // namespace hosefit
