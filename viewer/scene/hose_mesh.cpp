// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/scene/hose_mesh.h"

#include <map>
#include <tuple>

#include "solver/model/clamp.h"
#include "solver/view/line_tube.h"
#include "solver/view/shading_normals.h"

namespace hosefit {
namespace {

constexpr double kSag_mm = 0.35;     // facets of a 48 mm hose are 8 mm wide: seven panes of them are drawn
constexpr double kCrease_rad = 0.8;  // between the end of a tube and its side, not between facets of a bend
constexpr double kBandWidth_mm = 13.0, kBandStandsOut_mm = 2.0;
constexpr Colour kBandColour{0.30, 0.32, 0.35};

Point3f single(const Vec3& p) {
  return {static_cast<float>(p.x()), static_cast<float>(p.y()), static_cast<float>(p.z())};
}
Point3f single(const Colour& c) {
  return {static_cast<float>(c.red), static_cast<float>(c.green), static_cast<float>(c.blue)};
}

// Corners that are alike in all that is drawn become one vertex.
void append(const TriangleMesh& mesh, std::span<const Colour> colours, HoseMesh& out) {
  const auto normals = corner_normals(mesh, kCrease_rad);
  std::map<std::tuple<std::uint32_t, Point3f, Point3f>, std::uint32_t> known;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
    for (std::size_t corner = 0; corner < 3; ++corner) {
      const std::uint32_t at = mesh.triangles[t][corner];
      const Eigen::Vector3f& n = normals[t][corner];
      const PaintedVertex vertex{
          single(mesh.vertices_mm[at]), {n.x(), n.y(), n.z()}, single(colours[t % colours.size()])};
      const auto fresh = static_cast<std::uint32_t>(out.vertices.size());
      const auto [it, added] = known.try_emplace({at, vertex.normal, vertex.colour}, fresh);
      if (added) out.vertices.push_back(vertex);
      out.indices.push_back(it->second);
    }
  for (const Vec3& p : mesh.vertices_mm) out.box.extend(p);
}

// The clamp's band where the proof looked for room, on the hose pushed over a neck.
void add_band(const PlacedNeck& neck, double engagement_mm, double outside_mm, HoseMesh& out) {
  const double behind_mm = engagement_mm - proved_band_centre(Length::mm(engagement_mm)).mm();
  if (behind_mm < kBandWidth_mm / 2) return;
  const Vec3 middle = neck.end_mm - behind_mm * neck.outward;
  const Vec3 half = kBandWidth_mm / 2 * neck.outward;
  const TubeMesh band = tube_mesh(Centreline{{Straight{middle - half, middle + half}}},
                                  outside_mm / 2 + kBandStandsOut_mm, kSag_mm);
  append(band.mesh, std::array{kBandColour}, out);
}

}  // namespace

HoseMesh hose_mesh(const Route& route, const BayLine& line, const Bay& bay,
                   std::span<const ClassStretch> classes) {
  HoseMesh out;
  out.line = route.line;
  if (route.centreline.pieces.empty() || route.sections.empty() || classes.empty()) return out;
  const LineTube tube = line_tube(route, classes, kSag_mm);
  append(tube.mesh, tube.colours, out);
  add_band(bay.necks[line.from], route.engagement_from_mm, route.sections.front().outside_diameter_mm, out);
  add_band(bay.necks[line.to], route.engagement_to_mm, route.sections.back().outside_diameter_mm, out);
  return out;
}

std::vector<ClassStretch> not_proved_along(const Route& route) {
  return {{0, length_mm(route.centreline) + route.engagement_from_mm + route.engagement_to_mm,
           SpareClass::not_proved}};
}

}  // namespace hosefit
