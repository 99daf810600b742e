// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/run_search.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "solver/route/bend_count.h"
#include "solver/route/lattice.h"
#include "solver/route/passage.h"
#include "solver/route/tree.h"

namespace hosefit {
namespace {

constexpr double kSeedOverlap_mm =
    8.0;  // a direct connection this far in an obstacle is still worth a polish
constexpr double kPassageCell_mm = 14.0;
constexpr std::int64_t kPassageCells = 90000;
constexpr std::int64_t kCellsPerUnit = 60;  // a cell costs one distance query, often one of the cheap kind
constexpr int kWindowsTried = 3;
constexpr std::uint64_t kMostTrees = 40;
constexpr double kShareOfATree = 0.25;       // of the work left: later trees and the polish need some
constexpr std::int64_t kLeastOfATree = 800;  // a tree of less seldom finds a way
constexpr double kShareOfALattice = 0.2;
constexpr std::array kLattices{LatticeOptions{{false, 3.0}, 20000, false},
                               LatticeOptions{{false, 3.0}, 20000, true}};
constexpr double kWorthAThrow_mm = 3.0;  // what is short by more lies on another way
constexpr std::uint64_t kMostThrows = 12;
constexpr double kThrow_radii = 0.3;
constexpr double kShareOfThrows = 0.4;
constexpr double kWorthMoreBends_mm = 8.0;
constexpr double kShareOfMoreBends = 0.5;
constexpr double kShareOfASecondWay = 0.1;

// The searches in the order they are run; later ones are larger and look closer.
constexpr std::array kTrees{TreeOptions{250, {false, 3.0}}, TreeOptions{400, {false, 3.0}},
                            TreeOptions{400, {true, 5.0}}, TreeOptions{900, {false, 3.0}},
                            TreeOptions{1500, {true, 5.0}}};

double cost_of(const RunProblem& problem, const PolishOutcome& found) {
  return length_mm(found.run->centreline) + 0.5 * problem.radius_mm * static_cast<double>(found.bends.size());
}

class RunFinder {
 public:
  RunFinder(const RunProblem& problem, const Room& room, RunSeed seed, Work& work)
      : problem_(problem), room_(room), seed_(seed), work_(work) {}

  RunSearch search() {
    straight_or_one_bend();
    if (!best_) direct();
    if (!best_) ways_round();
    if (!best_) more_bends();
    if (!best_) throw_off_the_nearest(After::everything);
    if (!best_ && nearest_) look_closer_at_the_nearest();
    RunSearch out;
    out.nearest = nearest_;
    out.closed = closed_;
    if (!best_) return out;
    out.run = best_->run;
    out.bends = best_->bends;
    return out;
  }

 private:
  void straight_or_one_bend() {
    const Vec3 d = problem_.start.along, e = problem_.goal.along,
               chord = problem_.goal.at_mm - problem_.start.at_mm;
    if (chord.norm() < 1e-6) return;
    if (d.cross(chord.normalized()).norm() < 1e-9) try_bends({});
    // Where the two lines cross, if they do.
    const double sine = d.cross(e).norm();
    if (best_ || sine < 1e-3) return;
    const Vec3 normal = d.cross(e) / sine;
    if (std::abs(chord.dot(normal)) > 1e-7) return;
    try_bends({problem_.start.at_mm + chord.cross(e).dot(normal) / sine * d});
  }

  void direct() {
    const Heading from = start_of_run(problem_), to = end_of_run(problem_);
    const std::optional<Connection> c = shortest_connection(from, to, problem_.radius_mm);
    work_.spend(1);
    if (!c || std::max(c->first_bend_rad, c->second_bend_rad) > problem_.rules.most_bend_rad) return;
    if (!is_free(room_, pieces_of(*c, from, to, problem_.radius_mm), {false, kSeedOverlap_mm})) return;
    Bends bends = bends_of(*c, from, to, problem_.radius_mm);
    if (bends.size() == 2) try_bends(bends);
  }

  void try_bends(const Bends& bends) { try_bends(bends, work_); }

  void try_bends(const Bends& bends, Work& work) {
    take(polish_until_it_holds(problem_, room_, bends, std::nullopt, work), work);
  }

  void take(PolishOutcome outcome, Work& work) {
    keep_nearer(outcome.nearest, nearest_);
    if (!outcome.run) return;
    drop_bends(problem_, room_, outcome, std::nullopt, work);
    if (!best_ || cost_of(problem_, outcome) < cost_of(problem_, *best_)) best_ = std::move(outcome);
  }

  void more_bends() {
    if (!nearest_ || nearest_->check.margin.sampled_mm < -kWorthMoreBends_mm) return;
    Work share = work_.share(kShareOfMoreBends);
    PolishOutcome more = add_bends(problem_, room_, *nearest_, share);
    work_.spend(share.used());
    take(std::move(more), work_);
  }

  // A near miss may sit in a dip of its own beside a run that holds: its bends are thrown off a little and
  // polished again.
  enum class After : std::uint64_t { passage = 1000, everything = 1100 };  // dice of their own
  void throw_off_the_nearest(After after) {
    if (!nearest_ || nearest_->check.margin.sampled_mm < -kWorthAThrow_mm) return;
    Work share = work_.share(kShareOfThrows);
    for (std::uint64_t n = 0; n < kMostThrows && !best_ && !share.spent(); ++n)
      try_bends(thrown(nearest_->bends, Dice(seed_, static_cast<std::uint64_t>(after) + n)), share);
    work_.spend(share.used());
  }

  // The first and the last stay on the lines of the necks.
  Bends thrown(Bends bends, Dice dice) const {
    const double reach = kThrow_radii * problem_.radius_mm;
    const auto off = [&] { return dice.between(-reach, reach); };
    for (std::size_t i = 1; i + 1 < bends.size(); ++i)
      for (int axis = 0; axis < 3; ++axis) bends[i][axis] += off();
    bends.front() += off() * problem_.start.along;
    bends.back() += off() * problem_.goal.along;
    return bends;
  }

  void over_lattice() {
    for (const LatticeOptions& options : kLattices) {
      Work share = work_.share(kShareOfALattice);
      const std::optional<Way> way = lattice_way(problem_, room_, options, share);
      work_.spend(share.used());
      if (way) try_way(*way, options.look);
      if (best_) return;
    }
  }

  void look_closer_at_the_nearest() {
    PolishOutcome outcome = settle_in_the_middle(problem_, room_, nearest_->bends, std::nullopt, work_);
    keep_nearer(outcome.nearest, nearest_);
    if (outcome.run) best_ = std::move(outcome);
  }

  void try_way(const Way& way, const Look& look) {
    const std::optional<Bends> bends = shortcut(problem_, room_, way, look, problem_.rules.most_bends, work_);
    if (bends && bends->size() >= 2) try_bends(*bends);
  }

  void ways_round() {
    through_passage();
    if (closed_) return;
    if (!best_) more_bends();
    if (!best_) throw_off_the_nearest(After::passage);
    if (!best_) over_lattice();
    for (std::uint64_t task = 0; task < kMostTrees && !work_.spent();) {
      const TreeOptions& options = kTrees[task % kTrees.size()];
      Work share = best_ ? work_.share(kShareOfASecondWay) : work_.share(kShareOfATree, kLeastOfATree);
      const std::optional<Way> way = grow_trees(problem_, room_, options, Dice(seed_, ++task), share);
      work_.spend(share.used());
      if (way) try_way(*way, options.look);
      // One tree besides the passage, or a second tree, to choose from; then the first that holds will do.
      if (best_ && task >= 2) return;
      if (best_ && had_passage_) return;
    }
  }

  void through_passage() {
    const Vec3 from = start_of_run(problem_).at_mm, to = end_of_run(problem_).at_mm;
    const double longest =
        problem_.rules.most_length_mm - problem_.rules.lead_from_mm - problem_.rules.lead_to_mm;
    const Passage passage =
        find_passage(room_, from, to, kPassageCell_mm, longest, Crossing::forbidden, kPassageCells);
    work_.spend(passage.cells / kCellsPerUnit);
    closed_ = passage.answer == PassageAnswer::closed;
    if (passage.answer != PassageAnswer::open || passage.way.size() < 2) return;
    // Points of the passage as intersection points, few first: legs too short for their bends hold a polish
    // up.
    std::size_t tried = 0;
    for (std::size_t most = 3; most <= static_cast<std::size_t>(problem_.rules.most_bends) && !best_;
         ++most) {
      const Bends bends = bends_along(problem_, passage, most);
      if (bends.size() != tried) try_bends(grow_into_radius(problem_, room_, bends, work_));
      tried = bends.size();
    }
    if (!best_) try_way(way_of(problem_, passage), {true, 5.0});
    had_passage_ = best_.has_value();
  }

  const RunProblem& problem_;
  const Room& room_;
  RunSeed seed_;
  Work& work_;
  std::optional<PolishOutcome> best_;
  std::optional<NearMiss> nearest_;
  bool had_passage_ = false, closed_ = false;
};

// A slight detour in the middle of the longest leg gives a run room to take up length.
std::vector<Bends> with_slack(const RunProblem& problem, const Bends& bends) {
  std::vector<Bends> out{bends};
  if (bends.size() < 2 || bends.size() > 3) return out;
  const Vec3 along = (bends[1] - bends[0]).normalized();
  const Vec3 side = any_perpendicular(along), other_side = along.cross(side);
  for (const Vec3& off : {side, Vec3(-side), other_side, Vec3(-other_side)}) {
    Bends more = bends;
    more.insert(more.begin() + 1, (bends[0] + bends[1]) / 2 + 0.5 * problem.radius_mm * off);
    out.push_back(std::move(more));
  }
  return out;
}

// Brings a run that holds to a length on sale: the nearest ones above it, since it is about as short as can
// be.
void fit_length(const RunProblem& problem, const Room& room, RunSearch& found, Work& work) {
  const double length = length_mm(found.run->centreline);
  if (problem.rules.windows.empty() || window_of(problem.rules, length)) return;
  int tried = 0;
  for (const LengthWindow& window : problem.rules.windows) {
    if (window.most_mm < length || tried++ >= kWindowsTried) continue;
    for (const Bends& bends : with_slack(problem, found.bends)) {
      PolishOutcome outcome = polish_until_it_holds(problem, room, bends, window, work);
      keep_nearer(outcome.nearest, found.nearest);
      if (!outcome.run) continue;
      found.run = outcome.run;
      found.bends = outcome.bends;
      return;
    }
  }
  found.run.reset();
  found.passage_without_length = true;
}

}  // namespace

RunSearch find_run(const RunProblem& problem, const Room& room, RunSeed seed, Work& work) {
  RunProblem any_length = problem;
  any_length.rules.windows.clear();
  RunSearch found = RunFinder(any_length, room, seed, work).search();
  if (found.run) fit_length(problem, room, found, work);
  return found;
}

void widen_bends(const RunProblem& problem, const Room& room, std::span<const double> radii_mm,
                 RunSearch& found, Work& work) {
  if (found.bends.size() < 2) return;
  for (const double radius : radii_mm) {
    RunProblem wider = problem;
    wider.radius_mm = radius;
    const LengthWindow* window = window_of(problem.rules, length_mm(found.run->centreline));
    const PolishOutcome outcome = polish_until_it_holds(
        wider, room, found.bends, window ? std::optional<LengthWindow>(*window) : std::nullopt, work);
    if (!outcome.run) return;
    const double margin_wanted = std::min(found.run->margin.sampled_mm - 0.05, 0.6 * problem.reserve_mm);
    if (outcome.run->margin.sampled_mm < margin_wanted) return;
    if (length_mm(outcome.run->centreline) > length_mm(found.run->centreline) + 0.2 * radius) return;
    found.run = outcome.run;
    found.bends = outcome.bends;
  }
}

}  // namespace hosefit
