// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/proof.h"

#include <algorithm>

#include "solver/verify/clamp_proof.h"
#include "solver/verify/curve_rules.h"
#include "solver/verify/gap_proof.h"
#include "solver/verify/place_rules.h"
#include "solver/verify/refusal.h"
#include "solver/verify/stock_rules.h"
#include "solver/verify/tube.h"

namespace hosefit {
namespace {

void add(LineProof& proof, std::vector<Finding> findings) {
  for (Finding& finding : findings) proof.findings.push_back(std::move(finding));
}

void add(LineProof& proof, GapsMeasured measured) {
  for (GapRecord& gap : measured.gaps) proof.gaps.push_back(std::move(gap));
  add(proof, std::move(measured.findings));
  proof.distance_queries += measured.distance_queries;
}

// A line that is itself unseen by a scan is told once, without its clamps.
void add(LineProof& proof, ClampMeasured measured) {
  proof.clamps.push_back(std::move(measured.record));
  std::erase_if(measured.findings, [&](const Finding& clamp) {
    return clamp.rule == RuleId::unseen_space &&
           std::any_of(proof.findings.begin(), proof.findings.end(), [&](const Finding& f) {
             return f.rule == RuleId::unseen_space && f.other == clamp.other;
           });
  });
  add(proof, std::move(measured.findings));
  proof.distance_queries += measured.distance_queries;
}

// What needs no distance to anything: the curve itself, its stock, its grade.
void check_alone(LineProof& proof, const Bay& bay, const Route& route, const Stock* stock) {
  add(proof, check_ends(bay, route));
  if (stock) {
    add(proof, check_hose_ends(bay, route, *stock));
    add(proof, check_stock_rules(bay, route, *stock));
  } else {
    Finding finding = refused(RuleId::no_stock, bay.lines[route.line].line.name, "unknown_stock");
    finding.other = route.stock;
    proof.findings.push_back(std::move(finding));
  }
  add(proof, check_grade(bay, route));
}

// One after the other; `placed` are those of other lines before it. An alternative route of the same line is
// not there when this one is.
void measure_clamps(LineProof& proof, ClampQuestion asked, const Route& route, const Stock* stock,
                    std::vector<PlacedClamp> placed) {
  const ClampSeats clamps = clamp_seats(asked.bay, route, stock);
  for (const ClampSeat& seat : clamps.seats) {
    asked.clamps = placed;
    add(proof, best_clamp(asked, seat));
    placed.push_back({route.line, proof.clamps.back().housing});
  }
  add(proof, clamps.refused);
}

void conclude(LineProof& proof) {
  std::stable_sort(proof.gaps.begin(), proof.gaps.end(), [](const GapRecord& a, const GapRecord& b) {
    return a.found_mm - a.required_mm < b.found_mm - b.required_mm;
  });
  proof.proved = std::none_of(proof.findings.begin(), proof.findings.end(),
                              [](const Finding& f) { return f.severity == Severity::stop || f.undecided; });
}

}  // namespace

ProofReport prove(const Bay& bay, const ProofBodies& bodies, std::span<const Route> routes,
                  const GapTable& gaps, std::span<const Stock> stock, const ProofOptions& options) {
  ProofReport report;
  report.lines.resize(routes.size());
  std::vector<std::optional<Tube>> tubes(routes.size());
  for (std::size_t i = 0; i < routes.size(); ++i) {
    LineProof& proof = report.lines[i];
    proof.line = routes[i].line;
    add(proof, check_curve(bay, routes[i]));
    if (!proof.findings.empty()) continue;
    const Stock* known = stock_of(routes[i], stock);
    check_alone(proof, bay, routes[i], known);
    tubes[i] = tube_of(bay, routes[i], known);
    add(proof, check_known_space(bay, *tubes[i]));
    add(proof, check_unseen_space(bay, bodies, *tubes[i]));
    add(proof, gaps_to_obstacles(bay, bodies, *tubes[i], gaps, options));
    add(proof, gap_to_itself(bay, *tubes[i], options));
  }
  std::vector<PlacedClamp> placed;
  for (std::size_t i = 0; i < routes.size(); ++i) {
    if (!tubes[i]) continue;
    std::vector<const Tube*> others;
    for (std::size_t j = 0; j < routes.size(); ++j) {
      if (!tubes[j] || routes[j].line == routes[i].line) continue;
      others.push_back(&*tubes[j]);
      if (j < i) continue;
      LinePairMeasured pair = gap_between(bay, *tubes[i], *tubes[j], gaps, options);
      add(report.lines[i], std::move(pair.first));
      add(report.lines[j], std::move(pair.second));
    }
    const Stock* known = stock_of(routes[i], stock);
    const auto lead_mm = [&](const PlacedNeck& neck) {
      return known != nullptr ? least_lead_mm(*known, neck.outside_diameter) : 0.0;
    };
    std::vector<PlacedClamp> before = placed;
    std::erase_if(before, [&](const PlacedClamp& c) { return c.line == routes[i].line; });
    ClampQuestion asked{
        bay, bodies, *tubes[i], lead_mm(from_neck(bay, routes[i])), lead_mm(to_neck(bay, routes[i])), others,
        {},  gaps,   options};
    measure_clamps(report.lines[i], asked, routes[i], known, before);
    for (const ClampRecord& clamp : report.lines[i].clamps) placed.push_back({routes[i].line, clamp.housing});
  }
  for (LineProof& proof : report.lines) conclude(proof);
  return report;
}

}  // namespace hosefit
