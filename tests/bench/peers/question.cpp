// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/bench/peers/question.h"

#include <algorithm>

#include "solver/route/joints.h"
#include "solver/verify/proof.h"
#include "tests/bench/peers/clearance_calls.h"

namespace hosefit::bench {
namespace {

// A peer's path is not polished, so it must hold as it is: between two samples 1.5 mm apart the margin can be
// less by 0.04 mm, and the check at the end wants 0.02 mm.
constexpr double kSpareOfAPeer_mm = 0.06;
// The cheap estimate refuses what is far in an obstacle; near a surface it may be off by some mm.
constexpr double kSureOverlap_mm = 6.0;

RunProblem posed(const family::FamilyBay& bay, const GapTable& gaps) {
  const PlacedNeck &from = bay.bay.necks[0], &to = bay.bay.necks[1];
  RunProblem problem;
  problem.rules = bend_rules(bay.stock, from, to);
  problem.start = {from.end_mm, from.outward};
  problem.goal = {to.end_mm, -to.outward};
  problem.radius_mm = problem.rules.radii_mm.front();
  problem.self_gap_mm = gaps.row(Runner::hose, Hazard::another_hose, true).at_rest.mm();
  return problem;
}

}  // namespace

Question::Question(family::FamilyBay bay)
    : bay_(std::move(bay)),
      gaps_(family::even_gaps(bay_.gap_mm)),
      field_(bay_.bay, store_, gaps_, Runner::hose, LineCarrier::chassis),
      problem_(posed(bay_, gaps_)) {}

AxisBox Question::throwing_box() const {
  const Heading a = start_of_run(problem_), b = end_of_run(problem_);
  AxisBox ends(a.at_mm);
  ends.extend(b.at_mm);
  const Vec3 around = Vec3::Constant(0.5 * (a.at_mm - b.at_mm).norm() + 3 * problem_.radius_mm);
  const AxisBox wide(Vec3(ends.min() - around), Vec3(ends.max() + around));
  AxisBox all = field_.bounds();
  if (all.isEmpty()) return wide;
  const Vec3 hose = Vec3::Constant(1.5 * problem_.rules.outside_diameter_mm);
  all = AxisBox(Vec3(all.min() - hose), Vec3(all.max() + hose));
  all.extend(ends);
  return wide.intersection(all);
}

Question::Verdict Question::proof_of(const Centreline& line) const {
  const Assembly assembly = assembly_of(bay_.stock, problem_.rules, line);
  Route route;
  route.make = bay_.stock.make;
  route.stock = bay_.stock.id;
  route.centreline = line;
  route.sections = assembly.sections;
  route.pieces = assembly.pieces;
  route.engagement_from_mm = assembly.engagement_from_mm;
  route.engagement_to_mm = assembly.engagement_to_mm;
  route.joints = assembly.joints;
  const std::vector<Route> routes{std::move(route)};
  const std::vector<Stock> stock{bay_.stock};
  const LineProof proof = prove(bay_.bay, ProofBodies(bay_.bay), routes, gaps_, stock, {}).lines.front();
  Verdict verdict{proof.proved, ProofOptions::kRecorded_mm, ""};
  for (const GapRecord& gap : proof.gaps)
    if (gap.ref && gap.runner == Runner::hose)
      verdict.spare_mm = std::min(verdict.spare_mm, gap.found_mm - gap.required_mm);
  if (!proof.proved)
    for (const Finding& f : proof.findings) {
      if (f.severity == Severity::flag || f.severity == Severity::note) continue;
      verdict.why += " " + std::string(word(f.rule));
      if (const auto at = f.parameters.find("s_mm"); at != f.parameters.end())
        verdict.why += " at s " + at->second + " mm";
    }
  return verdict;
}

Asker::Asker(const RunProblem& problem, const Room& room, std::int64_t budget, Sureness sureness)
    : problem_(problem), room_(room), budget_(budget), sureness_(sureness) {}

std::optional<Connection> Asker::connection(const Heading& from, const Heading& to) const {
  ++tried_;
  std::optional<Connection> c = connect(from, to, problem_.radius_mm);
  if (c && std::max(c->first_bend_rad, c->second_bend_rad) > problem_.rules.most_bend_rad) c.reset();
  return c;
}

bool Asker::is_free(const Centreline& motion) const {
  ++tried_;
  if (sureness_ == Sureness::rough) return hosefit::is_free(room_, motion, Look{});
  return hosefit::is_free(room_, motion, {false, kSureOverlap_mm}) &&
         hosefit::is_free(room_, motion, {true, -kSpareOfAPeer_mm});
}

bool Asker::is_free(const Vec3& p_mm) const {
  return room_.margin_mm(p_mm, kSpareOfAPeer_mm) >= kSpareOfAPeer_mm;
}

bool Asker::spent() const {
  return clearance_calls() + tried_ >= budget_;
}

}  // namespace hosefit::bench
