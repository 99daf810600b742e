// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/bench/peers/contest.h"

#include <algorithm>
#include <functional>

#include "solver/route/lines.h"
#include "tests/bench/peers/clearance_calls.h"
#include "tests/bench/peers/shortest_run.h"
#include "tests/bench/timing.h"
#include "tests/family/direct.h"

namespace hosefit::bench {
namespace {

constexpr int kTreesForLength = 12, kTreesForReference = 24;
constexpr std::int64_t kWorkForLength = 40000;

// Found centreline, or nothing.
using Search = std::function<std::optional<Centreline>()>;

Attempt measured(Question& question, std::int64_t budget, const Search& search) {
  Attempt a;
  begin_counting();
  std::optional<Centreline> line;
  a.cpu_ms = timed([&] { line = search(); }).cpu;
  a.calls = clearance_calls();
  a.clearance_ms = clearance_again_ms(question.field());
  // A budget is a budget, for the router too.
  a.found = line.has_value() && a.calls <= budget + budget / 20;
  if (!a.found) return a;
  const Question::Verdict verdict = question.proof_of(*line);
  a.proved = verdict.proved;
  a.spare_mm = verdict.spare_mm;
  a.refused_by = verdict.why;
  a.length_mm = length_mm(*line);
  a.bends = static_cast<int>(bend_table(*line).rows.size());
  return a;
}

std::optional<Centreline> line_of(const Question& question, const Room& room,
                                  const std::optional<Bends>& bends) {
  if (!bends) return std::nullopt;
  const RunCheck check = check_run(question.problem(), room, *bends);
  return check.breach == Breach::none ? std::optional(check.centreline) : std::nullopt;
}

// Trees and grid as they are for every candidate but the first: asked once over a coarse lattice and by one
// search whose answer is not used.
void warm(Question& question) {
  const std::vector<Stock> stock{question.bay().stock};
  (void)route_lines(question.bay().bay, question.store(), question.gaps(), stock, RouteOptions{});
}

}  // namespace

std::vector<std::string> names_of(const Rules& rules) {
  std::vector<std::string> names;
  if (rules.router) names.emplace_back("router");
  if (rules.length) names.emplace_back("router, length");
  for (const Planner planner : rules.peers) names.emplace_back(word(planner));
  return names;
}

Contest hold(const family::FamilyBay& bay, const Rules& rules) {
  Question question(bay);
  const Room room = question.room();
  Contest contest;
  contest.kind = bay.kind;
  contest.seed = bay.seed;
  contest.direct = family::direct_will_do(bay);
  const std::vector<Stock> stock{bay.stock};
  warm(question);
  if (rules.router)
    contest.attempts.push_back(measured(question, rules.budget, [&]() -> std::optional<Centreline> {
      const LineSearch found =
          route_lines(bay.bay, question.store(), question.gaps(), stock, RouteOptions{}).front();
      return found.route ? std::optional(found.route->centreline) : std::nullopt;
    }));
  const auto shortest = [&](int trees, std::uint64_t seed, std::int64_t units) -> std::optional<Centreline> {
    Work work(units, {});
    const PolishOutcome found = shortest_run(question.problem(), room, trees, RunSeed{seed}, work);
    return found.run ? std::optional(found.run->centreline) : std::nullopt;
  };
  if (rules.length)
    contest.attempts.push_back(
        measured(question, 100 * rules.budget, [&] { return shortest(kTreesForLength, 1, kWorkForLength); }));
  for (const Planner planner : rules.peers)
    contest.attempts.push_back(measured(question, rules.budget, [&] {
      return line_of(question, room, plan(planner, question, room, rules.budget, bay.seed));
    }));

  contest.best_known_mm = bay.missing_mm > 0 ? 1e300 : length_mm(bay.witness.centreline);
  const auto keep_shorter = [&](const Attempt& a) {
    if (a.proved) contest.best_known_mm = std::min(contest.best_known_mm, a.length_mm);
  };
  for (const Attempt& a : contest.attempts) keep_shorter(a);
  for (int i = 0; i < rules.reference_seeds; ++i)
    keep_shorter(measured(question, 1000 * rules.budget, [&] {
      return shortest(kTreesForReference, 100 + static_cast<std::uint64_t>(i), 10 * kWorkForLength);
    }));
  return contest;
}

int refused(const std::vector<Contest>& contests) {
  int sum = 0;
  for (const Contest& c : contests)
    for (const Attempt& a : c.attempts) sum += a.found && !a.proved ? 1 : 0;
  return sum;
}

}  // namespace hosefit::bench
