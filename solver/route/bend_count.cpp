// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/bend_count.h"

#include <algorithm>
#include <utility>

namespace hosefit {
namespace {

constexpr double kLeastGain_mm = 0.05;  // of margin that one more bend must bring
constexpr double kKick_mm = 1.0;  // more than what is missing: a bend of no angle does not know where to go
const PolishGoal kTrial{0.02, 6.0, 12, std::nullopt, 0.5, 0.1};

// One more intersection point in the middle of a leg. The point that a step moves aside is the new one, or,
// where that must stay on the line of a lead, its neighbour.
Bends with_one_more(const RunProblem& problem, Bends bends, std::size_t leg, const Vec3& aside) {
  if (leg == 0) {
    const Vec3 lead_end = start_of_run(problem).at_mm;
    const Vec3 middle = (lead_end + bends.front()) / 2;
    bends.front() += aside;
    bends.insert(bends.begin(), middle);
  } else if (leg == bends.size()) {
    const Vec3 lead_end = end_of_run(problem).at_mm;
    const Vec3 middle = (lead_end + bends.back()) / 2;
    bends.back() += aside;
    bends.push_back(middle);
  } else {
    const Vec3 middle = (bends[leg - 1] + bends[leg]) / 2;
    bends.insert(bends.begin() + static_cast<std::ptrdiff_t>(leg), middle + aside);
  }
  return bends;
}

}  // namespace

void drop_bends(const RunProblem& problem, const Room& room, PolishOutcome& found,
                const std::optional<LengthWindow>& window, Work& work) {
  bool dropped = found.run.has_value();
  while (dropped && found.bends.size() > 2 && !work.spent()) {
    dropped = false;
    std::optional<PolishOutcome> best;
    for (std::size_t i = 0; i < found.bends.size(); ++i) {
      Bends fewer = found.bends;
      fewer.erase(fewer.begin() + static_cast<std::ptrdiff_t>(i));
      const Heading start = start_of_run(problem), end = end_of_run(problem);
      const double ahead = std::max(1.0, (fewer.front() - start.at_mm).dot(start.along));
      const double behind = std::max(1.0, (end.at_mm - fewer.back()).dot(end.along));
      fewer.front() = start.at_mm + ahead * start.along;
      fewer.back() = end.at_mm - behind * end.along;
      const Polished quick = polish(problem, room, fewer, {1.0, 6.0, 6, window}, work);
      if (quick.shortfall_mm > 12.0) continue;
      PolishOutcome tried = polish_until_it_holds(problem, room, quick.bends, window, work, Patience::little);
      if (!tried.run ||
          tried.run->margin.sampled_mm < std::min(found.run->margin.sampled_mm, 0.5 * problem.reserve_mm))
        continue;
      if (!best || length_mm(tried.run->centreline) < length_mm(best->run->centreline))
        best = std::move(tried);
    }
    if (best &&
        length_mm(best->run->centreline) < length_mm(found.run->centreline) + 0.5 * problem.radius_mm) {
      best->nearest = found.nearest;
      found = std::move(*best);
      dropped = true;
    }
  }
}

PolishOutcome add_bends(const RunProblem& problem, const Room& room, const NearMiss& from, Work& work) {
  PolishOutcome outcome;
  outcome.nearest = from;
  NearMiss at = from;
  const auto most = static_cast<std::size_t>(problem.rules.most_bends);
  while (at.bends.size() >= 2 && at.bends.size() < most && !work.spent()) {
    const double missing = -at.check.margin.sampled_mm;
    const Vec3 aside = (missing + kKick_mm) * room.contact(at.check.margin.where_mm).away;
    Polished best{{}, problem.reserve_mm + missing - kLeastGain_mm};
    for (std::size_t leg = 0; leg <= at.bends.size() && !work.spent(); ++leg) {
      Polished tried = polish(problem, room, with_one_more(problem, at.bends, leg, aside), kTrial, work);
      if (tried.shortfall_mm < best.shortfall_mm) best = std::move(tried);
    }
    if (best.bends.empty()) break;
    const PolishOutcome held = polish_until_it_holds(problem, room, best.bends, std::nullopt, work);
    keep_nearer(held.nearest, outcome.nearest);
    outcome.run = held.run;
    outcome.bends = held.bends;
    if (outcome.run || !held.nearest || held.nearest->bends.size() <= at.bends.size()) break;
    if (held.nearest->check.margin.sampled_mm < at.check.margin.sampled_mm + kLeastGain_mm) break;
    at = *held.nearest;
  }
  return outcome;
}

}  // namespace hosefit
