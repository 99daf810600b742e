// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "solver/base/dice.h"
#include "solver/geometry/closest.h"
#include "solver/geometry/shape.h"

/// Random shapes of a bay's size for seeded tests, and the slow way to measure to triangles. Millimetres.
namespace hosefit::test {

inline Vec3 random_point(Dice& dice, double half_size) {
  const double x = dice.between(-half_size, half_size);
  const double y = dice.between(-half_size, half_size);
  return {x, y, dice.between(-half_size, half_size)};
}

inline Vec3 random_direction(Dice& dice) {
  for (;;) {
    const Vec3 v = random_point(dice, 1);
    if (v.norm() > 0.1 && v.norm() < 1) return v.normalized();
  }
}

inline Pose random_pose(Dice& dice, double half_size) {
  const Vec3 axis = random_direction(dice);
  const double angle = dice.between(-3, 3);
  return {Eigen::AngleAxisd(angle, axis).toRotationMatrix(), random_point(dice, half_size)};
}

inline Shape random_box(Dice& dice, double half_size) {
  const Pose frame = random_pose(dice, half_size);
  const double x = dice.between(5, 80);
  const double y = dice.between(5, 80);
  return BoxShape{frame, Vec3(x, y, dice.between(5, 80))};
}

/// A star-shaped outline: simple, counter-clockwise, often not convex.
inline Shape random_extrusion(Dice& dice, double half_size) {
  ExtrusionShape out;
  out.frame = random_pose(dice, half_size);
  const auto n = 3 + dice.below(8);
  for (std::uint64_t i = 0; i < n; ++i) {
    const double t = 2 * std::numbers::pi * static_cast<double>(i) / static_cast<double>(n);
    const double r = dice.between(15, 70);
    out.outline_mm.emplace_back(r * std::cos(t), r * std::sin(t));
  }
  out.height_mm = dice.between(5, 80);
  return out;
}

inline Shape random_rail(Dice& dice, double half_size) {
  RailShape out;
  Vec3 at = random_point(dice, half_size);
  Vec3 along = random_direction(dice);
  out.path_mm.push_back(at);
  for (std::uint64_t legs = 1 + dice.below(3); legs > 0; --legs) {
    at += dice.between(150, 250) * along;
    out.path_mm.push_back(at);
    along = (along + 0.7 * random_direction(dice)).normalized();
  }
  out.up = any_perpendicular(out.path_mm[1] - out.path_mm[0]);
  out.width_mm = dice.between(10, 50);
  out.height_mm = dice.between(10, 50);
  return out;
}

/// Closed and star-shaped about its centre: a globe with bumps, `rings` x 2 `rings` facets.
inline TriangleMesh bumpy_ball(Dice& dice, const Vec3& centre, double radius, int rings) {
  const double phase_a = dice.between(0, 6);
  const double phase_b = dice.between(0, 6);
  const double bump = dice.between(0.05, 0.25);
  TriangleMesh mesh;
  const int around = 2 * rings;
  const auto add = [&](double latitude, double longitude) {
    const double c = std::cos(latitude);
    const double r =
        radius * (1 + bump * c * std::sin(3 * longitude + phase_a) * std::cos(4 * latitude + phase_b));
    mesh.vertices_mm.emplace_back(
        centre + r * Vec3(c * std::cos(longitude), c * std::sin(longitude), std::sin(latitude)));
  };
  for (int i = 1; i < rings; ++i)
    for (int j = 0; j < around; ++j)
      add(std::numbers::pi * (static_cast<double>(i) / rings - 0.5), 2 * std::numbers::pi * j / around);
  const auto at = [&](int i, int j) { return static_cast<std::uint32_t>((i - 1) * around + j % around); };
  const auto south = static_cast<std::uint32_t>(mesh.vertices_mm.size());
  add(-std::numbers::pi / 2, 0);
  add(std::numbers::pi / 2, 0);
  for (int j = 0; j < around; ++j) {
    mesh.triangles.push_back({south, at(1, j + 1), at(1, j)});
    mesh.triangles.push_back({south + 1, at(rings - 1, j), at(rings - 1, j + 1)});
    for (int i = 1; i + 1 < rings; ++i) {
      mesh.triangles.push_back({at(i, j), at(i, j + 1), at(i + 1, j + 1)});
      mesh.triangles.push_back({at(i, j), at(i + 1, j + 1), at(i + 1, j)});
    }
  }
  return mesh;
}

/// An open sheet, as a scan of a firewall: `n` x `n` quads over about 2 `half_size` in Y and Z.
inline TriangleMesh wavy_sheet(Dice& dice, const Vec3& centre, double half_size, int n) {
  const double phase = dice.between(0, 6);
  TriangleMesh mesh;
  for (int i = 0; i <= n; ++i)
    for (int j = 0; j <= n; ++j) {
      const double y = half_size * (2.0 * i / n - 1);
      const double z = half_size * (2.0 * j / n - 1);
      mesh.vertices_mm.emplace_back(centre + Vec3(15 * std::sin(y / 40 + phase) * std::cos(z / 55), y, z));
    }
  const auto at = [&](int i, int j) { return static_cast<std::uint32_t>(i * (n + 1) + j); };
  for (int i = 0; i < n; ++i)
    for (int j = 0; j < n; ++j) {
      mesh.triangles.push_back({at(i, j), at(i + 1, j), at(i + 1, j + 1)});
      mesh.triangles.push_back({at(i, j), at(i + 1, j + 1), at(i, j + 1)});
    }
  return mesh;
}

/// One of the eight kinds, chosen by `kind` modulo 8; kind 7 is a closed mesh.
inline Shape random_shape(Dice& dice, std::uint64_t kind, double half_size) {
  const Vec3 a = random_point(dice, half_size);
  const Vec3 b = a + dice.between(10, 200) * random_direction(dice);
  const double r = dice.between(3, 60);
  switch (kind % 8) {
    case 0:
      return random_box(dice, half_size);
    case 1:
      return CylinderShape{a, b, r};
    case 2:
      return CapsuleShape{a, b, r};
    case 3:
      return SphereShape{a, r};
    case 4:
      return ConeShape{a, b, r, dice.below(3) == 0 ? 0.0 : dice.between(3, 60)};
    case 5:
      return random_extrusion(dice, half_size);
    case 6:
      return random_rail(dice, half_size);
    default:
      return MeshShape{"ball.stl", std::make_shared<const TriangleMesh>(bumpy_ball(dice, a, r + 10, 12))};
  }
}

/// Least distance to any triangle, by measuring all of them; infinity without triangles. Unsigned.
inline double slow_distance_mm(const TriangleMesh& mesh, const Vec3& p) {
  double least = std::numeric_limits<double>::infinity();
  for (const auto& t : mesh.triangles) {
    const Vec3 q =
        closest_on_triangle(p, mesh.vertices_mm[t[0]], mesh.vertices_mm[t[1]], mesh.vertices_mm[t[2]])
            .point_mm;
    least = std::min(least, (p - q).norm());
  }
  return least;
}

/// Negative where the winding number says inside; for closed meshes.
inline double slow_signed_distance_mm(const TriangleMesh& mesh, const Vec3& p) {
  const double d = slow_distance_mm(mesh, p);
  return winding_number(mesh, p) > 0.5 ? -d : d;
}

/// A random point of a triangle of the mesh; triangles are equally likely, whatever their size.
inline Vec3 random_surface_point(Dice& dice, const TriangleMesh& mesh) {
  const auto& t = mesh.triangles[dice.below(mesh.triangles.size())];
  double u = dice.unit();
  double v = dice.unit();
  if (u + v > 1) {
    u = 1 - u;
    v = 1 - v;
  }
  return mesh.vertices_mm[t[0]] + u * (mesh.vertices_mm[t[1]] - mesh.vertices_mm[t[0]]) +
         v * (mesh.vertices_mm[t[2]] - mesh.vertices_mm[t[0]]);
}

}  // namespace hosefit::test
