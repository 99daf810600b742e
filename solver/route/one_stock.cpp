// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/one_stock.h"

#include <algorithm>
#include <array>

#include "solver/route/elbows.h"
#include "solver/route/passage.h"
#include "solver/route/run_search.h"
#include "solver/route/shapes.h"
#include "solver/route/shortcut.h"

namespace hosefit {
namespace {

constexpr double kProofCell_mm = 10.0;
constexpr std::int64_t kProofCells = 120000;  // a box of 500 mm at 10 mm
constexpr std::int64_t kCellsPerUnit = 60;
constexpr std::size_t kElbowChainsChecked = 600;
constexpr std::size_t kShapesChecked = 600;
constexpr std::array kRoomierRadii{
    1.15, 1.35};  // of the least: preferred radius about 1.35 times it (derived, thin-tube flattening)
constexpr double kRoundEverything_radii = 4.0;
constexpr double kMissMeasured_mm = 0.2;
constexpr double kMostReserveFollowed_mm = 4.0;
constexpr double kHopeless_mm = 12.0;  // overlap by the estimate of a line that cannot give way

std::string word_of(Breach breach) {
  switch (breach) {
    case Breach::none:
    case Breach::gap:
      return "";
    case Breach::no_shape:
      return "no_shape";
    case Breach::lead:
      return "lead";
    case Breach::straight_between:
      return "straight_between";
    case Breach::bend_angle:
      return "bend_angle";
    case Breach::length:
      return "length";
    case Breach::grade:
      return "grade";
    case Breach::self_gap:
      return "self_gap";
    case Breach::known_space:
      return "known_space";
  }
  return "";
}

BendRules wished(BendRules rules, const LineWish& wish) {
  if (rules.radius_is_least) rules.radii_mm.front() *= wish.radius_factor;
  if (wish.least_length_mm <= rules.least_length_mm) return rules;
  if (rules.windows.empty()) rules.windows.push_back({0.0, 0.0, rules.most_length_mm});
  for (LengthWindow& window : rules.windows)
    window.least_mm = std::max(window.least_mm, wish.least_length_mm);
  std::erase_if(rules.windows, [](const LengthWindow& window) { return window.most_mm <= window.least_mm; });
  rules.least_length_mm = wish.least_length_mm;
  if (rules.windows.empty()) rules.windows.push_back({0.0, wish.least_length_mm, wish.least_length_mm});
  return rules;
}

class OneStock {
 public:
  OneStock(const StockQuestion& q, const std::stop_token& stop)
      : q_(q),
        bay_(q.around.bay),
        from_(bay_.necks[q.line.from]),
        to_(bay_.necks[q.line.to]),
        rules_(wished(bend_rules(q.stock, from_, to_), q.wish)),
        work_(q.options.work_units_per_make, stop) {
    answer_.attempt.make = q.stock.make;
    answer_.attempt.stock = q.stock.id;
    problem_.start = {from_.end_mm, from_.outward};
    problem_.goal = {to_.end_mm, -to_.outward};
    problem_.rules = rules_;
    problem_.radius_mm = rules_.radii_mm.front();
    problem_.grade = q.line.line.grade;
    problem_.reserve_mm = q.options.reserve_mm + q.wish.more_reserve_mm;
    problem_.self_gap_mm = q.self_gap_mm;
  }

  StockAnswer follow(const Route& earlier) {
    const bool of_one_radius =
        q_.stock.make != Make::elbows_and_straights && q_.stock.make != Make::moulded_shape;
    if (!stubs_are_blocked()) {
      if (of_one_radius && intersection_points(earlier.centreline).size() >= 2) {
        follow_bends(earlier);
      } else {
        search();
      }
    }
    answer_.attempt.work_units = work_.used();
    return std::move(answer_);
  }

  StockAnswer answer() {
    if (!stubs_are_blocked() && !cannot_turn()) {
      search();
      if (!answer_.route) explain();
    }
    answer_.attempt.work_units = work_.used();
    return std::move(answer_);
  }

 private:
  void refuse(SearchOutcome outcome, std::optional<Obstruction> why) {
    answer_.attempt.outcome = outcome;
    answer_.attempt.nearest_miss = std::move(why);
  }

  LineEnd end_at(const PlacedNeck& neck, double engagement, double lead) const {
    return {neck, engagement, lead, rules_.lead_outside_diameter_mm / 2, rules_.outside_diameter_mm / 2};
  }

  bool stubs_are_blocked() {
    for (const LineEnd& end : {end_at(from_, rules_.engagement_from_mm, rules_.lead_from_mm),
                               end_at(to_, rules_.engagement_to_mm, rules_.lead_to_mm)}) {
      std::optional<Obstruction> blocked = blocked_stub(q_.around, end);
      if (!blocked) continue;
      refuse(SearchOutcome::stub_blocked, std::move(blocked));
      return true;
    }
    return false;
  }

  bool cannot_turn() {
    const Room room(bay_, q_.around.field, rules_.outside_diameter_mm, Ground::anywhere);
    const Heading start = start_of_run(problem_), end = end_of_run(problem_);
    std::optional<Obstruction> blocked =
        no_room_to_bend(q_.around, room, start, end.at_mm, problem_.radius_mm);
    if (!blocked)
      blocked = no_room_to_bend(q_.around, room, turned_back(end), start.at_mm, problem_.radius_mm);
    if (!blocked) return false;
    refuse(SearchOutcome::no_room_to_bend, std::move(blocked));
    return true;
  }

  void search() {
    const bool ends_known = in_known_space(bay_, start_of_run(problem_).at_mm) &&
                            in_known_space(bay_, end_of_run(problem_).at_mm);
    const bool all_known = ends_known && all_is_known();
    if (ends_known) {
      Work share = work_.share(all_known ? 1.0 : 0.5);
      search_on(Ground::known_space_only, share);
      work_.spend(share.used());
    }
    if (!answer_.route && !all_known) search_on(Ground::anywhere, work_);
  }

  void follow_bends(const Route& earlier) {
    problem_.radius_mm =
        std::max(problem_.radius_mm, tightest_bend_mm(earlier.centreline).value_or(problem_.radius_mm));
    problem_.reserve_mm = std::clamp(earlier.worst_spare_mm, problem_.reserve_mm,
                                     problem_.reserve_mm + kMostReserveFollowed_mm);
    const Bends bends = gone_along(earlier.centreline);
    for (const Ground ground : {Ground::known_space_only, Ground::anywhere}) {
      const Room room(bay_, q_.around.field, rules_.outside_diameter_mm, ground);
      const RunCheck as_is = check_run(problem_, room, bends);
      work_.spend(1 + as_is.margin.queries / 10);
      if (as_is.breach == Breach::none && as_is.margin.sampled_mm >= q_.options.reserve_mm)
        return make_route(as_is);
      const LengthWindow* window = window_of(rules_, length_mm(earlier.centreline));
      const PolishOutcome polished =
          polish_until_it_holds(problem_, room, bends, window ? std::optional(*window) : std::nullopt, work_);
      if (polished.run) return make_route(*polished.run);
    }
  }

  // The first bend stays as far from its neck along the neck's line, so does the last; those between move by
  // their share of what the two necks moved.
  Bends gone_along(const Centreline& earlier) const {
    Bends bends = intersection_points(earlier);
    const Vec3 from = problem_.start.at_mm - start_point(earlier),
               to = problem_.goal.at_mm - end_point(earlier);
    const double first = (bends.front() - start_point(earlier)).norm(),
                 last = (bends.back() - end_point(earlier)).norm();
    const auto gaps = static_cast<double>(bends.size() - 1);
    for (std::size_t i = 1; i + 1 < bends.size(); ++i) {
      const double share = static_cast<double>(i) / gaps;
      bends[i] += (1 - share) * from + share * to;
    }
    bends.back() = problem_.goal.at_mm - last * problem_.goal.along;
    bends.front() = problem_.start.at_mm + first * problem_.start.along;
    return bends;
  }

  // One box of known space holds all obstacles and both ends, and room for a few bends round them: nothing to
  // be found outside.
  bool all_is_known() const {
    AxisBox box = q_.around.field.bounds();
    box.extend(from_.end_mm);
    box.extend(to_.end_mm);
    const Vec3 around = Vec3::Constant(kRoundEverything_radii * problem_.radius_mm);
    const AxisBox all(box.min() - around, box.max() + around);
    return std::any_of(bay_.known_space.begin(), bay_.known_space.end(), [&](const BoxShape& known) {
      for (int i = 0; i < 8; ++i) {
        const Vec3 corner = all.corner(static_cast<AxisBox::CornerType>(i));
        if ((known.frame.point_inverse(corner).cwiseAbs().array() > known.half_size_mm.array()).any())
          return false;
      }
      return true;
    });
  }

  void search_on(Ground ground, Work& work) {
    const Room room(bay_, q_.around.field, rules_.outside_diameter_mm, ground);
    RunSearch found = q_.stock.make == Make::elbows_and_straights ? elbows(room, work)
                      : q_.stock.make == Make::moulded_shape      ? shapes(room, work)
                                                                  : run(room, work);
    passage_without_length_ = passage_without_length_ || found.passage_without_length;
    if (found.run) {
      make_route(*found.run);
    } else {
      keep_nearer(found.nearest, nearest_);
    }
    closed_ = found.closed && ground == Ground::anywhere;
  }

  RunSearch run(const Room& room, Work& work) {
    RunSearch found = find_run(problem_, room, q_.options.seed, work);
    if (found.run) widen_bends(problem_, room, roomier_radii(), found, work);
    return found;
  }

  std::vector<double> roomier_radii() const {
    std::vector<double> radii;
    if (rules_.radius_is_least) {
      for (const double k : kRoomierRadii) radii.push_back(k * rules_.radii_mm.front());
    } else {
      radii.assign(rules_.radii_mm.begin() + 1, rules_.radii_mm.end());
    }
    return radii;
  }

  RunSearch elbows(const Room& room, Work& work) {
    RunSearch found;
    std::size_t checked = 0;
    int joiners = -1;
    for (const ElbowSolution& chain : elbow_chains(problem_, q_.stock, work)) {
      if (work.spent() || checked >= kElbowChainsChecked) break;
      if (found.run && chain.joiners > joiners) break;  // fewest joints first, spare gap only among equals
      const std::optional<Centreline> line = centreline_of(chain_of(problem_, chain.bends));
      work.spend(1);
      if (!line || !is_free(room, *line, {false, kHopeless_mm})) continue;
      ++checked;
      const RunCheck check = check_run(problem_, room, chain.bends);
      work.spend(check.margin.queries / 10);
      if (check.breach == Breach::gap) keep_nearer(NearMiss{check, chain.bends}, found.nearest);
      if (check.breach != Breach::none) continue;
      if (!found.run || check.margin.sampled_mm > found.run->margin.sampled_mm) found.run = check;
      joiners = chain.joiners;
      if (found.run->margin.sampled_mm >= problem_.reserve_mm) break;
    }
    return found;
  }

  const std::vector<ShapeMatch>& matches(Work& work) {
    if (!matches_) matches_ = shape_matches(*q_.shapes, q_.stock.shapes, shape_ends(problem_), work);
    return *matches_;
  }

  // The least sprung that keeps all the reserve; where none does, the roomiest of those sprung least.
  RunSearch shapes(const Room& room, Work& work) {
    RunSearch found;
    const ShapeMatch* best = nullptr;
    std::size_t checked = 0;
    for (const ShapeMatch& match : matches(work)) {
      if (work.spent() || checked >= kShapesChecked) break;
      work.spend(1);
      if (!is_free(room, match.centreline, {false, kHopeless_mm})) continue;
      ++checked;
      const RunCheck check = check_line(problem_, room, match.centreline);
      work.spend(check.margin.queries / 10);
      if (check.breach == Breach::gap) keep_nearer(NearMiss{check, {}}, found.nearest);
      if (check.breach != Breach::none) continue;
      const bool roomy = check.margin.sampled_mm >= problem_.reserve_mm;
      const bool better =
          !best || roomy ||
          (sprung_alike(match, *best) && check.margin.sampled_mm > found.run->margin.sampled_mm);
      if (!better) continue;
      found.run = check;
      best = &match;
      if (roomy) break;
    }
    if (best) chosen_ = *best;
    return found;
  }

  void make_route(const RunCheck& check) {
    Assembly assembly = assembly_of(q_.stock, rules_, check.centreline);
    if (chosen_) {
      assembly.pieces.front().shape = chosen_->cut;
      assembly.pieces.front().bought_length_mm = whole_length(q_.stock.shapes[chosen_->shape]).mm();
    }
    Route route;
    route.line = q_.line_index;
    route.make = q_.stock.make;
    route.stock = q_.stock.id;
    route.centreline = check.centreline;
    route.sections = assembly.sections;
    route.pieces = assembly.pieces;
    route.engagement_from_mm = assembly.engagement_from_mm;
    route.engagement_to_mm = assembly.engagement_to_mm;
    route.joints = assembly.joints;
    route.worst_spare_mm = check.margin.sampled_mm;
    answer_.route = std::move(route);
    answer_.attempt.outcome = SearchOutcome::found;
  }

  void explain() {
    const Room room(bay_, q_.around.field, rules_.outside_diameter_mm, Ground::anywhere);
    if (passage_without_length_) return refuse(SearchOutcome::no_stock, std::nullopt);
    const Vec3 from = start_of_run(problem_).at_mm, to = end_of_run(problem_).at_mm;
    const double longest = rules_.most_length_mm - rules_.lead_from_mm - rules_.lead_to_mm;
    if (closed_ || no_passage(room, from, to, longest))
      return refuse(SearchOutcome::no_passage, narrowest(room, from, to, longest));
    std::optional<Obstruction> miss;
    if (nearest_)
      miss = obstruction_at(q_.around, nearest_->check.margin.where_mm, room.radius_mm(), kMissMeasured_mm);
    if (!miss || miss->missing_mm <= 0) miss = on_the_direct_way(room);
    if (miss && miss->missing_mm <= 0) miss.reset();
    if (matches_ && matches_->empty()) {  // what stands in the way of other bends says nothing of shapes
      if (!miss) answer_.attempt.breaks = "no_moulded_shape";
      return refuse(SearchOutcome::budget_spent, std::nullopt);
    }
    if (!miss) answer_.attempt.breaks = rule_the_direct_way_breaks(room);
    refuse(SearchOutcome::budget_spent, miss);
  }

  bool no_passage(const Room& room, const Vec3& from, const Vec3& to, double longest) {
    const Passage passage =
        find_passage(room, from, to, kProofCell_mm, longest, Crossing::forbidden, kProofCells);
    work_.spend(passage.cells / kCellsPerUnit);
    return passage.answer == PassageAnswer::closed;
  }

  std::string rule_the_direct_way_breaks(const Room& room) const {
    const Heading from = start_of_run(problem_), to = end_of_run(problem_);
    const std::optional<Connection> direct = shortest_connection(from, to, problem_.radius_mm);
    if (!direct) return word_of(Breach::no_shape);
    return word_of(check_run(problem_, room, bends_of(*direct, from, to, problem_.radius_mm)).breach);
  }

  // When no attempt kept every rule but a gap: what stands in the way of the two-bend connection.
  std::optional<Obstruction> on_the_direct_way(const Room& room) const {
    const Heading from = start_of_run(problem_), to = end_of_run(problem_);
    const std::optional<Connection> direct = shortest_connection(from, to, problem_.radius_mm);
    if (!direct) return std::nullopt;
    const Centreline way = pieces_of(*direct, from, to, problem_.radius_mm);
    if (way.pieces.empty()) return std::nullopt;
    Vec3 worst = from.at_mm;
    double least = room.margin_mm(worst);
    for (double s = 0; s <= length_mm(way); s += kMissMeasured_mm) {
      const Vec3 p = point_at(way, s);
      const double margin = room.margin_mm(p);
      if (margin < least) {
        least = margin;
        worst = p;
      }
    }
    return obstruction_at(q_.around, worst, room.radius_mm(), kMissMeasured_mm);
  }

  // The tightest place of the least bad way for a ball. Its resolution is the flood's.
  std::optional<Obstruction> narrowest(const Room& room, const Vec3& from, const Vec3& to, double longest) {
    const Passage through =
        find_passage(room, from, to, kProofCell_mm, longest, Crossing::at_a_price, kProofCells);
    work_.spend(through.cells / kCellsPerUnit);
    if (through.way.empty()) return std::nullopt;
    const auto tightest =
        std::min_element(through.way.begin(), through.way.end(),
                         [&](const Vec3& a, const Vec3& b) { return room.margin_mm(a) < room.margin_mm(b); });
    return obstruction_at(q_.around, *tightest, room.radius_mm(), kProofCell_mm);
  }

  const StockQuestion& q_;
  const Bay& bay_;
  const PlacedNeck& from_;
  const PlacedNeck& to_;
  BendRules rules_;
  RunProblem problem_;
  Work work_;
  StockAnswer answer_;
  std::optional<NearMiss> nearest_;
  std::optional<std::vector<ShapeMatch>> matches_;  // moulded only, once looked for
  std::optional<ShapeMatch> chosen_;
  bool passage_without_length_ = false;
  bool closed_ = false;  // proved by the search's own flood
};

}  // namespace

StockAnswer follow_with(const StockQuestion& question, const Route& earlier, const std::stop_token& stop) {
  return OneStock(question, stop).follow(earlier);
}

StockAnswer route_with(const StockQuestion& question, const std::stop_token& stop) {
  return OneStock(question, stop).answer();
}

}  // namespace hosefit
