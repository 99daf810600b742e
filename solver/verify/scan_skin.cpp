// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/scan_skin.h"

#include <cmath>
#include <map>
#include <numeric>

#include "solver/geometry/closest.h"
#include "solver/geometry/vertex_welding.h"

namespace hosefit {
namespace {

// Six along the axes and eight between them, all turned a little out of the way of modelled edges and faces.
const std::vector<Vec3>& sights() {
  static const std::vector<Vec3> all = [] {
    const Mat3 turn = (Eigen::AngleAxisd(0.137, Vec3::UnitX()) * Eigen::AngleAxisd(0.271, Vec3::UnitY()) *
                       Eigen::AngleAxisd(0.193, Vec3::UnitZ()))
                          .toRotationMatrix();
    std::vector<Vec3> out;
    for (int k = 0; k < 3; ++k)
      for (const double side : {-1.0, 1.0}) out.emplace_back(turn * (side * Vec3::Unit(k)));
    for (const double x : {-1.0, 1.0})
      for (const double y : {-1.0, 1.0})
        for (const double z : {-1.0, 1.0}) out.emplace_back(turn * Vec3(x, y, z).normalized());
    return out;
  }();
  return all;
}

const double kCos45 = std::sqrt(0.5);

}  // namespace

struct ScanSkin::Stand {
  double distance_mm = 0;
  double in_front_mm = 0;  // of the surface at its nearest point, negative behind
  std::uint32_t rim = kNoRim;
};

ScanSkin::ScanSkin(std::shared_ptr<const MeshDistance> surface)
    : surface_(std::move(surface)), winding_(surface_->mesh()), box_(bounds(*surface_->mesh())) {
  across_mm_ = box_.isEmpty() ? 0 : box_.diagonal().norm();
  const std::vector<std::uint32_t> same = first_vertex_at_each_place(*surface_->mesh());
  const MeshEdges edges(*surface_->mesh(), same);
  find_normals(edges, same);
  find_rims(edges, same);
}

void ScanSkin::find_normals(const MeshEdges& edges, std::span<const std::uint32_t> same) {
  const TriangleMesh& mesh = *surface_->mesh();
  vertex_normal_.assign(mesh.vertices_mm.size(), Eigen::Vector3f::Zero());
  std::vector<Eigen::Vector3f> face(mesh.triangles.size(), Eigen::Vector3f::Zero());
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    Vec3 p[3];
    for (std::size_t k = 0; k < 3; ++k) p[k] = mesh.vertices_mm[mesh.triangles[t][k]];
    const Vec3 n = (p[1] - p[0]).cross(p[2] - p[0]);
    if (n.squaredNorm() <= 0) continue;
    face[t] = n.normalized().cast<float>();
    for (std::size_t k = 0; k < 3; ++k) {
      const auto angle = static_cast<float>(angle_between(p[(k + 1) % 3] - p[k], p[(k + 2) % 3] - p[k]));
      vertex_normal_[same[mesh.triangles[t][k]]] += angle * face[t];
    }
  }
  for (std::size_t v = 0; v < same.size(); ++v) vertex_normal_[v] = vertex_normal_[same[v]];
  side_normal_.assign(3 * mesh.triangles.size(), Eigen::Vector3f::Zero());
  for (std::size_t e = 0; e < edges.count(); ++e) {
    Eigen::Vector3f sum = Eigen::Vector3f::Zero();
    for (const std::uint32_t side : edges.sides(e)) sum += face[side / 3];
    for (const std::uint32_t side : edges.sides(e)) side_normal_[side] = sum;
  }
}

void ScanSkin::find_rims(const MeshEdges& edges, std::span<const std::uint32_t> same) {
  const TriangleMesh& mesh = *surface_->mesh();
  rim_of_side_.assign(3 * mesh.triangles.size(), kNoRim);
  rim_of_vertex_.assign(mesh.vertices_mm.size(), kNoRim);
  std::vector<std::uint32_t> parent(mesh.vertices_mm.size());
  std::iota(parent.begin(), parent.end(), 0U);
  const auto root = [&](std::uint32_t v) {
    while (parent[v] != v) v = parent[v] = parent[parent[v]];
    return v;
  };
  const auto ends = [&](std::uint32_t side) {
    const auto& t = mesh.triangles[side / 3];
    return std::pair(same[t[side % 3]], same[t[(side + 1) % 3]]);
  };
  std::vector<std::uint32_t> open;
  for (std::size_t e = 0; e < edges.count(); ++e)
    if (edges.sides(e).size() == 1) open.push_back(edges.sides(e).front());
  for (const std::uint32_t side : open) {
    const std::uint32_t a = root(ends(side).first);
    const std::uint32_t b = root(ends(side).second);
    parent[std::max(a, b)] = std::min(a, b);
  }
  std::map<std::uint32_t, std::pair<std::uint32_t, AxisBox>> rims;  // by root
  for (const std::uint32_t side : open) {
    const auto [a, b] = ends(side);
    auto& [rim, box] =
        rims.try_emplace(root(a), static_cast<std::uint32_t>(rims.size()), AxisBox()).first->second;
    box.extend(mesh.vertices_mm[a]);
    box.extend(mesh.vertices_mm[b]);
    rim_of_side_[side] = rim_of_vertex_[a] = rim_of_vertex_[b] = rim;
  }
  for (std::size_t v = 0; v < same.size(); ++v) rim_of_vertex_[v] = rim_of_vertex_[same[v]];
  rim_across_mm_.assign(rims.size(), 0);
  for (const auto& [at, rim] : rims) rim_across_mm_[rim.first] = rim.second.diagonal().norm();
}

ScanSkin::Stand ScanSkin::stand(const Vec3& p_mm) const {
  const auto near = surface_->nearest(p_mm);
  if (!near) return {};
  const TriangleMesh& mesh = *surface_->mesh();
  const auto& corner = mesh.triangles[near->triangle];
  const Vec3& a = mesh.vertices_mm[corner[0]];
  const Vec3& b = mesh.vertices_mm[corner[1]];
  const Vec3& c = mesh.vertices_mm[corner[2]];
  const TrianglePoint at = closest_on_triangle(p_mm, a, b, c);
  const std::uint32_t first = 3 * near->triangle;
  Stand out;
  Vec3 normal = (b - a).cross(c - a);
  const auto on_corner = [&](std::size_t k) {
    normal = vertex_normal_[corner[k]].cast<double>();
    out.rim = rim_of_vertex_[corner[k]];
  };
  const auto on_side = [&](std::uint32_t k) {
    normal = side_normal_[first + k].cast<double>();
    out.rim = rim_of_side_[first + k];
  };
  switch (at.part) {
    case TrianglePart::corner_a:
      on_corner(0);
      break;
    case TrianglePart::corner_b:
      on_corner(1);
      break;
    case TrianglePart::corner_c:
      on_corner(2);
      break;
    case TrianglePart::edge_ab:
      on_side(0);
      break;
    case TrianglePart::edge_bc:
      on_side(1);
      break;
    case TrianglePart::edge_ca:
      on_side(2);
      break;
    case TrianglePart::face:
      break;
  }
  const Vec3 off = p_mm - at.point_mm;
  out.distance_mm = off.norm();
  out.in_front_mm = normal.norm() > 0 ? off.dot(normal.normalized()) : 0;
  return out;
}

bool ScanSkin::sees_backs(const Vec3& p_mm) const {
  int backs = 0;
  for (const Vec3& direction : sights()) {
    const auto front = surface_->meets_front(p_mm, direction);
    backs += front && !*front ? 1 : 0;
  }
  return backs >= kBackSights;
}

Sight ScanSkin::on_rim(const Stand& stand, double winding) const {
  if (stand.in_front_mm >= kCos45 * stand.distance_mm && winding <= -kFrontShare) return Sight::seen;
  return stand.distance_mm <= rim_across_mm_[stand.rim] ? Sight::past_edge : Sight::seen;
}

Sight ScanSkin::at(const Vec3& p_mm) const {
  const Sight sight = between(p_mm);
  if (sight != Sight::seen || box_.exteriorDistance(p_mm) > across_mm_) return sight;
  return sees_backs(p_mm) ? Sight::behind : sight;
}

Sight ScanSkin::between(const Vec3& p_mm) const {
  if (box_.isEmpty() || box_.exteriorDistance(p_mm) > across_mm_) return Sight::seen;
  const double winding = winding_.at(p_mm);
  if (winding >= kBackShare) return Sight::behind;
  const Stand here = stand(p_mm);
  if (here.rim != kNoRim) return on_rim(here, winding);
  return here.in_front_mm >= 0 ? Sight::seen : Sight::behind;
}

Sight ScanSkin::beside(const Vec3& p_mm) const {
  if (box_.isEmpty() || box_.exteriorDistance(p_mm) > across_mm_) return Sight::seen;
  const Stand here = stand(p_mm);
  if (here.rim != kNoRim) return on_rim(here, winding_.at(p_mm));
  return here.in_front_mm >= 0 ? Sight::seen : Sight::behind;
}

}  // namespace hosefit
