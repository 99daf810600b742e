// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/picture/spot.h"

#include <algorithm>

#include "solver/geometry/closest.h"

namespace hosefit {
namespace {

// Nearer than this a gap cannot be drawn apart.
constexpr double kLeastShown_mm = 0.2;

struct Nearest {
  Vec3 point_mm;
  double distance_mm;
};

std::optional<Nearest> nearest_on(const TriangleMesh& mesh, const Vec3& p_mm) {
  std::optional<Nearest> best;
  for (const auto& t : mesh.triangles) {
    const Vec3 q =
        closest_on_triangle(p_mm, mesh.vertices_mm[t[0]], mesh.vertices_mm[t[1]], mesh.vertices_mm[t[2]])
            .point_mm;
    const double d = (q - p_mm).norm();
    if (!best || d < best->distance_mm) best = Nearest{q, d};
  }
  return best;
}

// Nearest place of whatever bears the name; names of obstacles may repeat between bodies, the nearest is
// meant.
std::optional<Nearest> nearest_named(const Scene& scene, const std::string& name, const Vec3& p_mm) {
  std::optional<Nearest> best;
  for (const SceneItem& item : scene.items) {
    if (item.name != name || item.kind == SceneKind::neck) continue;
    const auto here = nearest_on(item.mesh, p_mm);
    if (here && (!best || here->distance_mm < best->distance_mm)) best = here;
  }
  return best;
}

void find_faces(const Scene& scene, DecidingSpot& spot) {
  const auto second = nearest_named(scene, spot.other, spot.where_mm);
  if (!second) return;
  const auto first = nearest_named(scene, spot.first, second->point_mm);
  if (!first) return;
  spot.first_mm = first->point_mm;
  spot.second_mm = second->point_mm;
  const double apart = (spot.second_mm - spot.first_mm).norm();
  spot.has_gap = spot.found_mm && *spot.found_mm > kLeastShown_mm && apart > kLeastShown_mm;
}

DecidingSpot spot_of(const Finding& finding) {
  DecidingSpot spot;
  spot.origin = DecidingSpot::Origin::finding;
  spot.where_mm = *finding.where_mm;
  const auto part = finding.parameters.find("obstacle");
  spot.first = part != finding.parameters.end() ? part->second : finding.subject;
  spot.other = finding.other;
  const auto overlap = finding.parameters.find("overlap");
  spot.at_least = overlap != finding.parameters.end() && overlap->second == "yes";
  if (finding.unit == FindingUnit::mm) {
    spot.spare_mm = finding.margin;
    spot.found_mm = finding.measured;
    spot.required_mm = finding.limit;
  }
  return spot;
}

DecidingSpot spot_of(const Bay& bay, const LineSearch& search) {
  const Obstruction& miss = *search.nearest_miss;
  DecidingSpot spot;
  spot.origin = DecidingSpot::Origin::nearest_miss;
  spot.where_mm = miss.where_mm;
  spot.first = bay.lines[search.line].line.name;
  spot.other = miss.obstacle;
  spot.spare_mm = -miss.missing_mm;
  spot.found_mm = miss.found_mm;
  spot.required_mm = miss.required_mm;
  return spot;
}

std::optional<DecidingSpot> tightest(const Bay& bay, const CandidateResult& result) {
  std::optional<DecidingSpot> out;
  for (const LineProof& proof : result.proof.lines) {
    const GapRecord* gap = tightest_of(proof);
    if (gap == nullptr || (out && gap->found_mm - gap->required_mm >= *out->spare_mm)) continue;
    out = DecidingSpot{};
    out->where_mm = gap->where_mm;
    out->first = bay.lines[proof.line].line.name;
    out->other = gap->other;
    out->spare_mm = gap->found_mm - gap->required_mm;
    out->found_mm = gap->found_mm;
    out->required_mm = gap->required_mm;
    out->proved = proof.proved;
  }
  return out;
}

}  // namespace

const GapRecord* tightest_of(const LineProof& proof) {
  const auto least = std::min_element(proof.gaps.begin(), proof.gaps.end(), [](const auto& a, const auto& b) {
    return a.found_mm - a.required_mm < b.found_mm - b.required_mm;
  });
  return least == proof.gaps.end() ? nullptr : &*least;
}

std::optional<DecidingSpot> deciding_spot(const Bay& bay, const Scene& scene, const CandidateResult& result) {
  std::optional<DecidingSpot> spot;
  for (const Finding& finding : result.findings)
    if (!spot && finding.severity == Severity::stop && finding.where_mm) spot = spot_of(finding);
  for (const LineSearch& search : result.searches)
    if (!spot && search.outcome != SearchOutcome::found && search.nearest_miss) spot = spot_of(bay, search);
  if (!spot) spot = tightest(bay, result);
  if (spot) find_faces(scene, *spot);
  return spot;
}

}  // namespace hosefit
