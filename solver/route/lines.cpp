// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/lines.h"

#include <algorithm>
#include <map>
#include <numeric>

#include "solver/route/joints.h"
#include "solver/route/line_orders.h"
#include "solver/route/one_stock.h"

namespace hosefit {

std::string_view word(SearchOutcome outcome) {
  switch (outcome) {
    case SearchOutcome::found:
      return "found";
    case SearchOutcome::stub_blocked:
      return "stub_blocked";
    case SearchOutcome::no_passage:
      return "no_passage";
    case SearchOutcome::no_room_to_bend:
      return "no_room_to_bend";
    case SearchOutcome::no_stock:
      return "no_stock";
    case SearchOutcome::budget_spent:
      return "budget_spent";
  }
  return "";
}

namespace {

constexpr double kHoseWall_mm =
    5.0;  // of hose not chosen yet, kept free around necks that wait for theirs (common practice, no source)
constexpr double kBoreUnder_mm =
    0.5;  // neck may be smaller than the bore by this (common practice, no source)
constexpr double kBoreOver_share = 0.05;  // or larger by this share of the bore (common practice, no source)

bool suits(const Stock& stock, const PlacedNeck& neck) {
  const double over = (neck.outside_diameter - stock.bore).mm();
  return over >= -kBoreUnder_mm - 1e-9 && over <= kBoreOver_share * stock.bore.mm() + 1e-9;
}

bool is_on_tee(const Bay& bay, std::size_t neck) {
  return bay.tee && neck >= bay.tee->neck;
}

enum class OverTee { counts, does_not_count };
OverTee over_tee(const Bay& bay, const BayLine& line) {
  return is_on_tee(bay, line.from) || is_on_tee(bay, line.to) ? OverTee::does_not_count : OverTee::counts;
}

// A route as an obstacle: its sections, and the hose pushed over the necks. Beside another line at the tee
// what is over its tube ends and their least lead is left to the proof.
std::optional<LaidRoute> laid_from(const Bay& bay, const Route& route, std::span<const Stock> stock,
                                   OverTee tee) {
  const BayLine& line = bay.lines[route.line];
  const double length = length_mm(route.centreline);
  const auto beyond_mm = [&](std::size_t neck, double engagement_mm) {
    if (tee == OverTee::counts || !is_on_tee(bay, neck)) return engagement_mm;
    for (const Stock& s : stock)
      if (s.id == route.stock) return -least_lead_mm(s, bay.necks[neck].outside_diameter);
    return 0.0;
  };
  const double before_mm = beyond_mm(line.from, route.engagement_from_mm);
  const double after_mm = beyond_mm(line.to, route.engagement_to_mm);
  const PlacedNeck &from = bay.necks[line.from], &to = bay.necks[line.to];
  const double first_mm = std::max(0.0, -before_mm), last_mm = length - std::max(0.0, -after_mm);
  if (first_mm >= last_mm) return std::nullopt;
  LaidRoute laid;
  if (before_mm > 0)
    laid.centreline.pieces.push_back(Straight{from.end_mm - before_mm * from.outward, from.end_mm});
  const Centreline run = part_of(route.centreline, first_mm, last_mm);
  laid.centreline.pieces.insert(laid.centreline.pieces.end(), run.pieces.begin(), run.pieces.end());
  if (after_mm > 0) laid.centreline.pieces.push_back(Straight{to.end_mm, to.end_mm - after_mm * to.outward});
  for (RouteSection section : route.sections) {
    section.from_s_mm = std::max(section.from_s_mm, first_mm) + before_mm;
    section.to_s_mm = std::min(section.to_s_mm, last_mm) + before_mm;
    if (section.to_s_mm > section.from_s_mm) laid.sections.push_back(section);
  }
  laid.sections.front().from_s_mm = 0;
  laid.sections.back().to_s_mm = last_mm + before_mm + std::max(0.0, after_mm);
  return laid;
}

// What a line not routed yet will need at one of its necks in any case.
LaidRoute stub_of(const PlacedNeck& neck) {
  const double od = neck.outside_diameter.mm() + 2 * kHoseWall_mm;
  const double engagement = least_engagement_mm(neck.outside_diameter);
  const double lead = 0.5 * od;
  LaidRoute laid;
  laid.centreline.pieces.push_back(
      Straight{neck.end_mm - engagement * neck.outward, neck.end_mm + lead * neck.outward});
  laid.sections.push_back({0, engagement + lead, od, Runner::hose});
  return laid;
}

// How much a failed outcome leaves open; the most open one of all makes stands for the line.
int openness(const MakeAttempt& attempt) {
  switch (attempt.outcome) {
    case SearchOutcome::found:
      return 6;
    case SearchOutcome::budget_spent:
      return 5;
    case SearchOutcome::no_stock:
      return attempt.stock.empty() ? 0 : 4;  // nothing on sale says nothing about passages
    case SearchOutcome::no_room_to_bend:
      return 3;
    case SearchOutcome::no_passage:
      return 2;
    case SearchOutcome::stub_blocked:
      return 1;
  }
  return 0;
}

constexpr double kMayShorten_mm = 5.0;  // a line that follows its necks

enum class StubsOfOthers { kept_free, ignored };

class LineRouter {
 public:
  LineRouter(const Bay& bay, FieldStore& store, const GapTable& gaps, std::span<const Stock> stock,
             const RouteOptions& options, std::vector<LineWish> wishes, const std::stop_token& stop)
      : bay_(bay),
        store_(store),
        gaps_(gaps),
        stock_(stock),
        options_(options),
        wishes_(std::move(wishes)),
        stop_(stop) {}

  std::vector<LineSearch> route_all() const {
    const LayLine lay = [&](std::size_t line, const LaidLines& laid) { return route_line(line, laid); };
    const LinesInTheWay in_the_way = [&](const LineSearch& failed, const LaidLines& laid) {
      return lines_in_the_way(failed, laid);
    };
    return lay_in_best_order(order_of_lines(), lay, in_the_way, options_.work_units_for_orders, stop_);
  }

  std::vector<LineSearch> route_again(std::vector<LineSearch> known, std::span<const std::size_t> again) {
    const auto wanted = [&](std::size_t line) {
      return std::find(again.begin(), again.end(), line) != again.end();
    };
    for (const LineSearch& search : known)
      if (search.route) laid_[search.line] = *search.route;
    for (const std::size_t line : order_of_lines()) {
      if (!wanted(line) || stop_.stop_requested()) continue;
      LineSearch before = std::move(known[line]);
      laid_.erase(line);
      known[line] = route_line(line, laid_);
      if (!known[line].route) try_the_other_order(line, known);
      if (!known[line].route && before.route) known[line] = std::move(before);
      if (known[line].route) laid_[line] = *known[line].route;
    }
    return known;
  }

  std::optional<std::vector<LineSearch>> follow(std::span<const LineSearch> earlier) {
    if (earlier.size() != bay_.lines.size()) return std::nullopt;
    for (const LineSearch& search : earlier) {
      if (!search.route) return std::nullopt;
      laid_[search.line] = *search.route;
    }
    std::vector<LineSearch> out(earlier.size());
    for (const std::size_t line : order_of_lines()) {
      const auto node = laid_.extract(line);
      if (node.empty() || stop_.stop_requested()) return std::nullopt;
      out[line] = follow_line(line, node.mapped(), laid_);
      if (!out[line].route) return std::nullopt;
      laid_[line] = *out[line].route;
    }
    return out;
  }

 private:
  std::vector<std::size_t> order_of_lines() const {
    std::vector<std::size_t> order(bay_.lines.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    const auto bore = [&](std::size_t i) { return bay_.necks[bay_.lines[i].from].outside_diameter.mm(); };
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      return bore(a) != bore(b) ? bore(a) > bore(b) : bay_.lines[a].line.name < bay_.lines[b].line.name;
    });
    return order;
  }

  // First with the stubs of lines to come kept free; when one of those is what stands in the way, without
  // them.
  LineSearch route_line(std::size_t line, const LaidLines& laid) const {
    LineSearch result = route_line(line, laid, StubsOfOthers::kept_free);
    if (result.route || !result.nearest_miss || result.nearest_miss->ref) return result;
    const bool waits = std::any_of(bay_.lines.begin(), bay_.lines.end(), [&](const BayLine& other) {
      const auto index = static_cast<std::size_t>(&other - bay_.lines.data());
      return other.line.name == result.nearest_miss->obstacle && !laid.contains(index);
    });
    return waits ? route_line(line, laid, StubsOfOthers::ignored) : result;
  }

  // What `search` answers of a line among those that lie.
  template <class Search>
  auto surrounded(std::size_t index, const LaidLines& laid, StubsOfOthers stubs, const Search& search) const {
    const BayLine& line = bay_.lines[index];
    std::vector<LaidRoute> obstacles;
    std::vector<std::string> names;
    const OverTee tee = over_tee(bay_, line);
    for (const auto& [other, route] : laid) {
      std::optional<LaidRoute> obstacle = laid_from(bay_, route, stock_, tee);
      if (!obstacle) continue;
      obstacles.push_back(*std::move(obstacle));
      names.push_back(bay_.lines[other].line.name);
    }
    if (stubs == StubsOfOthers::kept_free)
      for (std::size_t other = 0; other < bay_.lines.size(); ++other) {
        if (other == index || laid.contains(other)) continue;
        for (const std::size_t neck : {bay_.lines[other].from, bay_.lines[other].to}) {
          if (tee == OverTee::does_not_count && is_on_tee(bay_, neck)) continue;
          obstacles.push_back(stub_of(bay_.necks[neck]));
          names.push_back(bay_.lines[other].line.name);
        }
      }
    const LineField field(bay_, store_, gaps_, Runner::hose, line.carrier, obstacles);
    const LineField on_chassis(bay_, store_, gaps_, Runner::hose, LineCarrier::chassis, obstacles);
    const LineField on_engine(bay_, store_, gaps_, Runner::hose, LineCarrier::engine, obstacles);
    return search(Surroundings{bay_, field, names, on_chassis, on_engine});
  }

  LineSearch route_line(std::size_t index, const LaidLines& laid, StubsOfOthers stubs) const {
    return surrounded(index, laid, stubs,
                      [&](const Surroundings& around) { return search_makes(index, around); });
  }

  double self_gap_mm(const BayLine& line) const {
    const bool same_carrier = line.carrier != LineCarrier::both;
    return gaps_.row(Runner::hose, Hazard::another_hose, same_carrier).at_rest.mm();
  }

  LineSearch follow_line(std::size_t index, const Route& earlier, const LaidLines& others) const {
    LineSearch result;
    result.line = index;
    const auto stock =
        std::find_if(stock_.begin(), stock_.end(), [&](const Stock& s) { return s.id == earlier.stock; });
    if (stock == stock_.end()) return result;
    LineWish wish;
    wish.least_length_mm = length_mm(earlier.centreline) - kMayShorten_mm;
    StockAnswer answer = surrounded(index, others, StubsOfOthers::kept_free, [&](const Surroundings& around) {
      const BayLine& line = bay_.lines[index];
      return follow_with({around, line, index, *stock, self_gap_mm(line), options_, wish, shapes_of(*stock)},
                         earlier, stop_);
    });
    result.attempts.push_back(answer.attempt);
    result.route = std::move(answer.route);
    conclude(result);
    return result;
  }

  // Makes come in the order wanted, but where that would mean many joints, one with fewer goes before.
  static void take(Route route, LineSearch& result) {
    if (!result.route) {
      result.route = std::move(route);
      return;
    }
    if (result.route->joints > kFewJoints && route.joints < result.route->joints)
      std::swap(*result.route, route);
    result.alternatives.push_back(std::move(route));
  }

  LineSearch search_makes(std::size_t index, const Surroundings& around) const {
    const BayLine& line = bay_.lines[index];
    const double self_gap = self_gap_mm(line);
    LineSearch result;
    result.line = index;
    for (const Make make : makes_of(index)) {
      const std::vector<const Stock*> on_sale = candidates(line, make);
      if (on_sale.empty())
        result.attempts.push_back({make, "", SearchOutcome::no_stock, std::nullopt, "", 0});
      for (const Stock* stock : on_sale) {
        if (stop_.stop_requested()) break;
        const StockQuestion question{around,   line,     index,          *stock,
                                     self_gap, options_, wishes_[index], shapes_of(*stock)};
        StockAnswer answer = route_with(question, stop_);
        if (answer.route && wishes_[index].few_joints && answer.route->joints > kFewJoints) {
          answer.route.reset();
          answer.attempt.outcome = SearchOutcome::budget_spent;
        }
        result.attempts.push_back(answer.attempt);
        if (!answer.route) continue;
        take(*std::move(answer.route), result);
        break;  // one route of a make is enough
      }
      if (result.route && result.route->joints <= kFewJoints && !options_.try_all_makes) break;
    }
    conclude(result);
    return result;
  }

  // Made once for all lines.
  const ShapeTable* shapes_of(const Stock& stock) const {
    if (stock.make != Make::moulded_shape) return nullptr;
    return &shapes_.try_emplace(stock.id, stock.shapes).first->second;
  }

  std::vector<Make> makes_of(std::size_t index) const {
    const Line& line = bay_.lines[index].line;
    std::vector<Make> makes = line.makes;
    if (line.stock) {
      makes.clear();
      for (const Stock& stock : stock_)
        if (stock.id == *line.stock) makes = {stock.make};
    }
    const std::vector<Make>& without = wishes_[index].without;
    std::erase_if(
        makes, [&](Make make) { return std::find(without.begin(), without.end(), make) != without.end(); });
    return makes;
  }

  std::vector<const Stock*> candidates(const BayLine& line, Make make) const {
    if (!line.line.stock) return stock_for(stock_, make, bay_.necks[line.from], bay_.necks[line.to]);
    for (const Stock& stock : stock_)
      if (stock.id == *line.line.stock && stock.make == make) return {&stock};
    return {};
  }

  static void conclude(LineSearch& result) {
    if (result.route) {
      result.outcome = SearchOutcome::found;
      return;
    }
    result.outcome = SearchOutcome::no_stock;
    int most_open = -1;
    for (const MakeAttempt& attempt : result.attempts) {
      if (openness(attempt) <= most_open) continue;
      most_open = openness(attempt);
      result.outcome = attempt.outcome;
    }
    for (const MakeAttempt& attempt : result.attempts) {
      const bool nearer =
          attempt.nearest_miss &&
          (!result.nearest_miss || attempt.nearest_miss->missing_mm < result.nearest_miss->missing_mm);
      if (attempt.outcome == result.outcome && nearer) result.nearest_miss = attempt.nearest_miss;
    }
  }

  // A laid hose is in the way: lift it, lay this line first and that one again. Kept only when both then lie.
  void try_the_other_order(std::size_t line, std::vector<LineSearch>& results) {
    const std::vector<std::size_t> blockers = lines_in_the_way(results[line], laid_);
    if (blockers.empty()) return;
    const std::size_t blocker = blockers.front();
    LaidLines laid = laid_;
    laid.erase(blocker);
    LineSearch first = route_line(line, laid);
    if (!first.route) return;
    laid[line] = *first.route;
    LineSearch second = route_line(blocker, laid);
    if (!second.route) return;
    laid[blocker] = *second.route;
    laid_ = std::move(laid);
    results[line] = std::move(first);
    results[blocker] = std::move(second);
  }

  // In the order of the makes tried, each once.
  std::vector<std::size_t> lines_in_the_way(const LineSearch& failed, const LaidLines& laid) const {
    std::vector<std::size_t> out;
    for (const MakeAttempt& attempt : failed.attempts) {
      if (!attempt.nearest_miss || attempt.nearest_miss->ref) continue;
      for (const auto& [other, route] : laid)
        if (bay_.lines[other].line.name == attempt.nearest_miss->obstacle &&
            std::find(out.begin(), out.end(), other) == out.end())
          out.push_back(other);
    }
    return out;
  }

  const Bay& bay_;
  FieldStore& store_;
  const GapTable& gaps_;
  std::span<const Stock> stock_;
  const RouteOptions& options_;
  const std::vector<LineWish> wishes_;  // beside Bay::lines
  const std::stop_token& stop_;
  LaidLines laid_;
  mutable std::map<std::string, ShapeTable> shapes_;  // by stock, as they are asked for
};

}  // namespace

std::optional<std::vector<LineSearch>> follow_routes(const Bay& bay, FieldStore& store, const GapTable& gaps,
                                                     std::span<const Stock> stock,
                                                     const RouteOptions& options,
                                                     std::span<const LineSearch> earlier,
                                                     const std::stop_token& stop) {
  return LineRouter(bay, store, gaps, stock, options, std::vector<LineWish>(bay.lines.size()), stop)
      .follow(earlier);
}

std::vector<const Stock*> stock_for(std::span<const Stock> stock, Make make, const PlacedNeck& from,
                                    const PlacedNeck& to) {
  std::vector<const Stock*> out;
  for (const Stock& s : stock)
    if (s.make == make && suits(s, from) && suits(s, to)) out.push_back(&s);
  std::stable_sort(out.begin(), out.end(),
                   [](const Stock* a, const Stock* b) { return least_radius(*a) < least_radius(*b); });
  return out;
}

std::vector<LineSearch> route_lines(const Bay& bay, FieldStore& store, const GapTable& gaps,
                                    std::span<const Stock> stock, const RouteOptions& options,
                                    const std::stop_token& stop) {
  return LineRouter(bay, store, gaps, stock, options, std::vector<LineWish>(bay.lines.size()), stop)
      .route_all();
}

std::vector<LineSearch> route_again(const Bay& bay, FieldStore& store, const GapTable& gaps,
                                    std::span<const Stock> stock, const RouteOptions& options,
                                    std::vector<LineSearch> known, std::span<const LineWish> wishes,
                                    std::span<const std::size_t> again, const std::stop_token& stop) {
  return LineRouter(bay, store, gaps, stock, options, {wishes.begin(), wishes.end()}, stop)
      .route_again(std::move(known), again);
}

}  // namespace hosefit
