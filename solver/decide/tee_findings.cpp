// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/decide/tee_findings.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/verify/piece_measure.h"
#include "solver/verify/place_rules.h"
#include "solver/verify/tube.h"

namespace hosefit {
namespace {

// Where the parts of the line are laid anew their bends may come out otherwise; ten times as much lets a tee
// sit half a millimetre beyond its range.
constexpr double kSameWay_mm = 0.05;
constexpr double kSameAngle_rad = 1e-9;
constexpr double kHosesApart_mm = 0.1;  // hoses clamped to one tee: they must not meet, more moves nowhere

Finding tee_finding(RuleId rule, Severity severity, const Tee& tee) {
  Finding finding;
  finding.rule = rule;
  finding.severity = severity;
  finding.undecided = severity == Severity::stop;
  finding.subject = tee.name;
  finding.other = tee.whole.name;
  return finding;
}

bool is_offered(const Tee& tee, Angle clock) {
  const std::vector<Angle> clocks = clocks_of(tee);
  return std::any_of(clocks.begin(), clocks.end(),
                     [&](Angle offered) { return std::abs((offered - clock).rad()) < kSameAngle_rad; });
}

// How far outside its range; at most 0 within.
double outside_mm(const Tee& tee, double distance_mm) {
  if (!tee.within) return 0;
  return std::max(tee.within->least.mm() - distance_mm, distance_mm - tee.within->most.mm());
}

void add_place(const Tee& tee, const Candidate& candidate, double distance_mm, std::vector<Finding>& out) {
  const bool from_end = tee.within && !tee.within->from_start;
  Finding finding = tee_finding(RuleId::tee_stands, Severity::note, tee);
  finding.where_mm = candidate.tees.front().middle_mm;
  finding.parameters["distance_mm"] = fmt::format("{:.3f}", distance_mm);
  finding.parameters["from"] = from_end ? tee.whole.to : tee.whole.from;
  finding.parameters["clock_deg"] = fmt::format("{:g}", candidate.tees.front().clock.deg());
  out.push_back(std::move(finding));
  const double outside = outside_mm(tee, distance_mm);
  if (outside <= kSameWay_mm && is_offered(tee, candidate.tees.front().clock)) return;
  Finding stop = tee_finding(RuleId::tee_out_of_range, Severity::stop, tee);
  stop.where_mm = candidate.tees.front().middle_mm;
  if (outside > kSameWay_mm) {
    const bool short_of = distance_mm < tee.within->least.mm();
    stop.measured = distance_mm;
    stop.limit = short_of ? tee.within->least.mm() : tee.within->most.mm();
    stop.margin = -outside;
    stop.unit = FindingUnit::mm;
  } else {
    stop.parameters["clock_deg"] = fmt::format("{:g}", candidate.tees.front().clock.deg());
  }
  out.push_back(std::move(stop));
}

// Where the hoses pushed over the tee end, in its own frame: their flat ends and outsides.
struct OnTee {
  double radius_mm = 0;
  double to_hose_mm = 0;  // from the tee's middle along its tube end
};
std::optional<OnTee> on_tee(const Job& job, std::span<const Route> routes, std::size_t line, bool at_start,
                            double tube_end_mm) {
  for (const Route& route : routes) {
    if (route.line != line) continue;
    const double engagement_mm = at_start ? route.engagement_from_mm : route.engagement_to_mm;
    return OnTee{outside_over_neck_mm(route, stock_of(route, job.stock), at_start) / 2,
                 tube_end_mm - engagement_mm};
  }
  return std::nullopt;
}

// The branch's hose beside that of the run: past its outside, or past its end.
void add_meeting_hoses(const Job& job, const Bay& bay, const Tee& tee, std::span<const Route> routes,
                       std::vector<Finding>& out) {
  const bool starts = bay.lines[tee.branch_line].from >= bay.tee->neck;
  const auto branch = on_tee(job, routes, tee.branch_line, starts, tee.branch_off_axis.mm());
  for (const bool before : {true, false}) {
    const std::size_t part = before ? tee.before : tee.after;
    const auto run = on_tee(job, routes, part, !before, half_run_mm(tee));
    if (!run || !branch) continue;
    const double apart_mm = std::min(
        run->to_hose_mm, std::max(branch->to_hose_mm - run->radius_mm, run->to_hose_mm - branch->radius_mm));
    if (apart_mm >= kHosesApart_mm) continue;
    Finding finding = tee_finding(RuleId::gap, Severity::stop, tee);
    finding.subject = bay.lines[tee.branch_line].line.name;
    finding.other = bay.lines[part].line.name;
    finding.where_mm = bay.bodies[bay.tee->body].pose.origin_mm;
    finding.measured = apart_mm;
    finding.limit = kHosesApart_mm;
    finding.margin = apart_mm - kHosesApart_mm;
    finding.unit = FindingUnit::mm;
    finding.parameters["against"] = "line";
    out.push_back(std::move(finding));
  }
}

// Body and branch stand where all is recorded, as hose must.
void add_unknown_space(const Bay& bay, const Tee& tee, std::vector<Finding>& out) {
  const PlacedBody& placed = bay.bodies[bay.tee->body];
  Tube bars;
  bars.line = bay.tee->branch_line;
  for (const Obstacle& o : placed.body->obstacles) {
    const auto& rod = std::get<CylinderShape>(o.shape);
    TubeStretch stretch;
    stretch.piece = Straight{placed.pose.point(rod.a_mm), placed.pose.point(rod.b_mm)};
    stretch.to_s_mm = length_mm(stretch.piece);
    stretch.radius_mm = rod.radius_mm;
    stretch.box = bounds(stretch.piece);
    bars.stretches.push_back(stretch);
  }
  for (Finding& finding : check_known_space(bay, bars)) {
    finding.subject = tee.name;
    out.push_back(std::move(finding));
  }
}

}  // namespace

std::optional<double> tee_distance_mm(const Tee& tee, const Bay& bay, std::span<const Route> routes) {
  const bool from_start = !tee.within || tee.within->from_start;
  const std::size_t part = from_start ? bay.tee->before : bay.tee->after;
  for (const Route& route : routes)
    if (route.line == part) return length_mm(route.centreline) + half_run_mm(tee);
  return std::nullopt;
}

std::vector<Finding> tee_findings(const Job& job, const Bay& bay, const Candidate& candidate,
                                  std::span<const Route> routes) {
  if (!bay.tee) return {};
  const Tee& tee = *job.vehicle.tee;
  std::vector<Finding> out{tee_finding(RuleId::tee_flow, Severity::flag, tee)};
  if (!bay.tee->stands) {
    out.push_back(tee_finding(RuleId::tee_not_placed, Severity::stop, tee));
    return out;
  }
  if (const auto distance_mm = tee_distance_mm(tee, bay, routes))
    add_place(tee, candidate, *distance_mm, out);
  add_meeting_hoses(job, bay, tee, routes, out);
  add_unknown_space(bay, tee, out);
  if (bay.tee->floats) out.push_back(tee_finding(RuleId::tee_in_motion, Severity::stop, tee));
  return out;
}

}  // namespace hosefit
