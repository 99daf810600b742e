// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cstdlib>
#include <iostream>
#include <map>
#include <string>
#include <vector>

#include "solver/base/parallel.h"
#include "solver/verify/proof.h"
#include "tests/laws/oracle.h"
#include "tests/support/rounds.h"

using namespace hosefit;
using namespace hosefit::laws;

namespace {

// What one bay gave: counts for the totals, and sentences for whatever is wrong.
struct Outcome {
  std::map<std::string, int> counts;
  std::vector<std::string> wrong;
  void say(const std::string& what, double figure) { wrong.push_back(what + ": " + std::to_string(figure)); }
};

std::vector<LineSearch> search(const SmallBay& small, double extra_gap_mm) {
  FieldStore store;
  RouteOptions options;
  options.work_units_per_make = 400;
  return route_lines(small.bay, store, small_gaps(extra_gap_mm), small.stock, options);
}

ProofReport proof_of(const SmallBay& small, const std::vector<Route>& routes, double extra_gap_mm) {
  return prove(small.bay, ProofBodies(small.bay), routes, small_gaps(extra_gap_mm), small.stock, {});
}

void check_ends(const SmallBay& small, const Route& route, Outcome& out) {
  const BayLine& line = small.bay.lines[route.line];
  const PlacedNeck &from = small.bay.necks[line.from], &to = small.bay.necks[line.to];
  const Centreline& c = route.centreline;
  const double off = std::max((start_point(c) - from.end_mm).norm(), (end_point(c) - to.end_mm).norm());
  if (off > 1e-5) out.say("an end is off its neck by", off);
  const double askew =
      std::max((start_direction(c) - from.outward).norm(), (end_direction(c) + to.outward).norm());
  if (askew > 1e-5) out.say("an end is askew to its neck by", askew);
  for (const double engaged : {route.engagement_from_mm, route.engagement_to_mm})
    if (engaged < 28 - 1e-9 || engaged > 30 + 1e-9)
      out.say("a neck holds", engaged);  // OD 26 mm, straight 30 mm
}

double tightest_mm(const Stock& stock) {
  if (stock.make != Make::moulded_shape) return stock.radii.front().mm();
  double least = 1e9;
  for (const MouldedShape& shape : stock.shapes)
    for (const Length radius : shape.radii) least = std::min(least, radius.mm());
  return least;
}

// Bends by the change of direction between samples, not by the pieces' own words.
void check_bends(const SmallBay& small, const Route& route, Outcome& out) {
  const Stock& stock = stock_named(small, route.stock);
  const double least_radius = tightest_mm(stock), length = length_mm(route.centreline);
  constexpr double kStep = 0.1;
  for (double s = 0; s + kStep <= length; s += kStep) {
    const double moved = (point_at(route.centreline, s + kStep) - point_at(route.centreline, s)).norm();
    if (moved > kStep + 1e-6) out.say("a jump at", s);
    const Vec3 a = direction_at(route.centreline, s), b = direction_at(route.centreline, s + kStep);
    const double turned = std::atan2(a.cross(b).norm(), a.dot(b));
    if (turned > kStep / least_radius + 3e-6)
      out.say("a bend of radius " + std::to_string(kStep / turned) + " at", s);
    if (turned > 1e-6 && (s < lead_mm(stock) - kStep || s > length - lead_mm(stock)))
      out.say("a bend within a lead at", s);
  }
}

// The bends of the shape that lie between the cuts, one by one.
void check_moulded(const Stock& stock, const Route& route, const BendTable& table, Outcome& out) {
  const ShapeCut cut = route.pieces.front().shape.value();
  const auto named = [&](const MouldedShape& shape) { return shape.name == cut.name; };
  const MouldedShape& shape = *std::find_if(stock.shapes.begin(), stock.shapes.end(), named);
  constexpr double kRounding_mm = 1e-6;  // a cut may lie just where a bend ends
  std::vector<std::size_t> kept;
  double s = 0, begin = 0, end = 0;
  for (std::size_t i = 0; i < shape.radii.size(); ++i) {
    const double from = s + shape.straights[i].mm(), to = from + shape.radii[i].mm() * shape.angles[i].rad();
    s = to;
    if (to <= cut.from_mm + kRounding_mm || from >= cut.to_mm - kRounding_mm) continue;
    if (from < cut.from_mm - kRounding_mm || to > cut.to_mm + kRounding_mm)
      out.say("a bend is cut through at", from);
    if (kept.empty()) begin = from;
    end = to;
    kept.push_back(i);
  }
  if (cut.from_mm < -kRounding_mm || cut.to_mm > s + shape.straights.back().mm() + kRounding_mm)
    out.say("a cut beyond the shape", cut.to_mm);
  if (cut.reversed) std::reverse(kept.begin(), kept.end());
  if (kept.size() != table.rows.size())
    return out.say("bends of the shape", static_cast<double>(kept.size()));
  const auto off = [&](const char* what, double by, double most) {
    if (std::abs(by) > most) out.say(what, by);
  };
  const double gives = Angle::deg(5.0).rad() + 1e-6;
  for (std::size_t k = 0; k < kept.size(); ++k) {
    off("a radius is off by", table.rows[k].radius_mm - shape.radii[kept[k]].mm(), 1e-5);
    off("a bend is sprung by", table.rows[k].bend_rad - shape.angles[kept[k]].rad(), gives);
    if (k == 0) continue;
    const std::size_t between = std::max(kept[k - 1], kept[k]);
    off("a straight is off by", table.rows[k].feed_mm - shape.straights[between].mm(), 1e-5);
    off("a plane is sprung by",
        std::remainder(table.rows[k].rotate_rad - shape.turns[between - 1].rad(), 2 * std::numbers::pi),
        gives);
  }
  const double first = table.rows.front().feed_mm + route.engagement_from_mm;
  const double last = table.last_straight_mm + route.engagement_to_mm;
  off("the cut at A is off by", begin - cut.from_mm - (cut.reversed ? last : first), 1e-5);
  off("the other cut is off by", cut.to_mm - end - (cut.reversed ? first : last), 1e-5);
  ++out.counts["moulded lines"];
}

void check_bend_table(const SmallBay& small, const Route& route, Outcome& out) {
  const Stock& stock = stock_named(small, route.stock);
  const BendTable table = bend_table(route.centreline);
  if (stock.make == Make::moulded_shape) return check_moulded(stock, route, table, out);
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    const BendRow& row = table.rows[i];
    if (row.bend_rad > stock.most_bend.rad() + 1e-6) out.say("a bend by", row.bend_rad);
    if (i > 0 && row.feed_mm < stock.straight_between.mm() - 1e-5) out.say("bends as near as", row.feed_mm);
    const auto one_of = [](const auto& list, double value, auto as) {
      return std::any_of(list.begin(), list.end(), [&](auto x) { return std::abs(as(x) - value) < 1e-5; });
    };
    if (stock.make == Make::bent_tube && !one_of(stock.radii, row.radius_mm, [](Length l) { return l.mm(); }))
      out.say("no such die", row.radius_mm);
    if (!stock.angles.empty() && !one_of(stock.angles, row.bend_rad, [](Angle a) { return a.rad(); }))
      out.say("no such elbow", row.bend_rad);
  }
  const double hose = length_mm(route.centreline) + route.engagement_from_mm + route.engagement_to_mm;
  const double trim = stock.make == Make::corrugated_hose ? 2 * stock.cuff_trim.mm() : 1e9;
  const bool sold =
      stock.lengths.empty() || std::any_of(stock.lengths.begin(), stock.lengths.end(), [&](Length l) {
        return hose <= l.mm() + 1e-5 && hose >= l.mm() - trim - 1e-5;
      });
  if (!sold) out.say("no length on sale serves", hose);
}

void check_grade(const Laid& laid, Outcome& out) {
  for (const double pitch : {-5.0, 0.0, 5.0}) {
    const double up = falls_back_mm(laid, pitch, true), down = falls_back_mm(laid, pitch, false);
    const Grade grade = laid.line().line.grade;
    const double back = grade == Grade::rise      ? up
                        : grade == Grade::fall    ? down
                        : grade == Grade::one_way ? std::min(up, down)
                                                  : 0;
    if (back > 5.0 + 0.05) out.say("goes back against its grade by", back);
  }
}

// Surface points all round, in the one box that is known.
void check_known(const SmallBay& small, const Route& route, const Laid& laid, Outcome& out) {
  const Vec3 half = small.bay.known_space.front().half_size_mm;
  for (double s = laid.from_s(); s <= laid.to_s(); s += 2) {
    const Spot spot = laid.at(s);
    const Vec3 along = direction_at(route.centreline, std::clamp(s, 0.0, laid.length()));
    const Vec3 side = any_perpendicular(along), other = along.cross(side);
    for (int k = 0; k < 16; ++k) {
      const double turn = std::numbers::pi * k / 8;
      const Vec3 p = spot.at_mm + spot.radius_mm * (std::cos(turn) * side + std::sin(turn) * other);
      const double over = (p.cwiseAbs() - half).maxCoeff();
      if (over > 1e-6) return out.say("outside known space by", over);
    }
  }
}

// A fit: every line proved. Whatever dense sampling finds against it is a fault.
void hold_against_sampling(const SmallBay& small, const std::vector<Route>& routes, Outcome& out) {
  for (std::size_t i = 0; i < routes.size(); ++i) {
    const Laid laid(small, routes[i]);
    const double spare = least_spare(small, laid);
    if (spare < -kTold_mm) out.say("a proved line is short by", -spare);
    ++out.counts[spare < 1 ? "fits within 1 mm" : "fits with more"];
    check_ends(small, routes[i], out);
    check_bends(small, routes[i], out);
    check_bend_table(small, routes[i], out);
    check_grade(laid, out);
    check_known(small, routes[i], laid, out);
    if (const auto tightest = tightest_bend_mm(routes[i].centreline)) {
      const double self = least_to_itself(laid, *tightest);
      if (self < -kTold_mm) out.say("a line runs into itself by", -self);
    }
    for (std::size_t j = i + 1; j < routes.size(); ++j) {
      const BayLine &a = small.bay.lines[routes[i].line], &b = small.bay.lines[routes[j].line];
      const bool same = a.carrier == b.carrier && a.carrier != LineCarrier::both;
      const double gap = table_gap_mm(Runner::hose, Hazard::another_hose, same, small.extra_gap_mm);
      const double between = least_between(laid, Laid(small, routes[j]), gap);
      if (between < -kTold_mm) out.say("two proved lines are short by", -between);
      ++out.counts["pairs of lines"];
    }
  }
}

SmallBay turned_round(SmallBay small) {
  for (BayLine& line : small.bay.lines) std::swap(line.from, line.to);
  for (BayLine& line : small.bay.lines)
    line.line.grade = line.line.grade == Grade::rise   ? Grade::fall
                      : line.line.grade == Grade::fall ? Grade::rise
                                                       : line.line.grade;
  return small;
}

SmallBay without_last_obstacle(SmallBay small, std::size_t body) {
  Body changed = *small.bay.bodies[body].body;
  changed.obstacles.pop_back();
  small.bay.bodies[body].body = std::make_shared<const Body>(std::move(changed));
  return small;
}

// The laws of a proof: turned round it says the same; with an obstacle less or smaller gaps it still holds.
void hold_against_laws(const SmallBay& small, const std::vector<Route>& routes, Outcome& out) {
  const auto all = [](const ProofReport& report) {
    return std::all_of(report.lines.begin(), report.lines.end(), [](const LineProof& p) { return p.proved; });
  };
  std::vector<Route> back = routes;
  for (Route& route : back) {
    const double length = length_mm(route.centreline);
    route.centreline = reversed(route.centreline);
    std::swap(route.engagement_from_mm, route.engagement_to_mm);
    std::reverse(route.sections.begin(), route.sections.end());
    for (RouteSection& section : route.sections)
      section = {length - section.to_s_mm, length - section.from_s_mm, section.outside_diameter_mm,
                 section.runner};
    std::reverse(route.pieces.begin(), route.pieces.end());
    for (StockPiece& piece : route.pieces) {
      piece.clock_rad.reset();
      if (piece.shape) piece.shape->reversed = !piece.shape->reversed;
    }
  }
  if (!all(proof_of(turned_round(small), back, small.extra_gap_mm)))
    out.say("not proved when turned round", 0);
  if (!all(proof_of(small, routes, small.extra_gap_mm - 0.5))) out.say("not proved with smaller gaps", 0);
  for (const std::size_t body : {0u, 1u}) {
    const auto& obstacles = small.bay.bodies[body].body->obstacles;
    if (obstacles.empty() || obstacles.back().name.starts_with("neck")) continue;
    if (!all(proof_of(without_last_obstacle(small, body), routes, small.extra_gap_mm)))
      out.say("not proved with an obstacle less", static_cast<double>(body));
  }
}

// An attempt that is called blocked, of a bay with one line: sampling must not find a way.
void hold_blocked(const SmallBay& small, std::uint64_t task, const MakeAttempt& attempt, Outcome& out) {
  const BayLine& line = small.bay.lines.front();
  const PlacedNeck &from = small.bay.necks[line.from], &to = small.bay.necks[line.to];
  const Stock& stock = stock_named(small, attempt.stock);
  const double lead = lead_mm(stock);
  const double run = stock.outside_diameter.mm() / 2;
  const double thick = std::max(stock.outside_diameter, stock.coupler_outside).mm() / 2;
  const Vec3 a = from.end_mm + lead * from.outward, b = to.end_mm + lead * to.outward;
  const double span = 2e3;
  switch (attempt.outcome) {
    case SearchOutcome::stub_blocked: {
      double least = 1e9;
      for (double s = -28; s <= lead; s += 0.1) {
        const double radius = s < lead - 0.05 ? thick : run;
        const Spot first{s, from.end_mm + s * from.outward, radius, Runner::hose};
        least = std::min(least, spare_at(small, line, first, span, lead, lead));
        const Spot last{span - s, to.end_mm + s * to.outward, radius, Runner::hose};
        least = std::min(least, spare_at(small, line, last, span, lead, lead));
      }
      ++out.counts["stub blocked"];
      if (least > 0.02) out.say(attempt.stock + ": a stub is called blocked and has to spare", least);
      return;
    }
    case SearchOutcome::no_passage: {
      const double trim = 2 * 30.0;  // no hose holds less of its necks
      const double longest = stock.lengths.empty() ? 5e3 : stock.lengths.back().mm() - trim - 2 * lead;
      ++out.counts["no passage"];
      if (gets_through(small, line, a, b, run, longest))
        out.say(attempt.stock + ": called no passage, and there is one", 0);
      return;
    }
    case SearchOutcome::no_room_to_bend: {
      const double length = std::min(std::numbers::pi / 2 * tightest_mm(stock), 0.9 * (b - a).norm());
      const Dice dice(RunSeed{41}, task);
      ++out.counts["no room to bend"];
      if (can_turn(small, line, a, from.outward, run, tightest_mm(stock), length, dice) &&
          can_turn(small, line, b, to.outward, run, tightest_mm(stock), length, dice))
        out.say(attempt.stock + ": called no room to bend, and it can turn", 0);
      return;
    }
    default:
      return;
  }
}

bool is_argument(const MakeAttempt& attempt) {
  return attempt.outcome == SearchOutcome::stub_blocked || attempt.outcome == SearchOutcome::no_passage ||
         attempt.outcome == SearchOutcome::no_room_to_bend;
}

Outcome judge_bay(std::uint64_t task) {
  const SmallBay small = small_bay(task);
  Outcome out;
  const std::vector<LineSearch> searches = search(small, small.extra_gap_mm);
  std::vector<Route> routes;
  for (const LineSearch& line : searches)
    if (line.route) routes.push_back(*line.route);
  if (routes.size() == searches.size()) {
    const ProofReport report = proof_of(small, routes, small.extra_gap_mm);
    const bool fits =
        std::all_of(report.lines.begin(), report.lines.end(), [](const LineProof& p) { return p.proved; });
    ++out.counts[fits ? "fits" : "routed, not proved"];
    if (fits) {
      hold_against_sampling(small, routes, out);
      hold_against_laws(small, routes, out);
    }
    return out;
  }
  if (searches.size() > 1) return out;
  bool argued = false;
  for (const MakeAttempt& attempt : searches.front().attempts) {
    hold_blocked(small, task, attempt, out);
    argued = argued || is_argument(attempt);
  }
  if (!argued) ++out.counts["undecided"];
  // What is blocked stays blocked when gaps grow.
  const bool all_blocked =
      std::all_of(searches.front().attempts.begin(), searches.front().attempts.end(), is_argument);
  if (!all_blocked) return out;
  const std::vector<LineSearch> tighter = search(small, small.extra_gap_mm + 1);
  if (!tighter.front().route) return out;
  if (proof_of(small, {*tighter.front().route}, small.extra_gap_mm + 1).lines.front().proved)
    out.say("blocked, and proved with larger gaps", small.extra_gap_mm + 1);
  return out;
}

// HOSEFIT_BAYS asks for more of them.
std::size_t bays_wanted() {
  const char* const wanted = std::getenv("HOSEFIT_BAYS");
  return wanted ? std::stoul(wanted) : std::size_t{kSanitized ? 120 : 240};
}

}  // namespace

TEST_CASE("no claim about thousands of small bays is refuted by dense sampling", "[bays]") {
  std::vector<Outcome> outcomes(bays_wanted());
  parallel_for(outcomes.size(), Threads::of_machine(), [&](std::size_t i) { outcomes[i] = judge_bay(i); });
  std::map<std::string, int> totals;
  int wrong = 0;
  for (std::size_t i = 0; i < outcomes.size(); ++i) {
    for (const auto& [what, count] : outcomes[i].counts) totals[what] += count;
    for (const std::string& sentence : outcomes[i].wrong) {
      ++wrong;
      UNSCOPED_INFO("bay " << i << ": " << sentence);
      if (wrong <= 40) std::cout << "bay " << i << ": " << sentence << '\n';
    }
  }
  std::cout << "small bays: " << outcomes.size();
  for (const auto& [what, count] : totals) std::cout << "; " << what << ' ' << count;
  std::cout << "; claims refuted " << wrong << '\n';
  CHECK(wrong == 0);
  // The dice reach every kind of claim.
  for (const char* const kind : {"fits", "stub blocked", "no passage"}) {
    INFO(kind);
    CHECK(totals[kind] > static_cast<int>(outcomes.size()) / 100);
  }
}
