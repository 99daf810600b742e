// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/line_orders.h"

#include <algorithm>
#include <deque>
#include <set>

namespace hosefit {
namespace {

using Order = std::vector<std::size_t>;

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
    return std::none_of(best_->failed.begin(), best_->failed.end(),
                        [&](std::size_t line) { return lies_alone(line); });
  }

  bool lies_alone(std::size_t line) { return search({}, {}, line).route.has_value(); }

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
      for (const std::size_t line : laying.failed) {
        if (!lies_alone(line)) continue;
        for (const std::size_t other : laying.blocked.at(line)) {
          try_order(moved_after(laying.order, other, line), open);
          try_order(moved_before(laying.order, line, other), open);
        }
      }
    }
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
