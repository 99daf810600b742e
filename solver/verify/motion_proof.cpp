// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/motion_proof.h"

#include <algorithm>
#include <functional>
#include <numbers>
#include <tuple>

#include "solver/verify/clamp_proof.h"
#include "solver/verify/line_prover.h"
#include "solver/verify/motion_box.h"
#include "solver/verify/refusal.h"

namespace hosefit {
namespace {

constexpr double kStaysStraight_mm = 1e-6;
constexpr double kAnywhere_mm = 1e9;
constexpr double kTold_mm = 20.0;    // gaps with more to spare are not told
constexpr double kBeside_mm = 30.0;  // so near along its own line a clamp may touch it, as at rest

// Of rest and the corners, the place where the two ends of a free stretch are furthest apart.
struct Furthest {
  double chord_mm = 0;
  EnginePlace place = EnginePlace::Zero();
};
Furthest furthest_ends(const LineInMotion& line, const EnginePlaces& places) {
  Furthest out{line.chord_mm(EnginePlace::Zero()), EnginePlace::Zero()};
  for (const EnginePlace& place : corners({places.centre, places.half}))
    if (const double chord = line.chord_mm(place); chord > out.chord_mm) out = {chord, place};
  return out;
}

// Those at necks go with them; those inside a run ride on the stretch that holds them.
std::optional<LineInMotion> clamp_in_motion(const MotionQuestion& asked, const Route& route,
                                            const Stock* stock, const ClampRecord& clamp,
                                            const std::vector<LineInMotion>& stretches) {
  const BayLine& line = asked.bay.lines[route.line];
  const PlacedNeck &from = asked.bay.necks[line.from], &to = asked.bay.necks[line.to];
  LineLink link;
  link.from_s_mm = link.to_s_mm = clamp.s_mm;
  link.radius_mm = kClampRadius_mm;
  link.runner = Runner::clamp;
  if (clamp.neck) {
    const bool on_engine = asked.bay.necks[*clamp.neck].carrier == Carrier::engine;
    link.over_neck = true;
    link.carrier = on_engine ? LineCarrier::engine : LineCarrier::chassis;
    (line.from == *clamp.neck ? link.own_from : link.own_to) = OwnPart::must_not_touch;
    return LineInMotion{route.line, clamp.housing, link, on_engine, asked.places};
  }
  const auto lead_mm = [&](const PlacedNeck& neck) {
    return stock != nullptr ? least_lead_mm(*stock, neck.outside_diameter) : 0.0;
  };
  if (clamp.s_mm < lead_mm(from)) link.own_from = OwnPart::must_not_touch;
  if (clamp.s_mm > length_mm(route.centreline) - lead_mm(to)) link.own_to = OwnPart::must_not_touch;
  for (const LineInMotion& stretch : stretches) {
    if (!stretch.holds(clamp.s_mm) || !stretch.at_rest()) continue;
    for (const LineLink& beside : stretch.links())
      if (!beside.over_neck) link.carrier = beside.carrier;
    return stretch.riding(clamp.housing, link);
  }
  return std::nullopt;  // the stretch takes no shape, which is told of it
}

Finding no_shape(const std::string& line, std::string_view reason) {
  Finding finding = refused(RuleId::motion_shape, line, reason);
  finding.undecided = true;
  return finding;
}

// Nothing is as long as the way between its ends and bends still; what is shorter cannot be there at all.
// What lies straight stays so where its ends come no further apart.
bool is_long_enough(const MotionQuestion& asked, const LineInMotion& line, MotionLine& told) {
  const Furthest furthest = furthest_ends(line, asked.places);
  if (furthest.chord_mm <= 0) return true;
  const double slack = line.length_mm() / furthest.chord_mm - 1;
  told.least_slack = std::min(slack, told.least_slack.value_or(slack));
  const double at_rest = line.chord_mm(EnginePlace::Zero());
  if (line.length_mm() > furthest.chord_mm || furthest.chord_mm <= at_rest + kStaysStraight_mm) return true;
  Finding finding = below_limit(RuleId::motion_shape, Severity::stop, asked.bay.lines[line.line()].line.name,
                                line.length_mm(), furthest.chord_mm, FindingUnit::mm);
  finding.parameters["reason"] = "drawn_tight";
  told.findings.push_back(in_motion(std::move(finding), furthest.place));
  return false;
}

// Another shape that the hose may snap into must hold as well, or nobody knows which one it takes.
void prove_others(const MotionQuestion& asked, const LineInMotion& line,
                  const std::function<void(const LineShape&, MotionLine&)>& prove, MotionLine& told) {
  for (const LineShape& other : line.others_at_rest()) {
    MotionLine second;
    prove(other, second);
    told.boxes += second.boxes;
    told.shapes += second.shapes;
    told.distance_queries += second.distance_queries;
    if (second.findings.empty()) continue;
    Finding finding = no_shape(asked.bay.lines[line.line()].line.name, "second_shape");
    finding.other = second.findings.front().other;
    told.findings.push_back(std::move(finding));
  }
}

// With the other shapes of the stretch that each one rides on.
void prove_clamps(const MotionQuestion& asked, const std::vector<LineInMotion>& stretches,
                  const std::vector<LineInMotion>& clamps, MotionLine& told) {
  for (const LineInMotion& clamp : clamps) {
    prove_line(asked, clamp, *clamp.at_rest(), told);
    if (clamp.links().front().over_neck) continue;
    for (const LineInMotion& stretch : stretches) {
      if (!stretch.at_rest() || !stretch.holds(clamp.links().front().from_s_mm)) continue;
      prove_others(
          asked, stretch,
          [&](const LineShape& other, MotionLine& second) {
            prove_line(asked, clamp, clamp.riding_in(other), second);
          },
          told);
    }
  }
}

bool same_about(const Finding& a, const Finding& b) {
  return a.rule == b.rule && a.other == b.other;
}

// Several stretches of a line may say the same of one thing: the gravest stays.
void join_findings(std::vector<Finding>& findings) {
  std::stable_sort(findings.begin(), findings.end(), [](const Finding& a, const Finding& b) {
    if (a.undecided != b.undecided) return b.undecided;
    return a.margin.value_or(0) < b.margin.value_or(0);
  });
  std::vector<Finding> kept;
  for (Finding& finding : findings)
    if (std::none_of(kept.begin(), kept.end(), [&](const Finding& k) { return same_about(k, finding); }))
      kept.push_back(std::move(finding));
  findings = std::move(kept);
}

void join_gaps(std::vector<MotionGap>& gaps) {
  std::stable_sort(gaps.begin(), gaps.end(), [](const MotionGap& a, const MotionGap& b) {
    return a.found_mm - a.required_mm < b.found_mm - b.required_mm;
  });
  std::vector<MotionGap> kept;
  for (MotionGap& gap : gaps)
    if (std::none_of(kept.begin(), kept.end(),
                     [&](const MotionGap& k) { return k.ref == gap.ref && k.other == gap.other; }))
      kept.push_back(std::move(gap));
  gaps = std::move(kept);
}

// A line with its free stretches and its clamps.
struct Held {
  std::vector<LineInMotion> stretches, clamps;
  MotionLine told;
};

void add_clamps(const MotionQuestion& asked, const Route& route, const Stock* stock, const LineProof& at_rest,
                bool at_necks, Held& held) {
  std::vector<LineInMotion> clamps;
  for (const ClampRecord& clamp : at_rest.clamps)
    if (clamp.neck.has_value() == at_necks)
      if (auto moving = clamp_in_motion(asked, route, stock, clamp, held.stretches))
        clamps.push_back(std::move(*moving));
  prove_clamps(asked, held.stretches, clamps, held.told);
  for (LineInMotion& clamp : clamps) held.clamps.push_back(std::move(clamp));
}

Held prove_held(const MotionQuestion& asked, const Route& route, const Stock* stock, const LineProof& at_rest,
                std::vector<ClipPlace> clips) {
  Held out;
  out.told.line = route.line;
  for (const FreeStretch& stretch : free_stretches(asked.bay, route, clips)) {
    out.stretches.emplace_back(asked.bay, route, stock, asked.places, stretch);
    const LineInMotion& line = out.stretches.back();
    if (line.between_carriers() && !is_long_enough(asked, line, out.told)) continue;
    if (!line.at_rest()) {
      out.told.findings.push_back(no_shape(asked.bay.lines[route.line].line.name, "no_shape_at_rest"));
      continue;
    }
    prove_line(asked, line, *line.at_rest(), out.told);
    prove_others(
        asked, line,
        [&](const LineShape& other, MotionLine& second) { prove_line(asked, line, other, second); },
        out.told);
  }
  add_clamps(asked, route, stock, at_rest, false, out);
  join_findings(out.told.findings);
  out.told.clips = std::move(clips);
  return out;
}

// Of the ways to clip it the first with which the line alone holds; else that with the fewest faults:
// stretches without a shape first, then what is refused, then what is not decided.
Held best_held(const MotionQuestion& asked, const Route& route, const Stock* stock, const LineProof& at_rest,
               const std::vector<std::vector<ClipPlace>>& clips) {
  const auto faults = [](const Held& held) {
    const auto& findings = held.told.findings;
    const auto count = [&](auto counts) { return std::count_if(findings.begin(), findings.end(), counts); };
    return std::tuple{count([](const Finding& f) { return f.rule == RuleId::motion_shape; }),
                      count([](const Finding& f) { return !f.undecided; }), findings.size()};
  };
  std::optional<Held> best;
  for (const std::vector<ClipPlace>& layout : clips) {
    Held held = prove_held(asked, route, stock, at_rest, layout);
    if (!best || faults(held) < faults(*best)) best = std::move(held);
    if (best->told.findings.empty()) break;
  }
  best->told.clips_wanted = clips.front().size();
  add_clamps(asked, route, stock, at_rest, true, *best);
  return *std::move(best);
}

// What goes about, and where.
struct Reach {
  const LineInMotion* line;
  AxisBox box;
  double most_mm;  ///< radius, and a gap that may be asked
};

double most_between_lines_mm(const GapTable& gaps) {
  double most = 0;
  for (const Runner runner : {Runner::hose, Runner::clamp, Runner::rigid_part})
    for (const bool same : {false, true})
      most = std::max(most, gaps.row(runner, Hazard::another_hose, same).after_motion.mm());
  return most;
}

std::vector<Reach> reaches_of(const MotionQuestion& asked, const std::vector<LineInMotion>& lines) {
  const double gap = most_between_lines_mm(asked.gaps);
  std::vector<Reach> out;
  for (const LineInMotion& line : lines) {
    Reach reach{&line, {}, gap};
    for (const LineLink& link : line.links()) reach.most_mm = std::max(reach.most_mm, link.radius_mm + gap);
    EnginePlace lost;
    const PlaceBox all{asked.places.centre, asked.places.half};
    const auto over =
        line.at_rest() ? line_over_box(line, asked.places, all, *line.at_rest(), lost) : std::nullopt;
    reach.box =
        over ? swept(over->on_chassis) : AxisBox(Vec3::Constant(-kAnywhere_mm), Vec3::Constant(kAnywhere_mm));
    out.push_back(std::move(reach));
  }
  return out;
}

bool may_meet(const Reach& a, const Reach& b) {
  return a.box.exteriorDistance(b.box) <= a.most_mm + b.most_mm + kTold_mm;
}

struct Reaches {
  std::vector<Reach> stretches, clamps;
};

void prove_pairs(const MotionQuestion& asked, const Reaches& a, const Reaches& b, MotionLine& told_a,
                 MotionLine& told_b) {
  for (const auto* of_a : {&a.stretches, &a.clamps})
    for (const auto* of_b : {&b.stretches, &b.clamps})
      for (const Reach& one : *of_a)
        for (const Reach& other : *of_b)
          if (may_meet(one, other)) prove_pair(asked, *one.line, *other.line, told_a, told_b);
}

// Places up to half a turn of the tightest bend apart along the line cannot touch, unless that bend is
// tighter than the line's own radius. Bends that clips keep as planned count too, and of the shapes in motion
// only some were worked out, so a tenth is taken off.
void prove_alone(const MotionQuestion& asked, const Route& route, const Held& held, const Reaches& reaches,
                 MotionLine& told) {
  const std::vector<LineInMotion>& stretches = held.stretches;
  const bool as_made = stretches.front().at_rest() && stretches.front().at_rest()->rod.frames.empty();
  if (stretches.size() == 1 && as_made) return;  // goes as it was proved at rest
  for (std::size_t i = 0; i < reaches.clamps.size(); ++i) {
    const Reach& clamp = reaches.clamps[i];
    for (const Reach& stretch : reaches.stretches)
      if (may_meet(clamp, stretch)) prove_against_itself(asked, *clamp.line, *stretch.line, kBeside_mm, told);
    for (std::size_t j = i + 1; j < reaches.clamps.size(); ++j)
      if (may_meet(clamp, reaches.clamps[j]))
        prove_against_itself(asked, *clamp.line, *reaches.clamps[j].line, kBeside_mm, told);
  }
  constexpr double kStraight_mm = 1e9;
  const double tightest = std::min(told.tightest_bend_mm.value_or(kStraight_mm),
                                   tightest_bend_mm(route.centreline).value_or(kStraight_mm));
  if (tightest >= kStraight_mm) return;
  const double apart = 0.9 * std::numbers::pi * tightest;
  for (std::size_t i = 0; i < stretches.size(); ++i)
    for (std::size_t j = i; j < stretches.size(); ++j)
      prove_against_itself(asked, stretches[i], stretches[j], apart, told);
}

}  // namespace

std::vector<MotionLine> prove_in_motion(const Bay& bay, const ProofBodies& bodies,
                                        std::span<const Route> routes, const ProofReport& at_rest,
                                        std::span<const std::vector<std::vector<ClipPlace>>> clips,
                                        const GapTable& gaps, std::span<const Stock> stock,
                                        const EnginePlaces& places, const MotionOptions& options) {
  const MotionQuestion asked{bay, bodies, gaps, places, options};
  std::vector<MotionLine> out(routes.size());
  std::vector<Held> lines;
  std::vector<Reaches> reaches;
  for (std::size_t i = 0; i < routes.size(); ++i) {
    const bool given = i < clips.size() && !clips[i].empty();
    const Stock* made_of = stock_of(routes[i], stock);
    lines.push_back(best_held(asked, routes[i], made_of, at_rest.lines[i],
                              given ? clips[i] : std::vector<std::vector<ClipPlace>>(1)));
    out[i] = std::move(lines.back().told);
  }
  for (const Held& held : lines)
    reaches.push_back({reaches_of(asked, held.stretches), reaches_of(asked, held.clamps)});
  for (std::size_t i = 0; i < lines.size(); ++i) prove_alone(asked, routes[i], lines[i], reaches[i], out[i]);
  for (std::size_t i = 0; i < lines.size(); ++i)
    for (std::size_t j = i + 1; j < lines.size(); ++j)
      if (routes[i].line != routes[j].line) prove_pairs(asked, reaches[i], reaches[j], out[i], out[j]);
  for (MotionLine& told : out) {
    join_gaps(told.gaps);
    join_findings(told.findings);
    told.proved = std::none_of(told.findings.begin(), told.findings.end(),
                               [](const Finding& f) { return f.severity == Severity::stop || f.undecided; });
  }
  return out;
}

}  // namespace hosefit
