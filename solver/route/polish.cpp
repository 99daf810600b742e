// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/polish.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <utility>

#include "solver/route/run_shape.h"

namespace hosefit {
namespace {

constexpr double kPenalty = 3.0;  // per squared mm of shortfall, against 1 per mm of length
constexpr double kBand_mm =
    6.0;  // contacts this far above the aim are watched: about a quarter of the longest step
constexpr double kLongestStep_mm = 25.0;      // beyond it the contacts of the last look mean nothing
constexpr double kWorthACloserLook_mm = 3.0;  // short by more, a run seldom comes to hold
constexpr int kRoundsToProgress =
    6;  // in so many rounds what is short by more must have come down to this share
constexpr double kProgress = 0.75;
constexpr double kLeastMarginGain_mm = 0.004;  // a round of the free aim that gains less is idle
constexpr std::size_t kContactsPerSample = 4;
constexpr std::size_t kContactsKept = 240;
constexpr double kSameDirection = 0.7;  // cosine

struct ContactRow {
  RunStation at;
  Vec3 place_mm, away;
  double margin = 0;
};

struct KeptContact {
  Vec3 point_mm;
  double keep_off_mm = 0;
};

class Polisher {
 public:
  Polisher(const RunProblem& problem, const Room& room, const PolishGoal& goal, Work& work)
      : problem_(problem), room_(room), goal_(goal), work_(work) {}

  Polished run(Bends bends) {
    State state = look(std::move(bends), problem_.reserve_mm);
    if (aim_is_free()) aim_at(state, std::min(state.least_margin, problem_.reserve_mm));
    double damping = 0.1;
    int idle = 0;
    double before = shortfall(state);
    for (int round = 0; round < goal_.rounds && idle < 2 && damping < 1e6 && !work_.spent(); ++round) {
      const Eigen::VectorXd step = step_from(state, damping);
      State next = look(moved(state.bends, step), state.aim + (aim_is_free() ? step[step.size() - 1] : 0.0));
      if (next.cost < state.cost) {
        idle = state.cost - next.cost < least_gain(state) ? idle + 1 : 0;
        state = std::move(next);
        damping *= 0.25;
      } else {
        damping *= 8;
      }
      if (round % kRoundsToProgress != kRoundsToProgress - 1) continue;
      const double now = shortfall(state);
      if (now > problem_.reserve_mm + kWorthACloserLook_mm && now > kProgress * before) break;
      before = now;
    }
    return {state.bends, shortfall(state), state.broken};
  }

 private:
  struct State {
    Bends bends;
    RunShape shape;
    std::vector<double> rules;
    std::vector<ContactRow> contacts;
    std::vector<double> least_margins;  // of the samples, where a contact is watched
    double aim = 0;                     // margin wanted
    double cost = 0, broken = 0, least_margin = 0;
  };

  double shortfall(const State& s) const { return std::max(s.broken, problem_.reserve_mm - s.least_margin); }
  bool aim_is_free() const { return goal_.margin_weight > 0; }
  std::size_t unknowns(const Bends& bends) const {
    return 2 + 3 * (bends.size() - 2) + (aim_is_free() ? 1 : 0);
  }

  // A round that gains less than this is idle.
  double least_gain(const State& s) const {
    return aim_is_free() ? kLeastMarginGain_mm * goal_.margin_weight
                         : 3e-4 * s.shape.length * std::max(goal_.length_weight, 0.05);
  }

  void aim_at(State& s, double aim) const {
    s.aim = aim;
    s.cost = goal_.length_weight * s.shape.length - goal_.margin_weight * aim;
    const auto add = [&](double shortfall) {
      if (shortfall > 0) s.cost += kPenalty * shortfall * shortfall;
    };
    for (const double r : s.rules) add(r);
    // Costs count only the nearest contact of a sample: kept ones guide the step but come and go between
    // rounds.
    for (const double margin : s.least_margins) add(aim - margin);
    if (aim_is_free()) add(aim - problem_.reserve_mm);
  }

  Bends moved(Bends bends, const Eigen::VectorXd& step) const {
    bends.front() += step[0] * problem_.start.along;
    for (std::size_t i = 1; i + 1 < bends.size(); ++i)
      bends[i] += step.segment<3>(static_cast<Eigen::Index>(1 + 3 * (i - 1)));
    const auto last = static_cast<Eigen::Index>(3 * (bends.size() - 2) + 1);
    bends.back() += step[last] * problem_.goal.along;
    return bends;
  }

  State look(Bends bends, double aim) {
    State s;
    s.bends = std::move(bends);
    s.shape = shape_of(problem_, s.bends);
    s.rules = rule_shortfalls(problem_, s.shape, goal_.rule_reserve_mm, goal_.window);
    for (const double r : s.rules) s.broken = std::max(s.broken, r);
    s.least_margin = problem_.reserve_mm + kBand_mm;
    const std::vector<RunStation> all = stations(problem_, s.shape, goal_.sample_step_mm);
    for (const RunStation& at : all) look_around(s, at);
    work_.spend(1 + static_cast<std::int64_t>(all.size() / 10));
    aim_at(s, aim);
    return s;
  }

  // The obstacle points that matter at one sample: the nearest now, then kept ones in other directions.
  void look_around(State& s, const RunStation& at) {
    const double watch_below = problem_.reserve_mm + kBand_mm;
    const Vec3 p = place(problem_, s.shape, at);
    const std::size_t first_row = s.contacts.size();
    if (room_.estimate_mm(p) < watch_below + kBand_mm) {
      const Room::Contact now = room_.contact(p, watch_below);
      if (now.margin_mm < watch_below) {
        s.contacts.push_back({at, p, now.away, now.margin_mm});
        s.least_margins.push_back(now.margin_mm);
        s.least_margin = std::min(s.least_margin, now.margin_mm);
        if (now.lasting) keep({now.nearest_mm, now.keep_off_mm});
      }
    }
    if (s.contacts.size() > first_row) add_kept(s, first_row, at, p, watch_below);
  }

  // The nearest of the kept obstacle points that lie in directions of their own, one after another.
  void add_kept(State& s, std::size_t first_row, const RunStation& at, const Vec3& p, double watch_below) {
    watched_.clear();
    for (const KeptContact& kept : kept_) {
      const Vec3 from = p - kept.point_mm;
      const double reach = watch_below + kept.keep_off_mm + 1e-6, d2 = from.squaredNorm();
      if (d2 > reach * reach) continue;
      const double distance = std::sqrt(d2), margin = distance - kept.keep_off_mm;
      if (distance >= 1e-6 && margin <= watch_below) watched_.push_back({at, p, from / distance, margin});
    }
    while (s.contacts.size() - first_row < kContactsPerSample) {
      const Vec3 taken = s.contacts.back().away;
      std::erase_if(watched_, [&](const ContactRow& row) { return !(row.away.dot(taken) < kSameDirection); });
      const auto nearest = std::min_element(watched_.begin(), watched_.end(),
                                            [](const auto& a, const auto& b) { return a.margin < b.margin; });
      if (nearest == watched_.end()) return;
      s.contacts.push_back(*nearest);
    }
  }

  void keep(const KeptContact& contact) {
    if (kept_.size() < kContactsKept) {
      kept_.push_back(contact);
    } else {
      kept_[next_kept_++ % kContactsKept] = contact;
    }
  }

  // Least of: length + penalty on the shortfalls as they change to first order + damping, with the rows that
  // would still be short after the step (a few rounds settle which).
  Eigen::VectorXd step_from(const State& s, double damping) const {
    const auto n = static_cast<Eigen::Index>(unknowns(s.bends));
    const auto rules = static_cast<Eigen::Index>(s.rules.size());
    const auto contacts_end = rules + static_cast<Eigen::Index>(s.contacts.size());
    const Eigen::Index rows = contacts_end + (aim_is_free() ? 1 : 0);
    Eigen::MatrixXd jacobian(rows, n);
    Eigen::VectorXd short_now(rows), length_slope(n);
    for (Eigen::Index i = 0; i < rules; ++i) short_now[i] = s.rules[static_cast<std::size_t>(i)];
    for (Eigen::Index i = rules; i < contacts_end; ++i)
      short_now[i] = s.aim - s.contacts[static_cast<std::size_t>(i - rules)].margin;
    const Eigen::Index moves = aim_is_free() ? n - 1 : n;
    for (Eigen::Index j = 0; j < moves; ++j) fill_column(s, j, n, jacobian, length_slope);
    if (aim_is_free()) {
      jacobian.row(contacts_end).setZero();
      jacobian.col(moves).setZero();
      jacobian.col(moves).tail(rows - rules).setOnes();
      short_now[contacts_end] = s.aim - problem_.reserve_mm;
      length_slope[moves] = 0;
    }

    Eigen::VectorXd step = Eigen::VectorXd::Zero(n);
    for (int settle = 0; settle < 4; ++settle) {
      const Eigen::VectorXd short_then = short_now + jacobian * step;
      Eigen::MatrixXd normal = damping * Eigen::MatrixXd::Identity(n, n);
      Eigen::VectorXd pull = -goal_.length_weight * length_slope;
      if (aim_is_free()) pull[n - 1] += goal_.margin_weight;
      for (Eigen::Index i = 0; i < rows; ++i) {
        if (short_then[i] <= 0) continue;
        const Eigen::VectorXd row = jacobian.row(i).transpose();
        normal += 2 * kPenalty * row * row.transpose();
        pull -= 2 * kPenalty * short_now[i] * row;
      }
      step = normal.ldlt().solve(pull);
      const double longest = step.cwiseAbs().maxCoeff();
      if (longest > kLongestStep_mm) step *= kLongestStep_mm / longest;
    }
    return step;
  }

  void fill_column(const State& s, Eigen::Index j, Eigen::Index n, Eigen::MatrixXd& jacobian,
                   Eigen::VectorXd& length_slope) const {
    constexpr double h = 1e-3;
    Eigen::VectorXd nudge = Eigen::VectorXd::Zero(n);
    nudge[j] = h;
    const RunShape shape = shape_of(problem_, moved(s.bends, nudge));
    const std::vector<double> rules = rule_shortfalls(problem_, shape, goal_.rule_reserve_mm, goal_.window);
    length_slope[j] = (shape.length - s.shape.length) / h;
    for (std::size_t i = 0; i < rules.size(); ++i)
      jacobian(static_cast<Eigen::Index>(i), j) = (rules[i] - s.rules[i]) / h;
    for (std::size_t i = 0; i < s.contacts.size(); ++i) {
      const ContactRow& row = s.contacts[i];
      jacobian(static_cast<Eigen::Index>(rules.size() + i), j) =
          -row.away.dot(place(problem_, shape, row.at) - row.place_mm) / h;
    }
  }

  const RunProblem& problem_;
  const Room& room_;
  const PolishGoal& goal_;
  Work& work_;
  std::vector<KeptContact> kept_;
  std::vector<ContactRow> watched_;  // of one sample, kept to spare allocations
  std::size_t next_kept_ = 0;
};

bool good_enough(const RunProblem& problem, const RunCheck& check) {
  return check.breach == Breach::none && check.margin.sampled_mm >= 0.6 * problem.reserve_mm;
}

void note(const RunCheck& check, const Bends& bends, PolishOutcome& outcome) {
  if (check.breach == Breach::none) {
    if (!outcome.run || check.margin.sampled_mm > outcome.run->margin.sampled_mm) {
      outcome.run = check;
      outcome.bends = bends;
    }
  } else if (check.breach == Breach::gap) {
    keep_nearer(NearMiss{check, bends}, outcome.nearest);
  }
}

// The largest share of the radius at which every leg is long enough for its bends and no bend is too far.
double share_of_radius_with_room(const RunProblem& problem, const Bends& bends) {
  const RunShape shape = shape_of(problem, bends);
  double share = 1;
  for (std::size_t i = 0; i < shape.straights.size(); ++i) {
    const double tangents =
        (i > 0 ? shape.bends[i - 1].tangent : 0) + (i < shape.bends.size() ? shape.bends[i].tangent : 0);
    const double lead = i == 0                            ? problem.rules.lead_from_mm
                        : i + 1 == shape.straights.size() ? problem.rules.lead_to_mm
                                                          : problem.rules.straight_between_mm;
    const double room = shape.straights[i] + tangents - lead;
    if (tangents > room) share = std::min(share, std::max(room, 0.0) / tangents);
  }
  return share;
}

PolishGoal length_first(const std::optional<LengthWindow>& window) {
  return {1.0, 6.0, 20, window};
}
PolishGoal clearance_first(const std::optional<LengthWindow>& window) {
  return {0.02, 6.0, 25, window, 0.5, 0.1};
}
constexpr double kRoomEnough = 0.9, kLeastShareOfRadius = 0.15, kGrowth = 1.4;
const PolishGoal kWhileGrowing{0.1, 10.0, 8, std::nullopt, 0.5, 0.3};
PolishGoal clearance_alone(const std::optional<LengthWindow>& window) {
  return {0.0005, 2.0, 40, window, 0.05, 0.02};
}

}  // namespace

Polished polish(const RunProblem& problem, const Room& room, Bends bends, const PolishGoal& goal,
                Work& work) {
  if (bends.size() < 2) return {std::move(bends), 0.0};
  return Polisher(problem, room, goal, work).run(std::move(bends));
}

PolishOutcome polish_until_it_holds(const RunProblem& problem, const Room& room, const Bends& bends,
                                    const std::optional<LengthWindow>& window, Work& work,
                                    Patience patience) {
  PolishOutcome outcome;
  const RunCheck as_is = check_run(problem, room, bends);
  note(as_is, bends, outcome);
  work.spend(1 + as_is.margin.queries / 10);
  // Two bends from one lead to the other are as short as can be.
  const bool shortest = bends.size() <= 2 && !window;
  if (bends.size() < 2 || (shortest && good_enough(problem, as_is))) return outcome;
  Bends at = bends;
  for (const PolishGoal& goal : {length_first(window), clearance_first(window)}) {
    Polished polished = polish(problem, room, at, goal, work);
    const RunCheck check = check_run(problem, room, polished.bends);
    work.spend(1 + check.margin.queries / 10);
    note(check, polished.bends, outcome);
    if (good_enough(problem, check)) {
      outcome.run = check;
      outcome.bends = polished.bends;
      return outcome;
    }
    at = std::move(polished.bends);
    if (work.spent()) return outcome;
    const bool to_the_end = goal.margin_weight > 0 || patience == Patience::little;
    if (to_the_end && polished.shortfall_mm > problem.reserve_mm + kWorthACloserLook_mm) return outcome;
  }
  if (outcome.run || patience == Patience::little) return outcome;
  const PolishOutcome closer = settle_in_the_middle(problem, room, at, window, work);
  keep_nearer(closer.nearest, outcome.nearest);
  outcome.run = closer.run;
  outcome.bends = closer.bends;
  return outcome;
}

Bends grow_into_radius(const RunProblem& problem, const Room& room, Bends bends, Work& work) {
  if (bends.size() < 2) return bends;
  double share = share_of_radius_with_room(problem, bends);
  if (share > kRoomEnough) return bends;
  RunProblem smaller = problem;
  for (share = std::max(share, kLeastShareOfRadius); share < 1 && !work.spent(); share *= kGrowth) {
    smaller.radius_mm = share * problem.radius_mm;
    bends = polish(smaller, room, std::move(bends), kWhileGrowing, work).bends;
  }
  return bends;
}

PolishOutcome settle_in_the_middle(const RunProblem& problem, const Room& room, const Bends& bends,
                                   const std::optional<LengthWindow>& window, Work& work) {
  PolishOutcome outcome;
  const Polished polished = polish(problem, room, bends, clearance_alone(window), work);
  const RunCheck check = check_run(problem, room, polished.bends);
  work.spend(1 + check.margin.queries / 10);
  note(check, polished.bends, outcome);
  return outcome;
}

void keep_nearer(const std::optional<NearMiss>& tried, std::optional<NearMiss>& nearest) {
  if (tried && (!nearest || tried->check.margin.sampled_mm > nearest->check.margin.sampled_mm))
    nearest = tried;
}

}  // namespace hosefit
