// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/tee_places.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <set>

#include "solver/decide/part_gaps.h"
#include "solver/decide/tee_findings.h"
#include "solver/verify/tube.h"

namespace hosefit {
namespace {

constexpr double kLittleWork_share = 0.125;  // of a make's budget, in the first round
constexpr std::int64_t kTeeWork = 100;       // times the budget of a make, over all places of one candidate
constexpr std::size_t kNearest = 16;         // places that are tried first, and then with all work
constexpr std::size_t kSpread = 32;          // of the others, spread over them all
constexpr int kMostJudged = 4;  // places that are proved in full; each takes as long as a candidate

struct Stretch {
  double from_mm = 0, to_mm = 0;
};

Stretch range_of(const Tee& tee, double whole_mm) {
  if (!tee.within) return {0, whole_mm};
  const double least = tee.within->least.mm(), most = tee.within->most.mm();
  return tee.within->from_start ? Stretch{least, most} : Stretch{whole_mm - most, whole_mm - least};
}

// Both ends, the middle, and every step between.
std::vector<double> steps_over(const Stretch& stretch) {
  constexpr double kRounding_mm = 1e-9;
  if (stretch.to_mm < stretch.from_mm - kRounding_mm) return {};
  std::vector<double> out;
  for (int k = 0; stretch.from_mm + k * kTeeStep_mm < stretch.to_mm - kRounding_mm; ++k)
    out.push_back(stretch.from_mm + k * kTeeStep_mm);
  out.push_back(std::max(stretch.from_mm, stretch.to_mm));
  const double middle = (stretch.from_mm + stretch.to_mm) / 2;
  if (std::none_of(out.begin(), out.end(), [&](double s) { return std::abs(s - middle) <= kRounding_mm; }))
    out.push_back(middle);
  return out;
}

double left_between_mm(const Tee& tee, const TeeStand& stand, const PlacedNeck& other) {
  const Pose pose = tee_pose(stand);
  const Vec3 ahead = pose.point({tee.branch_off_axis.mm() + kTeeLook_mm, 0, 0});
  return (other.end_mm + kTeeLook_mm * other.outward - ahead).norm();
}

// The nearest, then of the others some that lie all over them: neighbours mostly fail alike.
std::vector<TeeStand> nearest_and_spread(const std::vector<TeeStand>& all) {
  constexpr double kGolden = 0.6180339887498949;
  std::vector<TeeStand> out(all.begin(),
                            all.begin() + static_cast<std::ptrdiff_t>(std::min(all.size(), kNearest)));
  if (all.size() <= kNearest) return out;
  const std::size_t rest = all.size() - kNearest;
  std::set<std::size_t> taken;
  for (std::size_t k = 1; k <= kSpread; ++k) {
    const double turns = static_cast<double>(k) * kGolden;
    taken.insert(static_cast<std::size_t>((turns - std::floor(turns)) * static_cast<double>(rest)));
  }
  for (const std::size_t i : taken) out.push_back(all[kNearest + i]);
  return out;
}

std::int64_t work_of(const LineSearch& search) {
  return std::accumulate(
      search.attempts.begin(), search.attempts.end(), std::int64_t{0},
      [](std::int64_t sum, const MakeAttempt& attempt) { return sum + attempt.work_units; });
}

// Why no place counts, and how many were tried.
struct NoPlace {
  std::string reason;
  int tried = 0;
};

class TeePlacer {
 public:
  TeePlacer(const Prepared& prepared, Candidate candidate, const Budget& budget, const std::stop_token& stop,
            const JudgeRouted& judge)
      : prepared_(prepared),
        tee_(*prepared.job().vehicle.tee),
        base_(std::move(candidate)),
        budget_(budget),
        stop_(stop),
        judge_(judge) {}

  Judgement place() {
    lay_others();
    Judgement none = judge_(base_, laid_);
    if (none.result.verdict.fit == Fit::does_not_fit || stop_.stop_requested()) return none;
    if (std::optional<Judgement> found = somewhere()) return *std::move(found);
    if (!nearest_.empty()) none = judge_(base_, with_what_was_tried());
    for (Finding& finding : none.result.findings) {
      if (finding.rule != RuleId::tee_not_placed) continue;
      finding.parameters["reason"] = no_place_.reason;
      if (no_place_.tried > 0) finding.parameters["tried"] = std::to_string(no_place_.tried);
    }
    return none;
  }

 private:
  RouteOptions options(std::int64_t work_units) const {
    RouteOptions out;
    out.seed = budget_.seed;
    out.work_units_per_make = work_units;
    return out;
  }

  // The line whole and those that have nothing to do with the tee; what is said against these stands, the tee
  // is not there.
  void lay_others() {
    const Bay bay = assemble(prepared_.job(), prepared_.bodies(), base_);
    laid_.resize(bay.lines.size());
    for (std::size_t i = 0; i < laid_.size(); ++i) laid_[i].line = i;
    const BayWithLineWhole whole = with_line_whole(prepared_.job(), bay);
    std::vector<LineSearch> searches = search_lines(prepared_, whole.bay, budget_, stop_);
    for (LineSearch& search : searches) {
      const std::size_t line = whole.line_of[search.line];
      if (line == tee_.before) {
        whole_ = search.route;
        // Told as what was tried for the line; that it has no way whole is no argument: its parts may be of
        // other stock, and the tee is thinner than hose.
        laid_[line].attempts = std::move(search.attempts);
        if (!search.route) laid_[line].nearest_miss = std::move(search.nearest_miss);
        continue;
      }
      search.line = line;
      if (search.route) search.route->line = line;
      for (Route& route : search.alternatives) route.line = line;
      laid_[line] = std::move(search);
    }
  }

  std::optional<Judgement> somewhere() {
    const Stock* stock = whole_ ? stock_of(*whole_, prepared_.job().stock) : nullptr;
    if (stock == nullptr) return none("line_not_found");
    const Bay bay = assemble(prepared_.job(), prepared_.bodies(), base_);
    const BayLine& at_branch = bay.lines[tee_.branch_line];
    const bool starts = at_branch.from >= bay.tee->neck;
    const std::vector<TeeStand> all =
        tee_stands(tee_, *whole_, *stock, bay.necks[starts ? at_branch.to : at_branch.from]);
    if (all.empty()) return none("no_straight");
    const std::vector<TeeStand> stands = nearest_and_spread(all);
    left_ = kTeeWork * budget_.work_units_per_make;
    no_place_ = {"none_counts", static_cast<int>(stands.size())};
    const auto little =
        static_cast<std::int64_t>(kLittleWork_share * static_cast<double>(budget_.work_units_per_make));
    for (const TeeStand& stand : stands)
      if (at(stand, little)) return std::move(best_);
    for (std::size_t i = 0; i < std::min(stands.size(), kNearest) && !best_; ++i)
      if (at(stands[i], budget_.work_units_per_make)) return std::move(best_);
    return std::move(best_);
  }

  std::optional<Judgement> none(std::string reason) {
    no_place_ = {std::move(reason), 0};
    return std::nullopt;
  }

  bool has_room(const Bay& bay) const {
    std::vector<std::pair<std::size_t, std::size_t>> pairs = part_pairs(bay);
    std::erase_if(
        pairs, [&](const auto& pair) { return pair.first != bay.tee->body && pair.second != bay.tee->body; });
    const auto gaps = part_gaps(bay, prepared_.proofs(), prepared_.job().gaps, pairs);
    return std::none_of(gaps.begin(), gaps.end(), falls_short);
  }

  // Nothing is said against the lines at the tee but what was in the way at the first place that was tried.
  std::vector<LineSearch> with_what_was_tried() const {
    std::vector<LineSearch> out = laid_;
    for (const std::size_t line : lines_at_tee()) {
      out[line].attempts = nearest_[line].attempts;
      // The tee itself is not in the bay that this is told of.
      const std::optional<Obstruction>& miss = nearest_[line].nearest_miss;
      if (miss && !(miss->ref && goes_with_a_neck(*miss->ref))) out[line].nearest_miss = miss;
    }
    return out;
  }

  std::array<std::size_t, 3> lines_at_tee() const { return {tee_.before, tee_.after, tee_.branch_line}; }

  bool holds_at_rest(const Bay& bay, const Candidate& candidate,
                     const std::vector<LineSearch>& searches) const {
    const Job& job = prepared_.job();
    std::vector<Route> routes;
    for (const LineSearch& search : searches)
      if (search.route) routes.push_back(*search.route);
    const auto findings = tee_findings(job, bay, candidate, routes);
    if (std::any_of(findings.begin(), findings.end(), [](const Finding& f) {
          return f.severity == Severity::stop && f.rule != RuleId::tee_in_motion;
        }))
      return false;
    const ProofBodies bodies(bay, prepared_.proofs());
    const ProofReport proof = prove(bay, bodies, routes, job.gaps, job.stock, ProofOptions{});
    const auto at_tee = lines_at_tee();
    return std::all_of(proof.lines.begin(), proof.lines.end(), [&](const LineProof& line) {
      return line.proved || std::find(at_tee.begin(), at_tee.end(), line.line) == at_tee.end();
    });
  }

  // True when nothing better is to be looked for.
  bool at(const TeeStand& stand, std::int64_t work) {
    if (stop_.stop_requested() || left_ <= 0 || judged_ >= kMostJudged) return best_.has_value();
    const Job& job = prepared_.job();
    Candidate candidate = base_;
    candidate.tees = {stand};
    const Bay bay = assemble(job, prepared_.bodies(), candidate);
    --left_;
    if (!has_room(bay)) return false;
    const auto again = lines_at_tee();
    std::vector<LineSearch> known = laid_;
    for (const std::size_t line : again) {
      known[line] = LineSearch{};
      known[line].line = line;
    }
    const std::vector<LineWish> wishes(bay.lines.size());
    std::vector<LineSearch> searches = route_again(bay, prepared_.fields(), job.gaps, job.stock,
                                                   options(work), std::move(known), wishes, again, stop_);
    for (const std::size_t line : again) left_ -= work_of(searches[line]);
    if (nearest_.empty()) nearest_ = searches;
    const bool found = std::all_of(again.begin(), again.end(),
                                   [&](std::size_t line) { return searches[line].route.has_value(); });
    if (!found || stop_.stop_requested() || !holds_at_rest(bay, candidate, searches)) return false;
    ++judged_;
    Judgement judgement = judge_(candidate, std::move(searches));
    const bool fits = judgement.result.verdict.fit == Fit::fits;
    if (!best_ || fits || open(judgement) < open(*best_)) best_ = std::move(judgement);
    return fits || bay.tee->floats;
  }

  // Lines that are not proved, at rest or in motion.
  static std::ptrdiff_t open(const Judgement& judgement) {
    const CandidateResult& result = judgement.result;
    std::ptrdiff_t proved = 0;
    for (std::size_t i = 0; i < result.routes.size(); ++i)
      if (result.proof.lines[i].proved && (!result.motion || result.motion->lines[i].proved)) ++proved;
    return static_cast<std::ptrdiff_t>(judgement.bay->lines.size()) - proved;
  }

  const Prepared& prepared_;
  const Tee& tee_;
  const Candidate base_;
  const Budget& budget_;
  const std::stop_token& stop_;
  const JudgeRouted& judge_;
  std::vector<LineSearch> laid_;  // beside the lines of the bay with the tee
  std::optional<Route> whole_;
  std::optional<Judgement> best_;
  std::vector<LineSearch> nearest_;  // of the first place with room
  NoPlace no_place_;
  std::int64_t left_ = 0;
  int judged_ = 0;
};

}  // namespace

BayWithLineWhole with_line_whole(const Job& job, const Bay& bay) {
  const PlacedTee& tee = *bay.tee;
  BayWithLineWhole out{bay, {}};
  out.bay.lines.clear();
  for (std::size_t i = 0; i < bay.lines.size(); ++i) {
    if (i == tee.after || i == tee.branch_line) continue;
    out.bay.lines.push_back(bay.lines[i]);
    out.line_of.push_back(i);
    if (i != tee.before) continue;
    BayLine& whole = out.bay.lines.back();
    whole.line = job.vehicle.tee->whole;
    whole.to = bay.lines[tee.after].to;
    const Carrier from = bay.necks[whole.from].carrier, to = bay.necks[whole.to].carrier;
    whole.carrier = from != to                 ? LineCarrier::both
                    : from == Carrier::chassis ? LineCarrier::chassis
                                               : LineCarrier::engine;
  }
  return out;
}

std::vector<TeeStand> tee_stands(const Tee& tee, const Route& whole, const Stock& stock,
                                 const PlacedNeck& other_end) {
  const Stretch range = range_of(tee, length_mm(whole.centreline));
  const double room_mm = half_run_mm(tee) + least_lead_mm(stock, tee.run.outside_diameter);
  const std::vector<Angle> clocks = clocks_of(tee);
  std::vector<TeeStand> out;
  double from_mm = 0;
  for (const Piece& piece : whole.centreline.pieces) {
    const double start_mm = from_mm;
    from_mm += length_mm(piece);
    if (!std::holds_alternative<Straight>(piece)) continue;
    const Stretch free{std::max(start_mm + room_mm, range.from_mm), std::min(from_mm - room_mm, range.to_mm)};
    for (const double s_mm : steps_over(free))
      for (const Angle clock : clocks)
        out.push_back({point_at(piece, s_mm - start_mm), direction_at(piece, s_mm - start_mm), clock});
  }
  std::vector<std::pair<double, std::size_t>> order;
  for (std::size_t i = 0; i < out.size(); ++i) order.emplace_back(left_between_mm(tee, out[i], other_end), i);
  std::sort(order.begin(), order.end());
  std::vector<TeeStand> sorted;
  sorted.reserve(out.size());
  for (const auto& [left_mm, i] : order) sorted.push_back(out[i]);
  return sorted;
}

Judgement judge_with_tee(const Prepared& prepared, Candidate candidate, const Budget& budget,
                         const std::stop_token& stop, const JudgeRouted& judge) {
  candidate.tees.clear();
  return TeePlacer(prepared, std::move(candidate), budget, stop, judge).place();
}

}  // namespace hosefit
