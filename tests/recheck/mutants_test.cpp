// SPDX-License-Identifier: GPL-3.0-or-later
// Routes that were proved, changed a little: both proofs must see every gap that is more than 0.05 mm short.
// The judge between them is dense sampling, written here.
#include <cstdio>
#include <cstdlib>

#include "solver/recheck/recheck.h"
#include "tests/recheck/mutant_routes.h"

using namespace hosefit;
using namespace hosefit::mutants;

namespace {

constexpr double kFine_mm = 0.02;  // sampling step; a least value is missed by at most half of it
constexpr double kCaught_mm = 0.05;

// The spare gap of a route to one obstacle, sampled; the parts over the necks as well.
class Oracle {
 public:
  Oracle(const Case& c, const Route& route, ObstacleRef ref) : case_(c), route_(route), ref_(ref) {
    const BayLine& line = c.bay.lines[route.line];
    const auto& stock = c.recorded.prepared->job().stock;
    stock_ = &*std::find_if(stock.begin(), stock.end(), [&](const Stock& s) { return s.id == route.stock; });
    from_ = &c.bay.necks[line.from];
    to_ = &c.bay.necks[line.to];
    carrier_ = line.carrier;
  }
  double least_mm() const {
    double least = 1e9;
    const double length = length_mm(route_.centreline);
    scan(0, length, 1.0, least);
    if (least < 3) scan(0, length, kFine_mm, least);
    scan_neck(*from_, route_.engagement_from_mm, least);
    scan_neck(*to_, route_.engagement_to_mm, least);
    return least;
  }

 private:
  bool own(const PlacedNeck& neck) const {
    return std::find(neck.own_part.begin(), neck.own_part.end(), ref_) != neck.own_part.end();
  }
  double required(LineCarrier carrier) const {
    return required_gap(case_.recorded.prepared->job().gaps, Runner::hose, carrier, obstacle(case_.bay, ref_),
                        case_.bay.bodies[ref_.body].body->carrier)
        .gap.mm();
  }
  void scan(double from, double to, double step, double& least) const {
    const double length = length_mm(route_.centreline), wanted = required(carrier_);
    const bool own_from = own(*from_), own_to = own(*to_);
    const double lead_from = least_lead_mm(*stock_, from_->outside_diameter),
                 lead_to = least_lead_mm(*stock_, to_->outside_diameter);
    const auto look = [&](double s, bool in_lead) {
      double outside = 0;
      for (const RouteSection& section : route_.sections)
        if (s >= section.from_s_mm - 1e-9 && s <= section.to_s_mm + 1e-9)
          outside = std::max(outside, section.outside_diameter_mm);
      least = std::min(least, case_.distance_mm(ref_, point_at(route_.centreline, s)) - outside / 2 -
                                  (in_lead ? 0 : wanted));
    };
    const int n = 1 + static_cast<int>((to - from) / step);
    for (int k = 0; k <= n; ++k) {
      const double s = from + (to - from) * k / n;
      look(s, (own_from && s < lead_from) || (own_to && s > length - lead_to));
    }
    // Where the whole gap begins to count, the nearest sample may be a whole step away.
    if (own_from && lead_from <= to) look(lead_from, false);
    if (own_to && length - lead_to >= from) look(length - lead_to, false);
  }
  void scan_neck(const PlacedNeck& neck, double engagement, double& least) const {
    if (own(neck)) return;
    const double outside =
        std::max({stock_->outside_diameter.mm(), stock_->coupler_outside.mm(),
                  (&neck == from_ ? route_.sections.front() : route_.sections.back()).outside_diameter_mm});
    const double wanted =
        required(neck.carrier == Carrier::engine ? LineCarrier::engine : LineCarrier::chassis);
    for (double s = 0; s <= engagement; s += kFine_mm * 5)
      least = std::min(least, case_.distance_mm(ref_, neck.end_mm - s * neck.outward) - outside / 2 - wanted);
  }

  const Case& case_;
  const Route& route_;
  ObstacleRef ref_;
  const Stock* stock_ = nullptr;
  const PlacedNeck *from_ = nullptr, *to_ = nullptr;
  LineCarrier carrier_ = LineCarrier::both;
};

constexpr std::array kSizes{0.0, 0.05, 0.1, 0.5, 1.0, 5.0, 1e9};
struct Tally {
  std::array<int, 6> made{}, verify{}, recheck{};
  void add(double short_mm, bool by_verify, bool by_recheck) {
    for (std::size_t i = 0; i < made.size(); ++i) {
      if (!(short_mm > kSizes[i] && short_mm <= kSizes[i + 1])) continue;
      ++made[i];
      verify[i] += by_verify;
      recheck[i] += by_recheck;
    }
  }
};

struct Outcome {
  Tally gaps;
  std::map<std::string, int> ways, other_caught;
  int mutants = 0, gaps_held = 0;
};

bool has(const std::vector<recheck::Fault>& faults, const std::string& part) {
  return std::any_of(faults.begin(), faults.end(),
                     [&](const recheck::Fault& f) { return f.text.find(part) != std::string::npos; });
}

void judge(const Case& c, std::size_t line, const Route& route, Way way, double by_mm, Outcome& outcome) {
  std::vector<Route> routes = c.result().routes;
  routes[line] = route;
  const Job& job = c.recorded.prepared->job();
  const ProofReport proof = prove(c.bay, c.bodies, {&route, 1}, job.gaps, job.stock, ProofOptions{});
  const LineProof& first = proof.lines[0];

  const recheck::RecordedLine recorded = as_recorded(c.record.candidates[c.candidate].lines[line], route);
  REQUIRE(recheck::curve_faults(recorded.curve).empty());
  const auto stock = std::find_if(c.job.stock.begin(), c.job.stock.end(),
                                  [&](const recheck::Stock& s) { return s.id == recorded.stock; });
  REQUIRE(stock != c.job.stock.end());
  const recheck::Tube tube = recheck::tube_of(c.second, route.line, recorded, *stock);
  recheck::Effort effort;
  const recheck::GapsFound second = recheck::measure_gaps(c.second, c.job.gaps, tube, {&tube, 1}, effort);
  REQUIRE_FALSE(effort.spent());

  const std::string name = c.bay.lines[route.line].line.name;
  for (std::size_t b = 0; b < c.bay.bodies.size(); ++b) {
    const Body& body = *c.bay.bodies[b].body;
    for (std::size_t o = 0; o < body.obstacles.size(); ++o) {
      const double spare = Oracle(c, route, {b, o}).least_mm();
      if (spare > 5) continue;
      const auto gap = std::find_if(first.gaps.begin(), first.gaps.end(), [&](const GapRecord& g) {
        return g.ref && *g.ref == ObstacleRef{b, o};
      });
      const bool by_verify =
          gap != first.gaps.end() && gap->found_mm < gap->required_mm - 1e-6 && !first.proved;
      const bool by_recheck =
          std::any_of(second.faults.begin(), second.faults.end(), [&](const recheck::Fault& f) {
            return f.text.find(" to " + body.name + ": " + body.obstacles[o].name + " at ") !=
                       std::string::npos &&
                   f.text.ends_with(" short");
          });
      outcome.gaps.add(-spare, by_verify, by_recheck);
      if (spare >= 0) ++outcome.gaps_held;
      INFO(c.vehicle << ", " << name << " " << kWayWords[static_cast<std::size_t>(way)] << " by " << by_mm
                     << " mm, to " << body.name << ": " << body.obstacles[o].name << ": sampled " << spare
                     << " mm to spare, verify "
                     << (gap == first.gaps.end() ? 999 : gap->found_mm - gap->required_mm));
      if (-spare > kCaught_mm) {
        CHECK(by_verify);
        CHECK(by_recheck);
      }
      if (spare > kFine_mm / 2 + 1e-3) {  // what holds is refused by neither
        CHECK_FALSE(by_verify);
        CHECK_FALSE(by_recheck);
      }
    }
  }

  // What else was broken on the way: an end off its neck, a bend tighter than its stock.
  const PlacedNeck &from = c.bay.necks[c.bay.lines[route.line].from],
                   &to = c.bay.necks[c.bay.lines[route.line].to];
  const double off = std::max((start_point(route.centreline) - from.end_mm).norm(),
                              (end_point(route.centreline) - to.end_mm).norm());
  const auto stopped = [&](RuleId rule) {
    return std::any_of(first.findings.begin(), first.findings.end(),
                       [&](const Finding& f) { return f.rule == rule && f.severity == Severity::stop; });
  };
  if (off > kCaught_mm) {
    INFO(name << " ends " << off << " mm off");
    CHECK(stopped(RuleId::end_mismatch));
    CHECK(has(recheck::end_faults(c.second, tube), "off the neck"));
    ++outcome.other_caught["ends off a neck"];
  }
  const double tightest = tightest_bend_mm(route.centreline).value_or(1e9);
  const bool moulded = stock->make == "moulded_shape";  // every radius of it is the shape's or refuted
  const bool too_tight = moulded
                             ? way == Way::tighten && by_mm > kCaught_mm
                             : stock->make != "bent_tube" && tightest < stock->radii_mm.front() - kCaught_mm;
  if (too_tight) {
    INFO(name << " bends at " << tightest << " mm");
    CHECK(stopped(RuleId::bend_radius));
    CHECK(has(recheck::stock_faults(c.second, tube), "has a radius of"));
    ++outcome.other_caught["bends too tight"];
  }
}

void mutate(const Case& c, int count, Outcome& outcome) {
  Dice dice(RunSeed{20}, c.candidate);
  const auto& proofs = c.result().proof.lines;
  int tries = 0;
  for (int made = 0; made < count && tries < 20 * count;) {
    ++tries;
    const std::size_t line = dice.below(c.result().routes.size());
    const auto& gaps = proofs[line].gaps;
    if (gaps.empty()) continue;
    const GapRecord& gap = gaps[dice.below(std::min<std::uint64_t>(gaps.size(), 4))];
    if (!gap.ref) continue;
    const Way way = kWays[dice.below(kWays.size())];
    // So that shortfalls of every size come about: through the spare gap, and 0.05 to 5 mm on.
    const double into = 0.05 * std::pow(100, dice.unit());
    const double spare = gap.found_mm - gap.required_mm;
    const bool aimed = way == Way::push || way == Way::rotate || way == Way::move_corner;
    const double by = aimed && dice.unit() < 0.8 ? spare + into : into;
    const auto changed = mutant(c, c.result().routes[line], gap, way, by, dice);
    if (!changed) continue;
    ++made;
    ++outcome.mutants;
    ++outcome.ways[kWayWords[static_cast<std::size_t>(way)]];
    judge(c, line, *changed, way, by, outcome);
  }
}

void print(const Outcome& outcome) {
  std::printf("%d mutants:", outcome.mutants);
  for (const auto& [way, n] : outcome.ways) std::printf(" %d %s", n, way.c_str());
  std::printf("; %d gaps within 5 mm held\n", outcome.gaps_held);
  for (std::size_t i = 0; i < outcome.gaps.made.size(); ++i)
    if (outcome.gaps.made[i] > 0)
      std::printf(
          "  gaps short by %.2f to %.2f mm: %5d, caught by the proof %.1f %%, by the recheck %.1f %%\n",
          kSizes[i], std::min(kSizes[i + 1], 999.0), outcome.gaps.made[i],
          100.0 * outcome.gaps.verify[i] / outcome.gaps.made[i],
          100.0 * outcome.gaps.recheck[i] / outcome.gaps.made[i]);
  for (const auto& [what, n] : outcome.other_caught)
    std::printf("  %s: %d, caught by both\n", what.c_str(), n);
}

}  // namespace

TEST_CASE("every gap of a changed route that is more than 0.05 mm short is caught by proof and recheck",
          "[mutants][whole]") {
  const char* asked = std::getenv("HOSEFIT_MUTANTS");
  const int count = asked == nullptr ? 200 : std::atoi(asked);
  using Asked = std::vector<std::pair<std::string, double>>;
  const Asked pickup = asked == nullptr ? Asked{{"long left", 316}}
                                        : Asked{{"long left", 316}, {"long left", 350}, {"low left", 330}};
  const Asked coupe = asked == nullptr ? Asked{{"left outlet", 290}}
                                       : Asked{{"left outlet", 284}, {"left outlet", 290}, {"low left", 302}};
  Outcome outcome;
  for (const auto& [vehicle, pumps] :
       {std::pair(std::string("harrow_half_ton"), pickup), {std::string("linnet_coupe"), coupe}}) {
    const Recorded recorded(vehicle, pumps);
    for (std::size_t i = 0; i < pumps.size(); ++i)
      mutate(Case(recorded, vehicle, i), count / 2 / static_cast<int>(pumps.size()), outcome);
  }
  print(outcome);
  CHECK(outcome.mutants >= count - 6);
  CHECK(outcome.gaps.made[1] + outcome.gaps.made[2] > count / 20);
}
