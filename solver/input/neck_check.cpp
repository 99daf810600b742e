// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/neck_check.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace hosefit {
namespace {

constexpr double kJustOutsideMm = 0.5;  // past the end face of a spigot that is drawn as an obstacle itself
constexpr double kRootMm = 15.0;  // a neck that points the wrong way meets its root a little past a spigot's
                                  // length; nothing is fitted over a neck with less room ahead
constexpr double kSkinMm = 0.5;   // an end that lies on a surface is not inside

// Moeller and Trumbore, J. Graphics Tools 2 (1997) 21.
std::optional<double> ray_triangle(const Vec3& from, const Vec3& direction, const Vec3& a, const Vec3& b,
                                   const Vec3& c) {
  const Vec3 e1 = b - a;
  const Vec3 e2 = c - a;
  const Vec3 p = direction.cross(e2);
  const double det = e1.dot(p);
  if (det == 0) return std::nullopt;
  const Vec3 s = from - a;
  const double u = s.dot(p) / det;
  const Vec3 q = s.cross(e1);
  const double v = direction.dot(q) / det;
  const double t = e2.dot(q) / det;
  if (u < 0 || v < 0 || u + v > 1 || t < 0) return std::nullopt;
  return t;
}

std::optional<double> first_triangle(const TriangleMesh& mesh, const Vec3& from, const Vec3& direction,
                                     double reach) {
  std::optional<double> nearest_hit;
  for (const auto& t : mesh.triangles) {
    const auto hit =
        ray_triangle(from, direction, mesh.vertices_mm[t[0]], mesh.vertices_mm[t[1]], mesh.vertices_mm[t[2]]);
    if (hit && *hit <= reach && (!nearest_hit || *hit < *nearest_hit)) nearest_hit = hit;
  }
  return nearest_hit;
}

TriangleMesh triangles_of(const Obstacle& obstacle) {
  const auto* mesh = std::get_if<MeshShape>(&obstacle.shape);
  return mesh != nullptr ? *mesh->mesh : tessellate(obstacle.shape, 0.1);
}

}  // namespace

NeckSurroundings surroundings(const std::vector<Obstacle>& obstacles, const std::vector<MapView>& written) {
  NeckSurroundings out{obstacles, {}};
  for (const MapView& map : written) out.names.push_back(map.text("name"));
  return out;
}

bool is_inside(const Obstacle& obstacle, const Vec3& p_mm, double skin_mm) {
  if (!obstacle.closed) return false;
  if (has_closed_form(obstacle.shape)) return signed_distance_mm(obstacle.shape, p_mm) < -skin_mm;
  const AxisBox box = bounds(obstacle.shape);
  if (((p_mm - box.min()).array() < skin_mm).any() || ((box.max() - p_mm).array() < skin_mm).any())
    return false;
  return std::abs(winding_number(triangles_of(obstacle), p_mm)) > 0.5;
}

std::optional<double> first_hit_mm(const Obstacle& obstacle, const Vec3& from_mm, const Vec3& direction,
                                   double reach_mm) {
  if (!has_closed_form(obstacle.shape)) {
    if (is_inside(obstacle, from_mm, 0)) return 0.0;
    return first_triangle(triangles_of(obstacle), from_mm, direction, reach_mm);
  }
  // The distance never changes faster than the place, so a step of that length passes nothing by.
  for (double s = 0; s <= reach_mm;) {
    const double d = signed_distance_mm(obstacle.shape, from_mm + s * direction);
    if (d < 0.01) return s;
    s += d;
  }
  return std::nullopt;
}

void check_neck(const MapView& in, const Neck& neck, const NeckSurroundings& around, ProblemLog& log) {
  for (std::size_t i = 0; i < neck.on.size(); ++i)
    if (std::find(around.names.begin(), around.names.end(), neck.on[i]) == around.names.end())
      in.refuse_item(
          log, "on", i,
          fmt::format("no obstacle of this part has that name{}", did_you_mean(neck.on[i], around.names)));
  const Vec3& end = neck.end_mm.value;
  for (const Obstacle& obstacle : around.obstacles) {
    const bool own = std::find(neck.on.begin(), neck.on.end(), obstacle.name) != neck.on.end();
    if (!own && is_inside(obstacle, end, kSkinMm)) {
      in.refuse(log, "at",
                fmt::format("the neck's end lies inside \"{}\" of its own part; check the point, or draw the "
                            "obstacle so that the neck stands out",
                            obstacle.name));
      return;
    }
    if (!own) continue;
    const auto hit = first_hit_mm(obstacle, end + kJustOutsideMm * neck.outward, neck.outward,
                                  neck.straight.mm() + kRootMm);
    if (!hit) continue;
    in.refuse(log, "outward",
              fmt::format("the neck points into \"{}\", which it grows out of ({:.1f} mm ahead of its end); "
                          "turn `outward` round or correct `at`",
                          obstacle.name, *hit + kJustOutsideMm));
    return;
  }
}

}  // namespace hosefit
