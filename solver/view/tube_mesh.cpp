// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/view/tube_mesh.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

namespace hosefit {
namespace {

constexpr double kSame_mm = 1e-6;  // a ring of facets shorter than this has no direction

struct Station {
  Vec3 at_mm, along;
  double s_mm;
};

// Parts of a circle whose chords stay within the sag.
int parts(double angle_rad, double radius_mm, double sag_mm) {
  const double half = std::acos(std::max(0.0, 1 - sag_mm / radius_mm));
  return std::max(1, static_cast<int>(std::ceil(angle_rad / (2 * half))));
}

// Where a piece gets stations, in its own arc length: even steps, and the stops that fall within it.
std::vector<double> steps_of(double length_mm, int steps, double piece_from_mm,
                             std::span<const double> stops_mm) {
  std::vector<double> out;
  for (int i = 0; i <= steps; ++i) out.push_back(length_mm * i / steps);
  for (const double stop : stops_mm) {
    const double s = stop - piece_from_mm;
    const bool there =
        std::any_of(out.begin(), out.end(), [&](double o) { return std::abs(o - s) < kSame_mm; });
    if (s > 0 && s < length_mm && !there) out.push_back(s);
  }
  std::sort(out.begin(), out.end());
  return out;
}

std::vector<Station> stations(const Centreline& centreline, double radius_mm, double sag_mm,
                              std::span<const double> stops_mm) {
  std::vector<Station> out;
  double from = 0;
  for (const Piece& piece : centreline.pieces) {
    const double length = length_mm(piece);
    if (length <= 0) continue;
    const Arc* arc = std::get_if<Arc>(&piece);
    const int n = arc == nullptr ? 1 : parts(arc->angle_rad, arc->radius_mm() + radius_mm, sag_mm);
    for (const double s : steps_of(length, n, from, stops_mm))
      if (out.empty() || s > 0) out.push_back({point_at(piece, s), direction_at(piece, s), from + s});
    from += length;
  }
  return out;
}

using Ring = std::vector<std::uint32_t>;

void cap(TriangleMesh& mesh, const Ring& ring, const Vec3& centre_mm) {
  const auto middle = static_cast<std::uint32_t>(mesh.vertices_mm.size());
  mesh.vertices_mm.push_back(centre_mm);
  for (std::size_t i = 0; i < ring.size(); ++i)
    mesh.triangles.push_back({middle, ring[i], ring[(i + 1) % ring.size()]});
}

void join(TriangleMesh& mesh, const Ring& from, const Ring& to) {
  for (std::size_t i = 0; i < from.size(); ++i) {
    const std::size_t j = (i + 1) % from.size();
    mesh.triangles.push_back({from[i], from[j], to[j]});
    mesh.triangles.push_back({from[i], to[j], to[i]});
  }
}

}  // namespace

TubeMesh tube_mesh(const Centreline& centreline, double radius_mm, double sag_mm,
                   std::span<const double> stops_mm) {
  assert(radius_mm > 0 && sag_mm > 0);
  TubeMesh out;
  TriangleMesh& mesh = out.mesh;
  const std::vector<Station> path = stations(centreline, radius_mm, sag_mm, stops_mm);
  if (path.size() < 2) return out;
  const int n = std::max(8, parts(2 * std::numbers::pi, radius_mm, sag_mm));
  Vec3 side = any_perpendicular(path.front().along) * radius_mm;
  std::vector<Ring> rings;
  for (std::size_t k = 0; k < path.size(); ++k) {
    // Carried along by the least turn, so that facets do not twist about the tube.
    if (k > 0) side = Eigen::Quaterniond::FromTwoVectors(path[k - 1].along, path[k].along) * side;
    side = (side - side.dot(path[k].along) * path[k].along).normalized() * radius_mm;
    const Vec3 other = path[k].along.cross(side);
    Ring ring;
    for (int i = 0; i < n; ++i) {
      const double t = 2 * std::numbers::pi * i / n;
      ring.push_back(static_cast<std::uint32_t>(mesh.vertices_mm.size()));
      mesh.vertices_mm.push_back(path[k].at_mm + std::cos(t) * side + std::sin(t) * other);
    }
    rings.push_back(std::move(ring));
  }
  for (std::size_t k = 0; k + 1 < rings.size(); ++k) {
    join(mesh, rings[k], rings[k + 1]);
    out.middle_s_mm.resize(mesh.triangles.size(), (path[k].s_mm + path[k + 1].s_mm) / 2);
  }
  cap(mesh, Ring(rings.front().rbegin(), rings.front().rend()), path.front().at_mm);
  out.middle_s_mm.resize(mesh.triangles.size(), (path[0].s_mm + path[1].s_mm) / 2);
  cap(mesh, rings.back(), path.back().at_mm);
  out.middle_s_mm.resize(mesh.triangles.size(), (path[path.size() - 2].s_mm + path.back().s_mm) / 2);
  return out;
}

}  // namespace hosefit
