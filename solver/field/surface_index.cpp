// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/field/surface_index.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>

#include "solver/field/surface_tree.h"
#include "solver/geometry/closest.h"
#include "solver/geometry/vertex_welding.h"

namespace hosefit {
namespace {

// Below this share of L^4 (L = longest edge) the squared normal is lost in the rounding of floats and the
// edges decide alone.
constexpr double kSliver = 1e-8;

// Float rounding of a distance of 4 m, doubled: boxes are kept when they are nearer than the best by less
// than this.
constexpr float kSlack = 1.000002F;

float inverse_or_zero(double x) {
  return x > 0 ? static_cast<float>(1 / x) : 0.0F;
}

}  // namespace

struct SurfaceIndex::Best {
  float d2;
  std::uint32_t triangle;
};

/// Turns the binary tree of surface_tree.h into 8-wide nodes and packs.
struct SurfaceIndex::Builder {
  SurfaceIndex& index;
  const SurfaceTree& tree;

  std::int32_t pack(const SurfaceTree::Range& leaf) {
    Pack out{};
    for (int lane = 0; lane < kWide; ++lane) {
      const std::uint32_t at = std::min(leaf.first + static_cast<std::uint32_t>(lane), leaf.last - 1);
      const std::uint32_t t = tree.order[at];
      const auto& corner = index.mesh_.triangles[t];
      const Vec3 a = index.mesh_.vertices_mm[corner[0]] - index.centre_mm_;
      const Vec3 ab = index.mesh_.vertices_mm[corner[1]] - index.mesh_.vertices_mm[corner[0]];
      const Vec3 ac = index.mesh_.vertices_mm[corner[2]] - index.mesh_.vertices_mm[corner[0]];
      const Vec3 n = ab.cross(ac);
      for (int k = 0; k < 3; ++k) {
        out.lanes.a[k][lane] = static_cast<float>(a[k]);
        out.lanes.ab[k][lane] = static_cast<float>(ab[k]);
        out.lanes.ac[k][lane] = static_cast<float>(ac[k]);
        out.lanes.n[k][lane] = static_cast<float>(n[k]);
      }
      const double l2 = std::max({ab.squaredNorm(), ac.squaredNorm(), (ac - ab).squaredNorm()});
      out.lanes.inverse_ab2[lane] = inverse_or_zero(ab.squaredNorm());
      out.lanes.inverse_ac2[lane] = inverse_or_zero(ac.squaredNorm());
      out.lanes.inverse_bc2[lane] = inverse_or_zero((ac - ab).squaredNorm());
      out.lanes.inverse_n2[lane] =
          n.squaredNorm() > kSliver * l2 * l2 ? inverse_or_zero(n.squaredNorm()) : 0.0F;
      out.triangle[lane] = t;
      index.pack_of_[t] = static_cast<std::uint32_t>(index.packs_.size());
    }
    index.packs_.push_back(out);
    return -static_cast<std::int32_t>(index.packs_.size());
  }

  // The costliest range is split again until there are eight.
  std::int32_t node(std::uint32_t root) {
    std::vector<std::uint32_t> children{root};
    while (children.size() < kWide) {
      std::size_t widest = children.size();
      double cost = -1;
      for (std::size_t i = 0; i < children.size(); ++i) {
        const SurfaceTree::Range& range = tree.ranges[children[i]];
        if (range.left == 0 || range.area() <= cost) continue;
        cost = range.area();
        widest = i;
      }
      if (widest == children.size()) break;
      const SurfaceTree::Range range = tree.ranges[children[widest]];
      children[widest] = range.left;
      children.push_back(range.right);
    }
    const auto id = static_cast<std::int32_t>(index.nodes_.size());
    index.nodes_.emplace_back();
    Node out{};
    for (int lane = 0; lane < kWide; ++lane) fill(out, lane, children);
    index.nodes_[static_cast<std::size_t>(id)] = out;
    return id;
  }

  void fill(Node& out, int lane, const std::vector<std::uint32_t>& children) {
    const bool used = static_cast<std::size_t>(lane) < children.size();
    for (int k = 0; k < 3; ++k) {
      out.boxes.low[k][lane] = out.boxes.high[k][lane] = std::numeric_limits<float>::infinity();
      if (!used) continue;
      const SurfaceTree::Range& range = tree.ranges[children[static_cast<std::size_t>(lane)]];
      out.boxes.low[k][lane] = range.low[k];
      out.boxes.high[k][lane] = range.high[k];
    }
    if (!used) return;
    const std::uint32_t child = children[static_cast<std::size_t>(lane)];
    const SurfaceTree::Range range = tree.ranges[child];
    out.child[lane] = range.left == 0 ? pack(range) : node(child);
  }
};

SurfaceIndex::SurfaceIndex(TriangleMesh mesh, bool solid)
    : mesh_(std::move(mesh)), solid_(solid), box_(bounds(mesh_)) {
  if (mesh_.triangles.empty()) {
    box_.setEmpty();
    solid_ = false;
    return;
  }
  centre_mm_ = box_.center();
  pack_of_.resize(mesh_.triangles.size());
  const SurfaceTree tree = surface_tree(mesh_, centre_mm_, kWide);
  packs_.reserve(mesh_.triangles.size() / 5 + 1);
  Builder{*this, tree}.node(0);
  if (solid_) prepare_normals();
}

void SurfaceIndex::measure(const eight::Kernels& kernels, const Pack& pack, const float (&p)[3], Best& best) {
  eight::Row d2;
  unsigned near = kernels.triangle_distances(pack.lanes, p, best.d2, d2);
  for (; near != 0; near &= near - 1) {
    const int i = std::countr_zero(near);
    if (d2[i] > best.d2 || (d2[i] == best.d2 && pack.triangle[i] >= best.triangle)) continue;
    best = {d2[i], pack.triangle[i]};
  }
}

std::optional<SurfaceHit> SurfaceIndex::nearest(const Vec3& p_mm, double within_mm,
                                                std::optional<std::uint32_t> hint) const {
  return nearest_with(eight::best(), p_mm, within_mm, hint);
}

std::optional<SurfaceHit> SurfaceIndex::nearest_with(const eight::Kernels& kernels, const Vec3& p_mm,
                                                     double within_mm,
                                                     std::optional<std::uint32_t> hint) const {
  if (nodes_.empty() || within_mm < 0) return std::nullopt;
  constexpr std::uint32_t kNone = std::numeric_limits<std::uint32_t>::max();
  const Vec3 local = p_mm - centre_mm_;
  const float p[3] = {static_cast<float>(local.x()), static_cast<float>(local.y()),
                      static_cast<float>(local.z())};
  const double reach = within_mm + 1e-3;
  Best best{reach < 1e15 ? static_cast<float>(reach * reach) : std::numeric_limits<float>::max(), kNone};
  if (hint) measure(kernels, packs_[pack_of_[*hint]], p, best);

  struct Waiting {
    float d2;
    std::int32_t node;
  };
  std::array<Waiting, 512> stack;  // 7 more per level, at most 64 levels (surface_tree.cpp)
  std::size_t waiting = 0;
  stack[waiting++] = {0.0F, 0};
  while (waiting > 0) {
    const Waiting now = stack[--waiting];
    if (now.d2 > best.d2 * kSlack) continue;
    if (now.node < 0) {
      measure(kernels, packs_[static_cast<std::size_t>(-now.node - 1)], p, best);
      continue;
    }
    const Node& node = nodes_[static_cast<std::size_t>(now.node)];
    eight::Row d2;
    unsigned near = kernels.box_distances(node.boxes, p, best.d2 * kSlack, d2);
    const std::size_t bottom = waiting;
    for (; near != 0; near &= near - 1) {
      const int i = std::countr_zero(near);
      std::size_t at = waiting++;
      for (; at > bottom && stack[at - 1].d2 < d2[i]; --at) stack[at] = stack[at - 1];
      stack[at] = {d2[i], node.child[i]};
    }
  }
  if (best.triangle == kNone) return std::nullopt;

  const auto& corner = mesh_.triangles[best.triangle];
  const Vec3 q = closest_on_triangle(p_mm, mesh_.vertices_mm[corner[0]], mesh_.vertices_mm[corner[1]],
                                     mesh_.vertices_mm[corner[2]])
                     .point_mm;
  const double distance = (p_mm - q).norm();
  if (distance > within_mm) return std::nullopt;
  return SurfaceHit{solid_ ? sign_at(best.triangle, p_mm) * distance : distance, q, best.triangle};
}

double SurfaceIndex::sign_at(std::uint32_t triangle, const Vec3& p_mm) const {
  const auto& corner = mesh_.triangles[triangle];
  const Vec3& a = mesh_.vertices_mm[corner[0]];
  const Vec3& b = mesh_.vertices_mm[corner[1]];
  const Vec3& c = mesh_.vertices_mm[corner[2]];
  const TrianglePoint nearest = closest_on_triangle(p_mm, a, b, c);
  const std::size_t first = std::size_t{3} * triangle;
  Vec3 normal = Vec3::Zero();
  switch (nearest.part) {
    case TrianglePart::corner_a:
      normal = corner_normal_[first].cast<double>();
      break;
    case TrianglePart::corner_b:
      normal = corner_normal_[first + 1].cast<double>();
      break;
    case TrianglePart::corner_c:
      normal = corner_normal_[first + 2].cast<double>();
      break;
    case TrianglePart::edge_ab:
      normal = edge_normal_[first].cast<double>();
      break;
    case TrianglePart::edge_bc:
      normal = edge_normal_[first + 1].cast<double>();
      break;
    case TrianglePart::edge_ca:
      normal = edge_normal_[first + 2].cast<double>();
      break;
    case TrianglePart::face:
      normal = (b - a).cross(c - a);
      break;
  }
  return normal.dot(p_mm - nearest.point_mm) < 0 ? -1.0 : 1.0;
}

void SurfaceIndex::prepare_normals() {
  const std::vector<std::uint32_t> same = first_vertex_at_each_place(mesh_);
  std::vector<Vec3> at_vertex(mesh_.vertices_mm.size(), Vec3::Zero());
  std::vector<std::pair<std::uint64_t, std::uint32_t>> edges;  // (both vertices, 3 * triangle + side)
  std::vector<Vec3> face(mesh_.triangles.size());
  for (std::uint32_t t = 0; t < mesh_.triangles.size(); ++t) {
    const auto& corner = mesh_.triangles[t];
    Vec3 p[3];
    for (std::size_t k = 0; k < 3; ++k) p[k] = mesh_.vertices_mm[corner[k]];
    const Vec3 n = (p[1] - p[0]).cross(p[2] - p[0]);
    face[t] = n.squaredNorm() > 0 ? n.normalized() : Vec3::Zero();
    for (std::size_t k = 0; k < 3; ++k) {
      const Vec3 to_next = p[(k + 1) % 3] - p[k];
      const Vec3 to_last = p[(k + 2) % 3] - p[k];
      at_vertex[same[corner[k]]] += angle_between(to_next, to_last) * face[t];
      const std::uint64_t i = same[corner[k]];
      const std::uint64_t j = same[corner[(k + 1) % 3]];
      edges.emplace_back(std::min(i, j) << 32 | std::max(i, j), 3 * t + static_cast<std::uint32_t>(k));
    }
  }
  std::sort(edges.begin(), edges.end());
  corner_normal_.resize(3 * mesh_.triangles.size());
  edge_normal_.resize(3 * mesh_.triangles.size());
  for (std::size_t i = 0; i < edges.size();) {
    std::size_t end = i;
    Vec3 sum = Vec3::Zero();
    int forward = 0;
    for (; end < edges.size() && edges[end].first == edges[i].first; ++end) {
      const std::uint32_t side = edges[end].second;
      const auto& corner = mesh_.triangles[side / 3];
      const std::uint32_t from = same[corner[side % 3]];
      const std::uint32_t to = same[corner[(side % 3 + 1) % 3]];
      sum += face[side / 3];
      forward += from < to ? 1 : from > to ? -1 : 0;
    }
    if (forward != 0) solid_ = false;
    for (; i < end; ++i) edge_normal_[edges[i].second] = sum.cast<float>();
  }
  for (std::size_t t = 0; t < mesh_.triangles.size(); ++t)
    for (std::size_t k = 0; k < 3; ++k)
      corner_normal_[3 * t + k] = at_vertex[same[mesh_.triangles[t][k]]].normalized().cast<float>();
}

}  // namespace hosefit
