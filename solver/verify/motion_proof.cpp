// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/motion_proof.h"

#include <algorithm>

#include "solver/verify/clamp_proof.h"
#include "solver/verify/line_prover.h"
#include "solver/verify/refusal.h"

namespace hosefit {
namespace {

std::optional<double> least_slack(const LineInMotion& line, const EnginePlaces& places) {
  if (!line.flexes()) return std::nullopt;
  double longest = line.chord_mm(EnginePlace::Zero());
  for (int corner = 0; corner < 16; ++corner) {
    EnginePlace place = places.centre;
    for (Eigen::Index k = 0; k < 4; ++k) place[k] += ((corner >> k) & 1) ? places.half[k] : -places.half[k];
    longest = std::max(longest, line.chord_mm(place));
  }
  return longest > 0 ? line.length_mm() / longest - 1 : 0.0;
}

LineInMotion clamp_in_motion(const Bay& bay, std::size_t line, const ClampRecord& clamp,
                             const EnginePlaces& places) {
  const PlacedNeck& neck = bay.necks[*clamp.neck];
  LineLink link;
  link.radius_mm = kClampRadius_mm;
  link.runner = Runner::clamp;
  link.over_neck = true;
  link.carrier = neck.carrier == Carrier::engine ? LineCarrier::engine : LineCarrier::chassis;
  (bay.lines[line].from == *clamp.neck ? link.own_from : link.own_to) = OwnPart::must_not_touch;
  return {line, clamp.housing, link, neck.carrier == Carrier::engine, places};
}

Finding no_shape(const std::string& line, std::string_view reason) {
  Finding finding = refused(RuleId::motion_shape, line, reason);
  finding.undecided = true;
  return finding;
}

// Another shape that the hose may snap into must hold as well, or nobody knows which one it takes.
void prove_others(const MotionQuestion& asked, const LineInMotion& line, MotionLine& told) {
  for (const LineShape& other : line.others_at_rest()) {
    MotionLine second;
    prove_line(asked, line, other, second);
    told.boxes += second.boxes;
    told.shapes += second.shapes;
    told.distance_queries += second.distance_queries;
    if (second.findings.empty()) continue;
    Finding finding = no_shape(asked.bay.lines[line.line()].line.name, "second_shape");
    finding.other = second.findings.front().other;
    told.findings.push_back(std::move(finding));
  }
}

// Clamps at necks go with them. Those inside a run go with the hose, which is not followed that far.
void prove_clamps(const MotionQuestion& asked, const Route& route, const LineProof& at_rest,
                  MotionLine& told) {
  for (const ClampRecord& clamp : at_rest.clamps) {
    if (!clamp.neck) continue;
    const LineInMotion housing = clamp_in_motion(asked.bay, route.line, clamp, asked.places);
    prove_line(asked, housing, *housing.at_rest(), told);
  }
}

}  // namespace

std::vector<MotionLine> prove_in_motion(const Bay& bay, const ProofBodies& bodies,
                                        std::span<const Route> routes, const ProofReport& at_rest,
                                        const GapTable& gaps, std::span<const Stock> stock,
                                        const EnginePlaces& places, const MotionOptions& options) {
  const MotionQuestion asked{bay, bodies, gaps, places, options};
  std::vector<MotionLine> out(routes.size());
  std::vector<LineInMotion> lines;
  for (std::size_t i = 0; i < routes.size(); ++i) {
    const Stock* known = stock_of(routes[i], stock);
    lines.emplace_back(bay, routes[i], known, places);
    const LineInMotion& line = lines.back();
    MotionLine& told = out[i];
    told.line = routes[i].line;
    told.least_slack = least_slack(line, places);
    if (line.at_rest()) {
      prove_line(asked, line, *line.at_rest(), told);
      prove_others(asked, line, told);
    } else {
      told.findings.push_back(no_shape(bay.lines[routes[i].line].line.name, "no_shape_at_rest"));
    }
    prove_clamps(asked, routes[i], at_rest.lines[i], told);
  }
  for (std::size_t i = 0; i < lines.size(); ++i)
    for (std::size_t j = i + 1; j < lines.size(); ++j)
      if (lines[i].line() != lines[j].line() && lines[i].at_rest() && lines[j].at_rest())
        prove_pair(asked, lines[i], lines[j], out[i], out[j]);
  for (MotionLine& told : out) {
    std::stable_sort(told.gaps.begin(), told.gaps.end(), [](const MotionGap& a, const MotionGap& b) {
      return a.found_mm - a.required_mm < b.found_mm - b.required_mm;
    });
    told.proved = std::none_of(told.findings.begin(), told.findings.end(),
                               [](const Finding& f) { return f.severity == Severity::stop || f.undecided; });
  }
  return out;
}

}  // namespace hosefit
