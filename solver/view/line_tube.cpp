// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/view/line_tube.h"

namespace hosefit {
namespace {

void append(TriangleMesh& to, const TriangleMesh& from) {
  const auto offset = static_cast<std::uint32_t>(to.vertices_mm.size());
  to.vertices_mm.insert(to.vertices_mm.end(), from.vertices_mm.begin(), from.vertices_mm.end());
  for (const auto& t : from.triangles) to.triangles.push_back({t[0] + offset, t[1] + offset, t[2] + offset});
}

// The centreline with the hose that is pushed over the necks; lengths before the start are engagement.
Centreline with_engagement(const Route& route) {
  Centreline out = route.centreline;
  const Vec3 start = start_point(route.centreline), end = end_point(route.centreline);
  if (route.engagement_from_mm > 0)
    out.pieces.insert(out.pieces.begin(),
                      Straight{start - route.engagement_from_mm * start_direction(route.centreline), start});
  if (route.engagement_to_mm > 0)
    out.pieces.push_back(Straight{end, end + route.engagement_to_mm * end_direction(route.centreline)});
  return out;
}

std::vector<RouteSection> with_engagement(const Route& route, double length_mm) {
  std::vector<RouteSection> out = route.sections;
  for (RouteSection& section : out) {
    section.from_s_mm += route.engagement_from_mm;
    section.to_s_mm += route.engagement_from_mm;
  }
  if (out.empty()) return out;
  out.front().from_s_mm = 0;
  out.back().to_s_mm = length_mm;
  return out;
}

}  // namespace

LineTube line_tube(const Route& route, std::span<const ClassStretch> classes, double sag_mm) {
  LineTube out;
  const Centreline whole = with_engagement(route);
  const std::vector<Band> bands = bands_of(classes);
  for (const RouteSection& section : with_engagement(route, length_mm(whole))) {
    std::vector<double> stops;
    stops.reserve(bands.size());
    for (const Band& band : bands) stops.push_back(band.from_mm - section.from_s_mm);
    const TubeMesh tube = tube_mesh(part_of(whole, section.from_s_mm, section.to_s_mm),
                                    section.outside_diameter_mm / 2, sag_mm, stops);
    append(out.mesh, tube.mesh);
    for (const double s : tube.middle_s_mm) out.colours.push_back(colour_at(bands, section.from_s_mm + s));
  }
  return out;
}

}  // namespace hosefit
