// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/picture/tube_mesh.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

namespace hosefit {
namespace {

struct Station {
  Vec3 at_mm, along;
};

// Parts of a circle whose chords stay within the sag.
int parts(double angle_rad, double radius_mm, double sag_mm) {
  const double half = std::acos(std::max(0.0, 1 - sag_mm / radius_mm));
  return std::max(1, static_cast<int>(std::ceil(angle_rad / (2 * half))));
}

std::vector<Station> stations(const Centreline& centreline, double radius_mm, double sag_mm) {
  std::vector<Station> out;
  for (const Piece& piece : centreline.pieces) {
    const double length = length_mm(piece);
    if (length <= 0) continue;
    const Arc* arc = std::get_if<Arc>(&piece);
    const int n = arc == nullptr ? 1 : parts(arc->angle_rad, arc->radius_mm() + radius_mm, sag_mm);
    for (int i = out.empty() ? 0 : 1; i <= n; ++i) {
      const double s = length * i / n;
      out.push_back({point_at(piece, s), direction_at(piece, s)});
    }
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

}  // namespace

TriangleMesh tube_mesh(const Centreline& centreline, double radius_mm, double sag_mm) {
  assert(radius_mm > 0 && sag_mm > 0);
  TriangleMesh mesh;
  const std::vector<Station> path = stations(centreline, radius_mm, sag_mm);
  if (path.size() < 2) return mesh;
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
  for (std::size_t k = 0; k + 1 < rings.size(); ++k)
    for (std::size_t i = 0; i < rings[k].size(); ++i) {
      const std::size_t j = (i + 1) % rings[k].size();
      mesh.triangles.push_back({rings[k][i], rings[k][j], rings[k + 1][j]});
      mesh.triangles.push_back({rings[k][i], rings[k + 1][j], rings[k + 1][i]});
    }
  cap(mesh, Ring(rings.front().rbegin(), rings.front().rend()), path.front().at_mm);
  cap(mesh, rings.back(), path.back().at_mm);
  return mesh;
}

}  // namespace hosefit
