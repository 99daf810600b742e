// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/scene/solid_mesh.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numbers>
#include <numeric>
#include <tuple>

namespace hosefit {
namespace {

constexpr double kMostOvershoot_mm = 0.3;    // a tenth of a pixel in a common view
constexpr double kOvershootOfRadius = 0.01;  // facets then meet at 16 deg, below both angles that follow
const double kSmoothCosine = std::cos(30.0 * std::numbers::pi / 180.0);
const double kEdgeCosine = std::cos(25.0 * std::numbers::pi / 180.0);

Point3f single(const Vec3& p) {
  return {static_cast<float>(p.x()), static_cast<float>(p.y()), static_cast<float>(p.z())};
}

struct RadiusOf {
  double operator()(const CylinderShape& s) const { return s.radius_mm; }
  double operator()(const CapsuleShape& s) const { return s.radius_mm; }
  double operator()(const SphereShape& s) const { return s.radius_mm; }
  double operator()(const ConeShape& s) const { return std::max(s.radius_a_mm, s.radius_b_mm); }
  template <class Planar>
  double operator()(const Planar&) const {
    return std::numeric_limits<double>::infinity();
  }
};

// Files repeat vertices; those at exactly the same place become one.
std::vector<std::uint32_t> welded(const std::vector<Vec3>& points) {
  std::vector<std::uint32_t> order(points.size());
  std::iota(order.begin(), order.end(), 0U);
  const auto before = [&](std::uint32_t a, std::uint32_t b) {
    return std::lexicographical_compare(points[a].data(), points[a].data() + 3, points[b].data(),
                                        points[b].data() + 3);
  };
  std::sort(order.begin(), order.end(), before);
  std::vector<std::uint32_t> first_of(points.size());
  for (std::size_t i = 0; i < order.size(); ++i)
    first_of[order[i]] =
        i > 0 && points[order[i]] == points[order[i - 1]] ? first_of[order[i - 1]] : order[i];
  return first_of;
}

struct Faces {
  std::vector<std::array<std::uint32_t, 3>> corners;  // welded
  std::vector<Vec3> normals;                          // unit; zero for a triangle without area
  std::vector<double> areas;
};

Faces faces_of(const TriangleMesh& mesh, const std::vector<std::uint32_t>& weld) {
  Faces faces;
  for (const auto& t : mesh.triangles) {
    const Vec3& a = mesh.vertices_mm[t[0]];
    const Vec3 cross = (mesh.vertices_mm[t[1]] - a).cross(mesh.vertices_mm[t[2]] - a);
    const double length = cross.norm();
    faces.corners.push_back({weld[t[0]], weld[t[1]], weld[t[2]]});
    faces.normals.push_back(length > 0 ? Vec3(cross / length) : Vec3(Vec3::Zero()));
    faces.areas.push_back(length / 2);
  }
  return faces;
}

// Corners sorted by vertex, so that the faces around each vertex stand together.
struct Corner {
  std::uint32_t vertex, face, slot;
};
std::vector<Corner> corners_by_vertex(const Faces& faces) {
  std::vector<Corner> corners;
  corners.reserve(3 * faces.corners.size());
  for (std::uint32_t f = 0; f < faces.corners.size(); ++f)
    for (std::uint32_t k = 0; k < 3; ++k) corners.push_back({faces.corners[f][k], f, k});
  std::stable_sort(corners.begin(), corners.end(),
                   [](const Corner& a, const Corner& b) { return a.vertex < b.vertex; });
  return corners;
}

void append_surface(const TriangleMesh& mesh, const Faces& faces, SolidMesh& out) {
  const std::vector<Corner> corners = corners_by_vertex(faces);
  const std::size_t first_index = out.indices.size();
  out.indices.resize(first_index + corners.size());
  for (std::size_t begin = 0, end = 0; begin < corners.size(); begin = end) {
    while (end < corners.size() && corners[end].vertex == corners[begin].vertex) ++end;
    const std::size_t first_vertex = out.vertices.size();
    for (std::size_t i = begin; i < end; ++i) {
      const Vec3& own = faces.normals[corners[i].face];
      Vec3 sum = Vec3::Zero();
      for (std::size_t j = begin; j < end; ++j)
        if (own.dot(faces.normals[corners[j].face]) >= kSmoothCosine)
          sum += faces.areas[corners[j].face] * faces.normals[corners[j].face];
      const Point3f normal = single(sum.norm() > 0 ? Vec3(sum.normalized()) : own);
      std::size_t v = first_vertex;
      while (v < out.vertices.size() && out.vertices[v].normal != normal) ++v;
      if (v == out.vertices.size())
        out.vertices.push_back({single(mesh.vertices_mm[corners[i].vertex]), normal});
      out.indices[first_index + 3 * corners[i].face + corners[i].slot] = static_cast<std::uint32_t>(v);
    }
  }
}

struct Rim {
  std::uint32_t a, b, face;  // a < b
};

void append_edges(const TriangleMesh& mesh, const Faces& faces, SolidMesh& out) {
  std::vector<Rim> rims;
  rims.reserve(3 * faces.corners.size());
  for (std::uint32_t f = 0; f < faces.corners.size(); ++f)
    for (std::size_t k = 0; k < 3; ++k) {
      const std::uint32_t a = faces.corners[f][k], b = faces.corners[f][(k + 1) % 3];
      if (a != b) rims.push_back({std::min(a, b), std::max(a, b), f});
    }
  std::sort(rims.begin(), rims.end(), [](const Rim& x, const Rim& y) {
    return std::tie(x.a, x.b, x.face) < std::tie(y.a, y.b, y.face);
  });
  for (std::size_t begin = 0, end = 0; begin < rims.size(); begin = end) {
    while (end < rims.size() && rims[end].a == rims[begin].a && rims[end].b == rims[begin].b) ++end;
    const bool smooth = end - begin == 2 && faces.normals[rims[begin].face].dot(
                                                faces.normals[rims[begin + 1].face]) >= kEdgeCosine;
    const bool inner_of_scan = end - begin == 2 && mesh.triangles.size() > kScan;  // its noise is no feature
    if (smooth || inner_of_scan) continue;
    out.edges.push_back(single(mesh.vertices_mm[rims[begin].a]));
    out.edges.push_back(single(mesh.vertices_mm[rims[begin].b]));
  }
}

constexpr double kCellsAcross = 90;  // of the rough copy, along the diagonal

// Every vertex moves to the first one in its cell of a grid; triangles that lose an edge fall away.
void append_coarse(const SolidMesh& mesh, const MeshRange& range, const AxisBox& box,
                   std::vector<std::uint32_t>& out) {
  const double cell_mm = std::max(box.diagonal().norm() / kCellsAcross, 1e-6);
  std::map<std::array<std::int64_t, 3>, std::uint32_t> first_in;
  const auto stand_in = [&](std::uint32_t v) {
    std::array<std::int64_t, 3> cell{};
    for (std::size_t k = 0; k < 3; ++k)
      cell[k] =
          static_cast<std::int64_t>(std::floor(static_cast<double>(mesh.vertices[v].at_mm[k]) / cell_mm));
    return first_in.try_emplace(cell, v).first->second;
  };
  for (std::uint32_t i = range.first_index; i < range.first_index + range.index_count; i += 3) {
    const std::uint32_t a = stand_in(mesh.indices[i]), b = stand_in(mesh.indices[i + 1]),
                        c = stand_in(mesh.indices[i + 2]);
    if (a != b && b != c && c != a) out.insert(out.end(), {a, b, c});
  }
}

void add_coarse(SolidMesh& mesh) {
  if (mesh.indices.size() / 3 <= kScan) return;
  for (std::size_t o = 0; o < mesh.obstacles.size(); ++o) {
    MeshRange& range = mesh.obstacles[o];
    range.first_coarse = static_cast<std::uint32_t>(mesh.coarse.size());
    if (range.index_count / 3 > kScan)
      append_coarse(mesh, range, mesh.boxes[o], mesh.coarse);
    else
      mesh.coarse.insert(mesh.coarse.end(), mesh.indices.begin() + range.first_index,
                         mesh.indices.begin() + range.first_index + range.index_count);
    range.coarse_count = static_cast<std::uint32_t>(mesh.coarse.size()) - range.first_coarse;
  }
}

// By the divergence theorem six times the volume inside, negative where triangles are turned inward.
bool is_outward(const TriangleMesh& mesh) {
  const Vec3 near_mm = mesh.vertices_mm.empty() ? Vec3(Vec3::Zero()) : mesh.vertices_mm.front();
  double sum = 0;
  for (const auto& t : mesh.triangles)
    sum += (mesh.vertices_mm[t[0]] - near_mm)
               .dot((mesh.vertices_mm[t[1]] - near_mm).cross(mesh.vertices_mm[t[2]] - near_mm));
  return sum > 0;
}

}  // namespace

void append_mesh(const TriangleMesh& mesh, bool closed, SolidMesh& out) {
  MeshRange range;
  range.solid = closed && is_outward(mesh);
  range.first_index = static_cast<std::uint32_t>(out.indices.size());
  range.first_edge = static_cast<std::uint32_t>(out.edges.size());
  const Faces faces = faces_of(mesh, welded(mesh.vertices_mm));
  append_surface(mesh, faces, out);
  append_edges(mesh, faces, out);
  range.index_count = static_cast<std::uint32_t>(out.indices.size()) - range.first_index;
  range.edge_count = static_cast<std::uint32_t>(out.edges.size()) - range.first_edge;
  out.obstacles.push_back(range);
  out.boxes.push_back(bounds(mesh));
}

SolidMesh solid_mesh(const Body& body) {
  SolidMesh out;
  for (const Obstacle& obstacle : body.obstacles) {
    const double radius_mm = std::visit(RadiusOf{}, obstacle.shape);
    append_mesh(tessellate(obstacle.shape, std::min(kMostOvershoot_mm, kOvershootOfRadius * radius_mm)),
                obstacle.closed, out);
  }
  add_coarse(out);
  return out;
}

}  // namespace hosefit
