// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <functional>

#include "tests/support/random_shapes.h"

/// Surfaces in small faces, as a scanner makes them, for tests that tear, turn and shake them. Millimetres.
namespace hosefit::test {

/// A rectangle of quads from `corner`, each cut in two; its front is the side of along x across.
inline void add_plate(TriangleMesh& mesh, const Vec3& corner, const Vec3& along, const Vec3& across,
                      double step_mm) {
  const int n = std::max(1, static_cast<int>(std::lround(along.norm() / step_mm)));
  const int m = std::max(1, static_cast<int>(std::lround(across.norm() / step_mm)));
  const auto base = static_cast<std::uint32_t>(mesh.vertices_mm.size());
  for (int j = 0; j <= m; ++j)
    for (int i = 0; i <= n; ++i)
      mesh.vertices_mm.emplace_back(corner + along * (double(i) / n) + across * (double(j) / m));
  const auto at = [&](int i, int j) { return base + static_cast<std::uint32_t>(j * (n + 1) + i); };
  for (int j = 0; j < m; ++j)
    for (int i = 0; i < n; ++i) {
      mesh.triangles.push_back({at(i, j), at(i + 1, j), at(i + 1, j + 1)});
      mesh.triangles.push_back({at(i, j), at(i + 1, j + 1), at(i, j + 1)});
    }
}

/// The six sides of a box in small faces, fronts out. Corners along its edges are repeated, as in STL files.
inline TriangleMesh small_faced_box(const Vec3& low, const Vec3& high, double step_mm) {
  const Vec3 size = high - low;
  const Vec3 x(size.x(), 0, 0), y(0, size.y(), 0), z(0, 0, size.z());
  TriangleMesh mesh;
  add_plate(mesh, low, y, x, step_mm);
  add_plate(mesh, low + z, x, y, step_mm);
  add_plate(mesh, low, x, z, step_mm);
  add_plate(mesh, low + y, z, x, step_mm);
  add_plate(mesh, low, z, y, step_mm);
  add_plate(mesh, low + x, y, z, step_mm);
  return mesh;
}

inline Vec3 middle_of(const TriangleMesh& mesh, const std::array<std::uint32_t, 3>& t) {
  return (mesh.vertices_mm[t[0]] + mesh.vertices_mm[t[1]] + mesh.vertices_mm[t[2]]) / 3;
}

/// Without the triangles whose middles are in a ball.
inline TriangleMesh with_hole(TriangleMesh mesh, const Vec3& middle, double radius_mm) {
  std::erase_if(mesh.triangles,
                [&](const auto& t) { return (middle_of(mesh, t) - middle).norm() < radius_mm; });
  return mesh;
}

inline TriangleMesh turned(TriangleMesh mesh) {
  for (auto& t : mesh.triangles) std::swap(t[1], t[2]);
  return mesh;
}

inline TriangleMesh joined(TriangleMesh a, const TriangleMesh& b) {
  const auto base = static_cast<std::uint32_t>(a.vertices_mm.size());
  a.vertices_mm.insert(a.vertices_mm.end(), b.vertices_mm.begin(), b.vertices_mm.end());
  for (const auto& t : b.triangles) a.triangles.push_back({t[0] + base, t[1] + base, t[2] + base});
  return a;
}

/// Every place moved by up to `most_mm` along each axis, the same for corners that lie together.
inline TriangleMesh shaken(TriangleMesh mesh, double most_mm, std::uint64_t seed) {
  for (Vec3& v : mesh.vertices_mm) {
    std::uint64_t place = seed;
    for (const double c : v)
      place = place * 1000003 + static_cast<std::uint64_t>(std::lround(8 * c) + 100000);
    Dice dice({seed}, place);
    v += random_point(dice, most_mm);
  }
  return mesh;
}

}  // namespace hosefit::test
