// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/field/obstacle_index.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/field/surface_tree.h"

namespace hosefit {
namespace {

// Six times the volume enclosed; the sum is taken about the mesh's centre to keep its rounding small.
double sixfold_volume(const TriangleMesh& mesh) {
  const Vec3 centre = bounds(mesh).center();
  double sum = 0;
  for (const auto& t : mesh.triangles) {
    const Vec3 a = mesh.vertices_mm[t[0]] - centre;
    const Vec3 b = mesh.vertices_mm[t[1]] - centre;
    sum += a.dot(b.cross(mesh.vertices_mm[t[2]] - centre));
  }
  return sum;
}

void turn_inside_out(TriangleMesh& mesh) {
  for (auto& t : mesh.triangles) std::swap(t[1], t[2]);
}

}  // namespace

ObstacleIndex::ObstacleIndex(TriangleMesh mesh, bool closed, Threads threads)
    : triangle_count_(mesh.triangles.size()) {
  if (mesh.triangles.empty()) return;
  std::vector<TriangleMesh> pieces;
  if (closed) {
    if (sixfold_volume(mesh) < 0) turn_inside_out(mesh);
    pieces = connected_pieces(mesh);
    const bool cavity = std::any_of(pieces.begin(), pieces.end(),
                                    [](const TriangleMesh& m) { return sixfold_volume(m) < 0; });
    if (cavity || pieces.size() > kMostPieces) {
      pieces.clear();
      if (is_closed(mesh)) winding_ = mesh;
    }
  }
  pieces_.reserve(std::max<std::size_t>(1, pieces.size()));
  if (pieces.empty()) {
    pieces_.emplace_back(std::move(mesh), false, threads);
  } else {
    for (TriangleMesh& piece : pieces) pieces_.emplace_back(std::move(piece), true, threads);
  }
  for (const SurfaceIndex& piece : pieces_) box_.extend(piece.box());
}

std::optional<SurfaceHit> ObstacleIndex::nearest(const Vec3& p_mm, double within_mm) const {
  std::optional<SurfaceHit> best;
  if (winding_ && box_.contains(p_mm)) {
    best = pieces_[0].nearest(p_mm);
    if (best && winding_number(*winding_, p_mm) > 0.5) best->distance_mm = -best->distance_mm;
    return best && best->distance_mm <= within_mm ? best : std::nullopt;
  }
  for (const SurfaceIndex& piece : pieces_) {
    const double limit = best ? best->distance_mm : within_mm;
    // However deep inside a solid the point is, only its own surface tells how deep.
    const bool maybe_inside = piece.solid() && piece.box().contains(p_mm);
    if (!maybe_inside && box_distance_mm(piece.box(), p_mm) > limit) continue;
    const auto hit = piece.nearest(p_mm, maybe_inside ? std::numeric_limits<double>::infinity() : limit);
    if (hit && hit->distance_mm <= limit && (!best || hit->distance_mm < best->distance_mm)) best = hit;
  }
  return best;
}

}  // namespace hosefit
