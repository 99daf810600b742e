// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/bench/peers/shortest_run.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include "solver/route/passage.h"
#include "solver/route/run_search.h"
#include "solver/route/shortcut.h"
#include "solver/route/tree.h"

namespace hosefit::bench {
namespace {

constexpr double kReserve_mm = 0.25;  // the polish ends up to 0.17 mm short of what it aims at
constexpr double kLessIsNoGain = 2e-4;
constexpr double kPassageCell_mm = 14;
constexpr std::int64_t kPassageCells = 90000, kCellsPerUnit = 60;
constexpr std::size_t kFansTried = 12;
constexpr double kOverlapOfASeed_mm = 12;
constexpr double kShareOfTheRouter = 0.15, kShareOfATree = 0.08, kShareOfASeed = 0.15;
constexpr std::array kTrees{TreeOptions{250, {false, 3.0}}, TreeOptions{400, {true, 5.0}},
                            TreeOptions{900, {false, 3.0}}};

// A heading, and what it becomes by turning first: with such turns in between even a half circle and more is
// a chain of intersection points.
struct Turned {
  Heading heading;
  std::optional<Vec3> bend;
  double length_mm = 0;
};
std::vector<Turned> turned(const Heading& from, double radius_mm) {
  std::vector<Turned> out{{from, std::nullopt, 0}};
  const Vec3 a = any_perpendicular(from.along), b = from.along.cross(a);
  for (const double turn : {0.6, 1.2, 1.9})
    for (int k = 0; k < 16; ++k) {
      const double roll = 2 * std::numbers::pi * k / 16;
      const Arc arc = arc_from(from, std::cos(roll) * a + std::sin(roll) * b, radius_mm, turn);
      const double length = radius_mm * turn;
      out.push_back({{point_at(Piece(arc), length), direction_at(Piece(arc), length)},
                     Vec3(from.at_mm + radius_mm * std::tan(turn / 2) * from.along),
                     length});
    }
  return out;
}

class ShortestRun {
 public:
  ShortestRun(const RunProblem& problem, const Room& room, Work& work)
      : problem_(problem), room_(room), work_(work) {}

  PolishOutcome search(const RunProblem& as_routed, int trees, RunSeed seed) {
    straight_on();
    as_the_router_would(as_routed, seed);
    fans();
    passage();
    for (int task = 0; task < trees && !work_.spent(); ++task) {
      const TreeOptions& options = kTrees[static_cast<std::size_t>(task) % kTrees.size()];
      Work share = work_.share(kShareOfATree);
      const std::optional<Way> way =
          grow_trees(problem_, room_, options, Dice(seed, static_cast<std::uint64_t>(task) + 1), share);
      work_.spend(share.used());
      if (!way) continue;
      const std::optional<Bends> bends =
          shortcut(problem_, room_, *way, options.look, problem_.rules.most_bends, work_);
      if (bends) try_seed(*bends);
    }
    return std::move(best_);
  }

 private:
  double length() const { return best_.run ? length_mm(best_.run->centreline) : 1e300; }

  static bool shorter(const PolishOutcome& a, double than_mm) {
    return a.run && length_mm(a.run->centreline) < than_mm * (1 - kLessIsNoGain);
  }

  void straight_on() {
    const RunCheck check = check_run(problem_, room_, {});
    if (check.breach == Breach::none) best_ = {check, {}, std::nullopt};
  }

  void as_the_router_would(const RunProblem& as_routed, RunSeed seed) {
    Work share = work_.share(kShareOfTheRouter);
    const RunSearch found = find_run(as_routed, room_, seed, share);
    work_.spend(share.used());
    if (!found.run) return;
    if (length_mm(found.run->centreline) < length()) best_ = {found.run, found.bends, std::nullopt};
    try_seed(found.bends);
  }

  // Arc, straight, arc between both ends turned first by none or one of many bends: the shortest ones.
  void fans() {
    struct Fan {
      double length_mm;
      Bends bends;
    };
    std::vector<Fan> found;
    const double radius = problem_.radius_mm;
    const std::vector<Turned> starts = turned(start_of_run(problem_), radius),
                              ends = turned(turned_back(end_of_run(problem_)), radius);
    for (const Turned& a : starts)
      for (const Turned& b : ends) {
        const Heading to = turned_back(b.heading);
        const std::optional<Connection> c = connect(a.heading, to, radius);
        if (!c || std::max(c->first_bend_rad, c->second_bend_rad) > problem_.rules.most_bend_rad) continue;
        Fan fan{c->length_mm + a.length_mm + b.length_mm, {}};
        if (a.bend) fan.bends.push_back(*a.bend);
        for (const Vec3& bend : bends_of(*c, a.heading, to, radius)) fan.bends.push_back(bend);
        if (b.bend) fan.bends.push_back(*b.bend);
        found.push_back(std::move(fan));
      }
    work_.spend(static_cast<std::int64_t>(found.size()) / 8);
    std::stable_sort(found.begin(), found.end(),
                     [](const Fan& a, const Fan& b) { return a.length_mm < b.length_mm; });
    std::size_t tried = 0;
    for (const Fan& fan : found) {
      if (tried == kFansTried || work_.spent()) break;
      const std::optional<Centreline> line = centreline_of(chain_of(problem_, fan.bends));
      work_.spend(1);
      if (!line || !is_free(room_, *line, {false, kOverlapOfASeed_mm})) continue;
      ++tried;
      try_seed(fan.bends);
    }
  }

  void passage() {
    const Vec3 from = start_of_run(problem_).at_mm, to = end_of_run(problem_).at_mm;
    const Passage passage = find_passage(room_, from, to, kPassageCell_mm, problem_.rules.most_length_mm,
                                         Crossing::forbidden, kPassageCells);
    work_.spend(passage.cells / kCellsPerUnit);
    if (passage.answer != PassageAnswer::open || passage.way.size() < 2) return;
    std::size_t tried = 0;
    for (std::size_t most = 3; most <= static_cast<std::size_t>(problem_.rules.most_bends); ++most) {
      const Bends bends = bends_along(problem_, passage, most);
      if (bends.size() != tried) try_seed(grow_into_radius(problem_, room_, bends, work_));
      tried = bends.size();
    }
  }

  void try_seed(const Bends& bends) {
    Work share = work_.share(kShareOfASeed);
    PolishOutcome found = polish_until_it_holds(problem_, room_, bends, std::nullopt, share);
    if (found.run) {
      settle(found, share);
      for (bool gained = true; gained && !share.spent();)
        gained = one_fewer(found, share) || one_more(found, share);
    }
    work_.spend(share.used());
    if (found.run && length_mm(found.run->centreline) < length()) best_ = std::move(found);
  }

  // Length first, again and again while that gains.
  void settle(PolishOutcome& found, Work& work) const {
    for (int round = 0; round < 6 && found.bends.size() >= 2 && !work.spent(); ++round) {
      const Polished polished = polish(problem_, room_, found.bends, {1.0, 3.0, 40, std::nullopt}, work);
      if (!take_if_shorter(found, polished.bends)) return;
    }
  }

  bool take_if_shorter(PolishOutcome& found, const Bends& bends) const {
    const RunCheck check = check_run(problem_, room_, bends);
    if (check.breach != Breach::none) return false;
    const PolishOutcome tried{check, bends, std::nullopt};
    if (!shorter(tried, length_mm(found.run->centreline))) return false;
    found = tried;
    return true;
  }

  bool better_after_polish(PolishOutcome& found, Bends bends, Work& work) const {
    PolishOutcome tried = polish_until_it_holds(problem_, room_, bends, std::nullopt, work, Patience::little);
    if (!tried.run) return false;
    settle(tried, work);
    if (!shorter(tried, length_mm(found.run->centreline))) return false;
    found = std::move(tried);
    return true;
  }

  bool one_fewer(PolishOutcome& found, Work& work) const {
    if (found.bends.size() <= 2) return false;
    for (std::size_t i = 0; i < found.bends.size() && !work.spent(); ++i) {
      Bends fewer = found.bends;
      fewer.erase(fewer.begin() + static_cast<std::ptrdiff_t>(i));
      if (i == 0) fewer.front() = onto(start_of_run(problem_), fewer.front(), 1);
      if (i + 1 == found.bends.size()) fewer.back() = onto(end_of_run(problem_), fewer.back(), -1);
      if (better_after_polish(found, std::move(fewer), work)) return true;
    }
    return false;
  }

  // One more corner on a leg, moved a little off what is nearest there.
  bool one_more(PolishOutcome& found, Work& work) const {
    if (found.bends.size() < 2 || found.bends.size() >= static_cast<std::size_t>(problem_.rules.most_bends))
      return false;
    for (std::size_t leg = 0; leg <= found.bends.size() && !work.spent(); ++leg) {
      const Vec3 before = leg == 0 ? start_of_run(problem_).at_mm : found.bends[leg - 1];
      const Vec3 after = leg == found.bends.size() ? end_of_run(problem_).at_mm : found.bends[leg];
      const Vec3 middle = (before + after) / 2;
      const Vec3 off = 0.05 * problem_.radius_mm * any_perpendicular((after - before).normalized());
      Bends more = found.bends;
      more.insert(more.begin() + static_cast<std::ptrdiff_t>(leg),
                  leg == 0 || leg == found.bends.size() ? middle : Vec3(middle + off));
      if (leg == 0) more[1] += off;
      if (leg == found.bends.size()) more[leg - 1] += off;
      if (better_after_polish(found, std::move(more), work)) return true;
    }
    return false;
  }

  static Vec3 onto(const Heading& end, const Vec3& p, double sense) {
    return end.at_mm + sense * std::max(1.0, sense * (p - end.at_mm).dot(end.along)) * end.along;
  }

  const RunProblem& problem_;
  const Room& room_;
  Work& work_;
  PolishOutcome best_;
};

}  // namespace

PolishOutcome shortest_run(RunProblem problem, const Room& room, int trees, RunSeed seed, Work& work) {
  problem.rules.windows.clear();
  const RunProblem as_routed = problem;
  problem.reserve_mm = kReserve_mm;
  return ShortestRun(problem, room, work).search(as_routed, trees, seed);
}

}  // namespace hosefit::bench
