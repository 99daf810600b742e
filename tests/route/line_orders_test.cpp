// SPDX-License-Identifier: GPL-3.0-or-later
// Several lines together, against every order there is.
#include "solver/route/line_orders.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdio>
#include <numeric>

#include "tests/route/bays.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

using Order = std::vector<std::size_t>;
using Cost = std::pair<int, double>;  // joints, length in mm

// A made-up task: whether a line lies depends on which others lie before it, and in which order, by dice. The
// first few lines to be laid are seldom in another's way, as in a bay.
struct Game {
  std::uint64_t seed;
  double blocked;       // share of the cases
  double squeezed = 0;  // share of the cases, per line that lies, where a line takes more joints than alone
  mutable int searched = 0;

  static std::string name(std::size_t line) { return std::string(1, static_cast<char>('a' + line)); }
  LineSearch lay(std::size_t line, const LaidLines& laid) const {
    ++searched;
    LineSearch out;
    out.line = line;
    MakeAttempt attempt;
    attempt.work_units = 10;
    std::uint64_t key = line;
    std::vector<std::size_t> others;
    for (const auto& [other, route] : laid) {
      key = key * 8 + other + 1;
      others.push_back(other);
    }
    Dice dice({seed}, key);
    double free = 1;
    for (std::size_t i = 0; i < others.size(); ++i) free *= 1 - blocked;
    if (dice.between(0, 1) < free) {
      out.outcome = attempt.outcome = SearchOutcome::found;
      out.route = Route{};
      out.route->line = line;
      out.route->joints = 2 + 2 * static_cast<int>(dice.below(2));
      if (squeezed > 0) {
        out.route->joints = 2 + 2 * static_cast<int>(Dice({seed}, 7000 + line).below(2));
        for (std::size_t i = 0; i < others.size(); ++i)
          out.route->joints += dice.between(0, 1) < squeezed ? 2 : 0;
      }
      const double length_mm = 50.0 * static_cast<double>(1 + dice.below(8));
      out.route->centreline.pieces = {Straight{Vec3::Zero(), {length_mm, 0, 0}}};
    } else if (dice.between(0, 1) < 0.7) {
      attempt.nearest_miss = Obstruction{};
      attempt.nearest_miss->obstacle = name(others[dice.below(others.size())]);
    }
    out.attempts.push_back(attempt);
    return out;
  }
  std::size_t most_of_all_orders(std::size_t lines) const {
    Order order(lines);
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::size_t most = 0;
    do most = std::max(most, laid_by(order));
    while (std::next_permutation(order.begin(), order.end()));
    return most;
  }
  std::size_t laid_by(const Order& order) const { return lines_laid_by(order).size(); }
  LaidLines lines_laid_by(const Order& order) const {
    LaidLines laid;
    for (const std::size_t line : order)
      if (const LineSearch found = lay(line, laid); found.route) laid.emplace(line, *found.route);
    return laid;
  }
  // Of the orders that lay most.
  Cost least_cost(std::size_t lines, std::size_t most) const {
    Order order(lines);
    std::iota(order.begin(), order.end(), std::size_t{0});
    Cost least{1000, 0};
    do {
      const LaidLines laid = lines_laid_by(order);
      if (laid.size() == most) least = std::min(least, cost_of(laid));
    } while (std::next_permutation(order.begin(), order.end()));
    return least;
  }
  static Cost cost_of(const LaidLines& laid) {
    Cost cost{0, 0};
    for (const auto& [line, route] : laid) {
      cost.first += route.joints;
      cost.second += length_mm(route.centreline);
    }
    return cost;
  }
  std::vector<LineSearch> best(const Order& order, std::int64_t most_work) const {
    return lay_in_best_order(
        order, [&](std::size_t line, const LaidLines& laid) { return lay(line, laid); },
        [](const LineSearch& failed, const LaidLines& laid) {
          Order out;
          for (const auto& [other, route] : laid)
            if (failed.attempts[0].nearest_miss && failed.attempts[0].nearest_miss->obstacle == name(other))
              out.push_back(other);
          return out;
        },
        most_work);
  }
};

std::size_t found_in(const std::vector<LineSearch>& results) {
  return static_cast<std::size_t>(
      std::count_if(results.begin(), results.end(), [](const LineSearch& r) { return r.route.has_value(); }));
}

// A wall with windows a hose wide, and more pairs of necks on both sides than windows are near: who takes the
// nearest one decides whether the others find theirs.
Bay crowded_bay(std::uint64_t task, std::size_t lines) {
  Dice dice({23}, task);
  std::vector<Obstacle> obstacles;
  double from = -900;
  for (std::size_t i = 0; i < lines; ++i) {
    const double window = dice.between(-60, 60) + 110 * (static_cast<double>(i) - 1);
    obstacles.push_back(box("wall", {230, from, -900}, {260, window - 26, 900}));
    obstacles.push_back(box("sill", {230, window - 26, -900}, {260, window + 26, -26}));
    obstacles.push_back(box("lintel", {230, window - 26, 26}, {260, window + 26, 900}));
    from = window + 26;
  }
  obstacles.push_back(box("wall", {230, from, -900}, {260, 900, 900}));
  Bay bay = bay_of(std::move(obstacles), neck("n", {0, 0, 0}, {1, 0, 0}), neck("n", {500, 0, 0}, {-1, 0, 0}),
                   Make::straight_hose);
  const BayLine line = bay.lines.front();
  bay.necks.clear();
  bay.lines.clear();
  for (std::size_t i = 0; i < lines; ++i) {
    const double y = 70 * (static_cast<double>(i) - 1);
    bay.necks.push_back(neck("from", {0, y, dice.between(-30, 30)}, {1, 0, 0}));
    bay.necks.push_back(neck("to", {500, y + dice.between(-15, 15), dice.between(-30, 30)}, {-1, 0, 0}));
    bay.lines.push_back(line);
    bay.lines.back().line.name = Game::name(i);
    bay.lines.back().from = 2 * i;
    bay.lines.back().to = 2 * i + 1;
  }
  return bay;
}

std::size_t routed(const Bay& bay, std::int64_t work_for_orders) {
  FieldStore store;
  RouteOptions options;
  options.work_units_per_make = 400;
  options.work_units_for_orders = work_for_orders;
  const std::vector<Stock> stock{hose(55)};
  return found_in(route_lines(bay, store, even_gaps(8), stock, options));
}

}  // namespace

TEST_CASE("as many lines lie as in the best of all orders, and none is searched twice") {
  int first_is_not_best = 0;
  for (std::uint64_t seed = 0; seed < 600; ++seed) {
    CAPTURE(seed);
    const std::size_t lines = 2 + seed % 4;
    const Game game{seed, seed % 2 == 0 ? 0.12 : 0.3};
    const std::size_t most = game.most_of_all_orders(lines);
    Order order(lines);
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::reverse(order.begin(), order.end());
    if (game.laid_by(order) < most) ++first_is_not_best;
    game.searched = 0;
    const auto results = game.best(order, 1000000);
    REQUIRE(results.size() == lines);
    for (std::size_t line = 0; line < lines; ++line) CHECK(results[line].line == line);
    CHECK(found_in(results) == most);
    CHECK(game.searched <= 325);  // rows of one to five of five lines: 5 + 20 + 60 + 120 + 120
  }
  CHECK(first_is_not_best > 100);
}

// Alone no line has more joints than among others, as in a bay.
TEST_CASE("no order has fewer joints than the one answered, where all lie too") {
  int usual_has_more = 0, usual_searched_only = 0;
  for (std::uint64_t seed = 0; seed < 300; ++seed) {
    CAPTURE(seed);
    const std::size_t lines = 2 + seed % 4;
    const Game game{seed, seed % 3 == 0 ? 0.1 : 0.0, 0.25};
    const std::size_t most = game.most_of_all_orders(lines);
    Order order(lines);
    std::iota(order.begin(), order.end(), std::size_t{0});
    game.searched = 0;
    LaidLines laid;
    for (const LineSearch& found : game.best(order, 1000000))
      if (found.route) laid.emplace(found.line, *found.route);
    if (game.searched == static_cast<int>(lines)) ++usual_searched_only;
    REQUIRE(laid.size() == most);
    const int least = game.least_cost(lines, most).first;
    CHECK(Game::cost_of(laid).first == least);
    const LaidLines usual = game.lines_laid_by(order);
    if (usual.size() == most && Game::cost_of(usual).first > least) ++usual_has_more;
  }
  CHECK(usual_has_more > 60);
  CHECK(usual_searched_only > 10);
}

// Where all lie as well as alone nothing more is tried, and a shorter order may be left.
TEST_CASE("where not all can lie, no order that lays as many has fewer joints, or as many and less length") {
  int more_joints = 0, more_length = 0;
  for (std::uint64_t seed = 0; seed < 400; ++seed) {
    CAPTURE(seed);
    const std::size_t lines = 3 + seed % 2;
    const Game game{seed, 0.45};
    const std::size_t most = game.most_of_all_orders(lines);
    if (most == lines) continue;
    Order order(lines);
    std::iota(order.begin(), order.end(), std::size_t{0});
    LaidLines laid;
    for (const LineSearch& found : game.best(order, 1000000))
      if (found.route) laid.emplace(found.line, *found.route);
    REQUIRE(laid.size() == most);
    const Cost least = game.least_cost(lines, most);
    CHECK(Game::cost_of(laid) == least);
    const LaidLines usual = game.lines_laid_by(order);
    if (usual.size() < most) continue;
    if (Game::cost_of(usual).first > least.first) ++more_joints;
    if (Game::cost_of(usual).first == least.first && Game::cost_of(usual).second > least.second)
      ++more_length;
  }
  CHECK(more_joints > 20);
  CHECK(more_length > 5);
}

TEST_CASE("with little work other orders are tried as far as it goes, and never to a loss") {
  int better = 0;
  for (std::uint64_t seed = 0; seed < 300; ++seed) {
    CAPTURE(seed);
    const Game game{seed, 0.3};
    const Order order{3, 1, 0, 2};
    const std::size_t usual = game.laid_by(order);
    for (const std::int64_t work : {0, 20, 80}) {
      game.searched = 0;
      const std::size_t laid = found_in(game.best(order, work));
      CHECK(laid >= usual);
      CHECK(game.searched <= 4 + work / 10 + 5);  // the first order; then no order is begun once it is spent
      if (work == 0) CHECK(laid == usual);
      if (laid > usual) ++better;
    }
  }
  CHECK(better > 50);
}

TEST_CASE(
    "where the lines of the usual order all lie with the fewest joints there are nothing else is tried") {
  int settled = 0;
  for (std::uint64_t seed = 0; seed < 100; ++seed) {
    const Game game{seed, 0.05};
    const LaidLines usual = game.lines_laid_by({0, 1, 2});
    if (usual.size() < 3 || Game::cost_of(usual).first > 6) continue;
    ++settled;
    game.searched = 0;
    CHECK(found_in(game.best({0, 1, 2}, 1000)) == 3);
    CHECK(game.searched == 3);
  }
  CHECK(settled > 5);
}

// All orders are those of the lines' names, which decide among equal bores.
TEST_CASE("in crowded bays no order of the lines lays more of them", "[whole]") {
  std::size_t usual = 0, together = 0, best_order = 0;
  for (std::uint64_t task = 0; task < 6; ++task) {
    CAPTURE(task);
    const Bay bay = crowded_bay(task, 3);
    Order names{0, 1, 2};
    std::size_t best = 0;
    do {
      Bay named = bay;
      for (std::size_t i = 0; i < names.size(); ++i) named.lines[i].line.name = Game::name(names[i]);
      best = std::max(best, routed(named, 0));
    } while (std::next_permutation(names.begin(), names.end()));
    const std::size_t found = routed(bay, 100000);
    CHECK(found >= best);
    usual += routed(bay, 0);
    together += found;
    best_order += best;
  }
  std::printf("lines laid in 6 crowded bays: usual order %zu, best of all orders %zu, together %zu of 18\n",
              usual, best_order, together);
  CHECK(together > usual);
}
