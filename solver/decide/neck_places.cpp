// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/neck_places.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <span>

#include "solver/decide/part_gaps.h"
#include "solver/decide/verdict_rules.h"
#include "solver/model/bolts_together.h"
#include "solver/model/inside.h"

namespace hosefit {
namespace {

constexpr double kLittleWork_share = 0.125;  // of a make's budget, in the first round
constexpr double kSameStraight_mm = 0.05;
constexpr std::size_t kSpread = 24;  // places that are tried before the others
constexpr int kMostJudged =
    12;  // places of one line that are proved in full; each takes as long as a candidate

// The vehicle's necks come first in a bay, in their order.
std::vector<std::size_t> chosen_of(const Prepared& prepared, const BayLine& line) {
  const std::vector<ChosenNeck>& all = prepared.bodies().chosen_necks();
  std::vector<std::size_t> which;
  for (std::size_t i = 0; i < all.size(); ++i)
    if (all[i].neck == line.from || all[i].neck == line.to) which.push_back(i);
  return which;
}

double moved_mm(const BodyStore& bodies, const Candidate& candidate) {
  double sum = 0;
  for (std::size_t i = 0; i < bodies.chosen_necks().size(); ++i)
    sum += place_of(bodies.chosen_necks()[i], candidate, i).distance.mm();
  return sum;
}

std::int64_t work_of(const LineSearch& search) {
  return std::accumulate(
      search.attempts.begin(), search.attempts.end(), std::int64_t{0},
      [](std::int64_t sum, const MakeAttempt& attempt) { return sum + attempt.work_units; });
}

RouteOptions options_with(const Budget& budget, std::int64_t work_units) {
  RouteOptions options;
  options.seed = budget.seed;
  options.work_units_per_make = work_units;
  return options;
}

bool is_proved(const CandidateResult& result, std::size_t line) {
  for (std::size_t i = 0; i < result.routes.size(); ++i) {
    if (result.routes[i].line != line) continue;
    return result.proof.lines[i].proved && (!result.motion || result.motion->lines[i].proved);
  }
  return false;
}

std::ptrdiff_t lines_open(const Judgement& judgement) {
  std::ptrdiff_t open = 0;
  for (std::size_t line = 0; line < judgement.bay->lines.size(); ++line)
    if (!is_proved(judgement.result, line)) ++open;
  return open;
}

bool better(const Judgement& now, const Judgement& before) {
  return now.result.lines_tried && now.result.comparison.fit_order <= before.result.comparison.fit_order &&
         lines_open(now) < lines_open(before);
}

// Neighbours mostly fail alike: of many places some that lie all over them come first. Both in their order.
std::vector<Candidate> spread_first(std::vector<Candidate> places) {
  if (places.size() <= kSpread) return places;
  constexpr double kGolden = 0.6180339887498949;
  std::vector<bool> early(places.size(), false);
  for (std::size_t k = 1; k <= kSpread; ++k) {
    const double turns = static_cast<double>(k) * kGolden;
    early[static_cast<std::size_t>((turns - std::floor(turns)) * static_cast<double>(places.size()))] = true;
  }
  std::vector<Candidate> out;
  for (const bool now : {true, false})
    for (std::size_t i = 0; i < places.size(); ++i)
      if (early[i] == now) out.push_back(std::move(places[i]));
  return out;
}

// How far hose can be pushed onto a neck, from its end back along its straight, before the tube goes into a
// part that it grows out of and that stays where it is. Along the tube's middle and eight lines on its
// outside.
double free_straight_mm(const Bay& bay, const PlacedNeck& neck) {
  constexpr int kLines = 8;
  const Pose tube = Pose::from_axes(neck.end_mm, neck.outward, any_perpendicular(neck.outward));
  double free_mm = neck.straight.mm();
  const auto look_back = [&](const Vec3& from_mm) {
    for (const ObstacleRef ref : neck.own_part) {
      if (ref.body == neck.goes_along) continue;
      const Pose& pose = bay.bodies[ref.body].pose;
      const auto hit = first_hit_mm(obstacle(bay, ref), pose.point_inverse(from_mm),
                                    pose.direction_inverse(-neck.outward), free_mm);
      if (hit) free_mm = std::min(free_mm, *hit);
    }
  };
  look_back(neck.end_mm);
  for (int i = 0; i < kLines; ++i) {
    const double turn = 2 * std::numbers::pi * i / kLines;
    const double radius_mm = neck.outside_diameter.mm() / 2;
    look_back(tube.point({radius_mm * std::cos(turn), radius_mm * std::sin(turn), 0}));
  }
  return free_mm;
}

// One line alone, and nothing there of what goes along with necks that are not its own: they may stand
// anywhere.
Bay with_line_alone(Bay bay, std::size_t line) {
  static const auto nothing = std::make_shared<const Body>(Body{"chassis", Carrier::chassis, {}});
  bay.lines = {bay.lines[line]};
  const BayLine& left = bay.lines.front();
  for (std::size_t body = kFirstNeckBody; body < bay.bodies.size(); ++body) {
    if (bay.necks[left.from].goes_along == body || bay.necks[left.to].goes_along == body) continue;
    bay.bodies[body].body = nothing;
    for (PlacedNeck& neck : bay.necks)
      std::erase_if(neck.own_part, [&](const ObstacleRef& ref) { return ref.body == body; });
  }
  return bay;
}

class PlaceSearch {
 public:
  PlaceSearch(const Prepared& prepared, NeckRoom& room, const Budget& budget, const std::stop_token& stop,
              const JudgeRouted& judge)
      : prepared_(prepared), room_(room), budget_(budget), stop_(stop), judge_(judge) {}

  /// The first judgement with this line at another place that is better.
  std::optional<Judgement> elsewhere(const Judgement& now, std::size_t line) {
    const std::vector<Candidate> places =
        spread_first(with_other_places(prepared_, room_, now.result.candidate, now.bay->lines[line]));
    left_ = kNeckWork * budget_.work_units_per_make;
    judged_ = 0;
    open_.clear();
    const auto little =
        static_cast<std::int64_t>(kLittleWork_share * static_cast<double>(budget_.work_units_per_make));
    const auto early = std::span(places).first(std::min(places.size(), kSpread));
    if (auto found = among(early, now, line, little)) return found;
    if (auto found = among(std::exchange(open_, {}), now, line, budget_.work_units_per_make)) return found;
    return among(std::span(places).subspan(early.size()), now, line, little);
  }

 private:
  std::optional<Judgement> among(std::span<const Candidate> places, const Judgement& now, std::size_t line,
                                 std::int64_t work) {
    for (const Candidate& candidate : places) {
      if (stop_.stop_requested() || left_ <= 0 || judged_ >= kMostJudged) return std::nullopt;
      if (std::optional<Judgement> found = at(now, line, candidate, work)) return found;
    }
    return std::nullopt;
  }

  std::optional<Judgement> at(const Judgement& now, std::size_t line, const Candidate& candidate,
                              std::int64_t work) {
    const Job& job = prepared_.job();
    const Bay bay = assemble(job, prepared_.bodies(), candidate);
    std::vector<LineSearch> known = now.result.searches;
    known[line] = LineSearch{};
    known[line].line = line;
    const std::vector<LineWish> wishes(bay.lines.size());
    std::vector<LineSearch> searches =
        route_again(bay, prepared_.fields(), job.gaps, job.stock, options_with(budget_, work),
                    std::move(known), wishes, std::span(&line, 1), stop_);
    left_ -= std::max<std::int64_t>(1, work_of(searches[line]));
    if (!is_argument(searches[line].outcome)) open_.push_back(candidate);
    if (!searches[line].route || stop_.stop_requested()) return std::nullopt;
    ++judged_;
    Judgement judgement = judge_(candidate, std::move(searches));
    if (!better(judgement, now)) return std::nullopt;
    return judgement;
  }

  const Prepared& prepared_;
  NeckRoom& room_;
  const Budget& budget_;
  const std::stop_token& stop_;
  const JudgeRouted& judge_;
  std::int64_t left_ = 0;
  int judged_ = 0;
  std::vector<Candidate> open_;  // those where no argument stands against the line
};

}  // namespace

std::vector<StandingNeck> standing_necks(const Prepared& prepared, const Bay& bay,
                                         const Candidate& candidate) {
  std::vector<StandingNeck> out;
  const std::vector<ChosenNeck>& necks = prepared.bodies().chosen_necks();
  for (std::size_t i = 0; i < necks.size(); ++i) {
    const PlacedNeck& placed = bay.necks[necks[i].neck];
    const NeckPlace& place = place_of(necks[i], candidate, i);
    out.push_back({necks[i].neck, place, placed.end_mm, placed.outward, &place == &necks[i].places.front()});
  }
  return out;
}

std::vector<Finding> moved_neck_findings(const Job& job, std::span<const StandingNeck> necks) {
  constexpr double kNothing_mm = 1e-6;
  std::vector<Finding> out;
  for (const StandingNeck& standing : necks) {
    if (standing.as_written) continue;
    const Neck& neck = job.vehicle.necks[standing.neck];
    Finding finding;
    finding.rule = RuleId::neck_elsewhere;
    finding.severity = Severity::flag;
    finding.subject = neck.name;
    finding.where_mm = standing.end_mm;
    const Vec3 by = standing.end_mm - neck.end_mm.value;
    const auto told = [&](double mm, const char* against, const char* along) {
      if (std::abs(mm) > kNothing_mm)
        finding.parameters[mm < 0 ? against : along] = fmt::format("{:.3f}", std::abs(mm));
    };
    told(by.x(), "forward_mm", "rearward_mm");
    told(by.y(), "left_mm", "right_mm");
    told(by.z(), "down_mm", "up_mm");
    if (standing.place.turned.rad() != 0)
      finding.parameters["turned_deg"] = fmt::format("{:g}", standing.place.turned.deg());
    out.push_back(std::move(finding));
  }
  return out;
}

NeckRoom::Room NeckRoom::at(std::size_t which, std::size_t place) {
  const auto [it, fresh] = known_.try_emplace({which, place}, Room::undecided);
  if (fresh) it->second = measure(which, place);
  return it->second;
}

NeckRoom::Room NeckRoom::measure(std::size_t which, std::size_t place) const {
  const Job& job = prepared_.job();
  const Bay bay = assemble(job, prepared_.bodies(), with_neck_at(prepared_.bodies(), base_, which, place));
  const std::size_t neck = prepared_.bodies().chosen_necks()[which].neck;
  if (place > 0) {
    const Bay written = assemble(job, prepared_.bodies(), base_);
    if (free_straight_mm(bay, bay.necks[neck]) <
        free_straight_mm(written, written.necks[neck]) - kSameStraight_mm)
      return Room::taken;
  }
  std::vector<std::pair<std::size_t, std::size_t>> pairs = part_pairs(bay);
  std::erase_if(pairs, [&](const auto& pair) {
    return pair.first != kFirstNeckBody + which || pair.second >= kFirstNeckBody;
  });
  const auto gaps = part_gaps(bay, prepared_.proofs(), job.gaps, pairs);
  if (std::any_of(gaps.begin(), gaps.end(), falls_short)) return Room::taken;
  const PartsInMotion moving = parts_in_motion(job, bay, prepared_.proofs(), pairs, without_scans());
  if (moving.proved) return Room::clear;
  const bool taken = std::any_of(moving.near.begin(), moving.near.end(), [](const PartInMotion& part) {
    return part.answer == PartInMotion::Answer::comes_short;
  });
  return taken ? Room::taken : Room::undecided;
}

Candidate NeckRoom::nearest_clear() {
  Candidate out = base_;
  const std::vector<ChosenNeck>& necks = prepared_.bodies().chosen_necks();
  for (std::size_t which = 0; which < necks.size(); ++which)
    for (std::size_t place = 0; place < necks[which].places.size(); ++place) {
      if (!clear(which, place)) continue;
      out = with_neck_at(prepared_.bodies(), std::move(out), which, place);
      break;
    }
  return out;
}

Candidate with_neck_at(const BodyStore& bodies, Candidate candidate, std::size_t which, std::size_t place) {
  candidate.neck_places.resize(bodies.chosen_necks().size(), 0);
  candidate.neck_places[which] = place;
  if (necks_as_written(candidate)) candidate.neck_places.clear();
  return candidate;
}

bool has_chosen_neck(const Prepared& prepared, const BayLine& line) {
  return !chosen_of(prepared, line).empty();
}

std::vector<Candidate> with_other_places(const Prepared& prepared, NeckRoom& room, const Candidate& candidate,
                                         const BayLine& line, Places places) {
  const auto counts = [&](NeckRoom::Room there) {
    return there == NeckRoom::Room::clear ||
           (there == NeckRoom::Room::undecided && places == Places::not_taken);
  };
  const BodyStore& bodies = prepared.bodies();
  std::vector<Candidate> all{candidate};
  for (const std::size_t which : chosen_of(prepared, line)) {
    std::vector<Candidate> more;
    for (const Candidate& so_far : all)
      for (std::size_t place = 0; place < bodies.chosen_necks()[which].places.size(); ++place)
        if (counts(room.at(which, place))) more.push_back(with_neck_at(bodies, so_far, which, place));
    all = std::move(more);
  }
  std::erase(all, candidate);
  std::stable_sort(all.begin(), all.end(), [&](const Candidate& a, const Candidate& b) {
    return moved_mm(bodies, a) < moved_mm(bodies, b);
  });
  return all;
}

void keep_arguments_of_all_places(const Prepared& prepared, NeckRoom& room, const Candidate& candidate,
                                  const Budget& budget, const std::stop_token& stop,
                                  std::vector<LineSearch>& searches) {
  const Job& job = prepared.job();
  const auto argued_at = [&](const Candidate& elsewhere, std::size_t line) {
    const Bay alone = with_line_alone(assemble(job, prepared.bodies(), elsewhere), line);
    const auto found = route_lines(alone, prepared.fields(), job.gaps, job.stock,
                                   options_with(budget, budget.work_units_per_make), stop);
    return !stop.stop_requested() && is_argument(found.front().outcome);
  };
  const Bay bay = assemble(job, prepared.bodies(), candidate);
  for (LineSearch& search : searches) {
    if (!is_argument(search.outcome)) continue;
    std::vector<Candidate> places =
        with_other_places(prepared, room, candidate, bay.lines[search.line], Places::not_taken);
    places.push_back(candidate);
    const bool everywhere = places.size() <= kMostArgued + 1 &&
                            std::all_of(places.begin(), places.end(), [&](const Candidate& elsewhere) {
                              return argued_at(elsewhere, search.line);
                            });
    if (!everywhere) search.outcome = SearchOutcome::budget_spent;
  }
}

Judgement place_necks(const Prepared& prepared, NeckRoom& room, Judgement first, const Budget& budget,
                      const std::stop_token& stop, const JudgeRouted& judge) {
  Judgement now = std::move(first);
  if (!now.result.lines_tried) return now;
  PlaceSearch search(prepared, room, budget, stop, judge);
  for (std::size_t line = 0; line < now.bay->lines.size(); ++line) {
    if (is_proved(now.result, line) || !has_chosen_neck(prepared, now.bay->lines[line])) continue;
    if (std::optional<Judgement> moved = search.elsewhere(now, line)) now = *std::move(moved);
  }
  return now;
}

}  // namespace hosefit
