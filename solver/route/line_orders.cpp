// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/line_orders.h"

#include <algorithm>
#include <deque>
#include <set>

namespace hosefit {
namespace {

using Order = std::vector<std::size_t>;

constexpr int kLeastJoints = 2;  // one at each neck

struct Laying {
  Order order;
  std::vector<LineSearch> results;
  Order failed;                          // in the order tried
  std::map<std::size_t, Order> blocked;  // by line that failed: the lines in its way
  int joints = 0;
  double length_mm = 0;
};

bool better(const Laying& a, const Laying& b) {
  if (a.failed.size() != b.failed.size()) return a.failed.size() < b.failed.size();
  if (a.joints != b.joints) return a.joints < b.joints;
  return a.length_mm < b.length_mm;
}

// `line` goes to where `other` is, which moves on by one.
Order moved_before(Order order, std::size_t line, std::size_t other) {
  std::erase(order, line);
  order.insert(std::find(order.begin(), order.end(), other), line);
  return order;
}
Order moved_after(Order order, std::size_t line, std::size_t other) {
  std::erase(order, line);
  order.insert(std::next(std::find(order.begin(), order.end(), other)), line);
  return order;
}

class OrderSearch {
 public:
  OrderSearch(const LayLine& lay, const LinesInTheWay& in_the_way, std::int64_t most_work,
              const std::stop_token& stop)
      : lay_(lay), in_the_way_(in_the_way), most_work_(most_work), stop_(stop) {}

  std::vector<LineSearch> best_from(const Order& order) {
    take(laid_by(order));
    spent_ = 0;
    if (!is_settled()) try_named(order);
    if (!is_settled()) try_all(order);
    return std::move(best_->results);
  }

 private:
  const LineSearch& search(const Order& before, const LaidLines& laid, std::size_t line) {
    Order key = before;
    key.push_back(line);
    const auto known = known_.find(key);
    if (known != known_.end()) return known->second;
    LineSearch found = lay_(line, laid);
    for (const MakeAttempt& attempt : found.attempts) spent_ += std::max<std::int64_t>(attempt.work_units, 1);
    return known_.emplace(std::move(key), std::move(found)).first->second;
  }

  Laying laid_by(const Order& order) {
    Laying out{order, std::vector<LineSearch>(order.size()), {}, {}, 0, 0};
    LaidLines laid;
    Order before;
    for (const std::size_t line : order) {
      const LineSearch& found = search(before, laid, line);
      out.results[line] = found;
      if (found.route) {
        laid.emplace(line, *found.route);
        before.push_back(line);
        out.joints += found.route->joints;
        out.length_mm += length_mm(found.route->centreline);
      } else {
        out.failed.push_back(line);
        out.blocked.emplace(line, in_the_way_(found, laid));
      }
    }
    return out;
  }

  void take(Laying laying) {
    tried_.insert(laying.order);
    if (!best_ || better(laying, *best_)) best_ = std::move(laying);
  }

  bool is_settled() {
    if (spent_ >= most_work_ || stop_.stop_requested()) return true;
    return std::none_of(best_->order.begin(), best_->order.end(),
                        [&](std::size_t line) { return may_lie_better(*best_, line); });
  }

  // No other order gives a line what it does not find alone: a way, or one with fewer joints.
  bool may_lie_better(const Laying& laying, std::size_t line) {
    const std::optional<Route>& route = laying.results[line].route;
    if (route && route->joints <= kLeastJoints) return false;
    const std::optional<Route>& alone = search({}, {}, line).route;
    return alone && (!route || alone->joints < route->joints);
  }

  void try_order(const Order& order, std::deque<Laying>& open) {
    if (tried_.contains(order) || is_settled()) return;
    Laying laying = laid_by(order);
    open.push_back(laying);
    take(std::move(laying));
  }

  // Breadth first, so that few changes of the usual order come before many.
  void try_named(const Order& order) {
    std::deque<Laying> open{laid_by(order)};
    for (; !open.empty() && !is_settled(); open.pop_front()) {
      const Laying laying = open.front();
      for (const std::size_t line : laying.order) {
        if (!may_lie_better(laying, line)) continue;
        for (const std::size_t other : in_the_way_of(laying, line)) {
          try_order(moved_after(laying.order, other, line), open);
          try_order(moved_before(laying.order, line, other), open);
        }
      }
    }
  }

  // A search that found nothing names them; one that found a way with many joints does not: all that lay
  // before, the last first.
  static Order in_the_way_of(const Laying& laying, std::size_t line) {
    const auto blocked = laying.blocked.find(line);
    if (blocked != laying.blocked.end()) return blocked->second;
    Order before(laying.order.begin(), std::find(laying.order.begin(), laying.order.end(), line));
    std::reverse(before.begin(), before.end());
    std::erase_if(before, [&](std::size_t other) { return !laying.results[other].route; });
    return before;
  }

  void try_all(Order order) {
    std::deque<Laying> open;
    std::sort(order.begin(), order.end());
    do {
      try_order(order, open);
      open.clear();
    } while (!is_settled() && std::next_permutation(order.begin(), order.end()));
  }

  const LayLine& lay_;
  const LinesInTheWay& in_the_way_;
  const std::int64_t most_work_;
  const std::stop_token& stop_;
  std::int64_t spent_ = 0;             // on other orders than the first
  std::map<Order, LineSearch> known_;  // by the lines laid before and the line itself
  std::set<Order> tried_;
  std::optional<Laying> best_;
};

}  // namespace

std::vector<LineSearch> lay_in_best_order(const std::vector<std::size_t>& order, const LayLine& lay,
                                          const LinesInTheWay& in_the_way, std::int64_t most_work,
                                          const std::stop_token& stop) {
  return OrderSearch(lay, in_the_way, most_work, stop).best_from(order);
}

}  // namespace hosefit
