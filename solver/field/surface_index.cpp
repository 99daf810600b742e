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

// Float rounding of a distance of 4 m, doubled: boxes are kept when they are nearer than the best by less
// than this.
constexpr float kSlack = 1.000002F;

constexpr std::size_t kPacksATask = 2048;

}  // namespace

struct SurfaceIndex::Best {
  float d2;
  std::uint32_t triangle;
};

/// Turns the binary tree of surface_tree.h into 8-wide nodes and packs.
class SurfaceIndex::Builder {
 public:
  Builder(SurfaceIndex& index, const SurfaceTree& tree) : index_(index), tree_(tree) {}

  void build(Threads threads) {
    node(0);
    index_.packs_ = std::make_shared_for_overwrite<Pack[]>(leaves_.size());
    const std::size_t tasks = (leaves_.size() + kPacksATask - 1) / kPacksATask;
    parallel_for(tasks, threads, [&](std::size_t task) {
      const std::size_t last = std::min(leaves_.size(), (task + 1) * kPacksATask);
      for (std::size_t i = task * kPacksATask; i < last; ++i) fill_pack(i);
    });
  }

 private:
  // The costliest range is split again until there are eight.
  std::int32_t node(std::uint32_t root) {
    std::array<std::uint32_t, kWide> children{root};
    std::size_t count = 1;
    while (count < kWide) {
      std::size_t widest = count;
      double cost = -1;
      for (std::size_t i = 0; i < count; ++i) {
        const SurfaceTree::Range& range = tree_.ranges[children[i]];
        if (range.left == 0 || range.area() <= cost) continue;
        cost = range.area();
        widest = i;
      }
      if (widest == count) break;
      const SurfaceTree::Range& range = tree_.ranges[children[widest]];
      children[widest] = range.left;
      children[count++] = range.right;
    }
    const auto id = static_cast<std::int32_t>(index_.nodes_.size());
    index_.nodes_.emplace_back();
    Node out{};
    for (int k = 0; k < 3; ++k)
      for (int lane = 0; lane < kWide; ++lane)
        out.boxes.low[k][lane] = out.boxes.high[k][lane] = std::numeric_limits<float>::infinity();
    for (std::size_t lane = 0; lane < count; ++lane) {
      const SurfaceTree::Range& range = tree_.ranges[children[lane]];
      for (int k = 0; k < 3; ++k) {
        out.boxes.low[k][lane] = range.low[k];
        out.boxes.high[k][lane] = range.high[k];
      }
      out.child[lane] = range.left == 0 ? leaf(range) : node(children[lane]);
    }
    index_.nodes_[static_cast<std::size_t>(id)] = out;
    return id;
  }

  std::int32_t leaf(const SurfaceTree::Range& range) {
    leaves_.push_back(&range);
    return -static_cast<std::int32_t>(leaves_.size());
  }

  void fill_pack(std::size_t i) {
    const SurfaceTree::Range& leaf = *leaves_[i];
    Pack& out = index_.packs_[static_cast<std::ptrdiff_t>(i)];
    for (int lane = 0; lane < kWide; ++lane) {
      const std::uint32_t at = std::min(leaf.first + static_cast<std::uint32_t>(lane), leaf.last - 1);
      const std::uint32_t t = tree_.order[at];
      const auto& corner = index_.mesh_.triangles[t];
      const Vec3& a = index_.mesh_.vertices_mm[corner[0]];
      const Vec3 from_centre = a - index_.centre_mm_;
      const Vec3 ab = index_.mesh_.vertices_mm[corner[1]] - a, ac = index_.mesh_.vertices_mm[corner[2]] - a;
      for (int k = 0; k < 3; ++k) {
        out.lanes.a[k][lane] = static_cast<float>(from_centre[k]);
        out.lanes.ab[k][lane] = static_cast<float>(ab[k]);
        out.lanes.ac[k][lane] = static_cast<float>(ac[k]);
      }
      out.triangle[lane] = t;
    }
  }

  SurfaceIndex& index_;
  const SurfaceTree& tree_;
  std::vector<const SurfaceTree::Range*> leaves_;  // by pack
};

SurfaceIndex::SurfaceIndex(TriangleMesh mesh, bool solid, Threads threads)
    : mesh_(std::move(mesh)), solid_(solid), box_(bounds(mesh_)) {
  static_assert(kWide == SurfaceTree::kMostInALeaf);
  if (mesh_.triangles.empty()) {
    box_.setEmpty();
    solid_ = false;
    return;
  }
  centre_mm_ = box_.center();
  if (solid_) weld(threads);
  Builder(*this, surface_tree(mesh_, centre_mm_, threads)).build(threads);
}

// What the sign asks of the mesh: vertices at one place by one index, and the triangles round them.
void SurfaceIndex::weld(Threads threads) {
  const std::vector<std::uint32_t> same = first_vertex_at_each_place(mesh_);
  for (auto& triangle : mesh_.triangles)
    for (std::uint32_t& v : triangle) v = same[v];
  CornersAtVertices corners(mesh_);
  solid_ = edges_pair(mesh_, corners, threads);
  if (solid_) corners_ = std::move(corners);
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

std::optional<SurfaceHit> SurfaceIndex::nearest(const Vec3& p_mm, double within_mm) const {
  return nearest_with(eight::best(), p_mm, within_mm);
}

std::optional<SurfaceHit> SurfaceIndex::nearest_with(const eight::Kernels& kernels, const Vec3& p_mm,
                                                     double within_mm) const {
  if (nodes_.empty() || within_mm < 0) return std::nullopt;
  constexpr std::uint32_t kNone = std::numeric_limits<std::uint32_t>::max();
  const Vec3 local = p_mm - centre_mm_;
  const float p[3] = {static_cast<float>(local.x()), static_cast<float>(local.y()),
                      static_cast<float>(local.z())};
  const double reach = within_mm + 1e-3;
  Best best{reach < 1e15 ? static_cast<float>(reach * reach) : std::numeric_limits<float>::max(), kNone};

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
      measure(kernels, packs_[static_cast<std::ptrdiff_t>(-now.node - 1)], p, best);
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
  const TrianglePoint nearest = closest_on_triangle(
      p_mm, mesh_.vertices_mm[corner[0]], mesh_.vertices_mm[corner[1]], mesh_.vertices_mm[corner[2]]);
  const Vec3 off = p_mm - nearest.point_mm;
  switch (nearest.part) {
    case TrianglePart::corner_a:
      return sign_at_corner(corner[0], off);
    case TrianglePart::corner_b:
      return sign_at_corner(corner[1], off);
    case TrianglePart::corner_c:
      return sign_at_corner(corner[2], off);
    case TrianglePart::edge_ab:
      return sign_at_edge(corner[0], corner[1], off);
    case TrianglePart::edge_bc:
      return sign_at_edge(corner[1], corner[2], off);
    case TrianglePart::edge_ca:
      return sign_at_edge(corner[2], corner[0], off);
    case TrianglePart::face:
      break;
  }
  return normal_of(triangle).dot(off) < 0 ? -1.0 : 1.0;
}

// Zero of a triangle without area.
Vec3 SurfaceIndex::normal_of(std::uint32_t triangle) const {
  const auto& corner = mesh_.triangles[triangle];
  const Vec3& a = mesh_.vertices_mm[corner[0]];
  const Vec3 n = (mesh_.vertices_mm[corner[1]] - a).cross(mesh_.vertices_mm[corner[2]] - a);
  return n.squaredNorm() > 0 ? n.normalized() : Vec3::Zero();
}

double SurfaceIndex::sign_at_corner(std::uint32_t vertex, const Vec3& off_mm) const {
  Vec3 normal = Vec3::Zero();
  for (const std::uint32_t corner : corners_.of(vertex)) {
    const auto& triangle = mesh_.triangles[corner / 3];
    const Vec3& at = mesh_.vertices_mm[vertex];
    const Vec3 to_next = mesh_.vertices_mm[triangle[(corner % 3 + 1) % 3]] - at;
    const Vec3 to_last = mesh_.vertices_mm[triangle[(corner % 3 + 2) % 3]] - at;
    normal += angle_between(to_next, to_last) * normal_of(corner / 3);
  }
  return normal.dot(off_mm) < 0 ? -1.0 : 1.0;
}

double SurfaceIndex::sign_at_edge(std::uint32_t from, std::uint32_t to, const Vec3& off_mm) const {
  Vec3 normal = Vec3::Zero();
  for (const std::uint32_t corner : corners_.of(from)) {
    const auto& triangle = mesh_.triangles[corner / 3];
    if (triangle[(corner % 3 + 1) % 3] == to || triangle[(corner % 3 + 2) % 3] == to)
      normal += normal_of(corner / 3);
  }
  return normal.dot(off_mm) < 0 ? -1.0 : 1.0;
}

}  // namespace hosefit
