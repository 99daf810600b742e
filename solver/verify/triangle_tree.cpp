// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/triangle_tree.h"

#include <algorithm>
#include <array>
#include <numeric>

#include "solver/geometry/closest.h"

namespace hosefit {
namespace {

constexpr std::uint32_t kLeaf = 4;
constexpr double kGive_mm = 0.005;  // saves most of the descent where two surfaces run along each other
using Corners = std::array<Vec3, 3>;

AxisBox box_of(const TriangleMesh& mesh, std::uint32_t triangle) {
  AxisBox box;
  for (const std::uint32_t v : mesh.triangles[triangle]) box.extend(mesh.vertices_mm[v]);
  return box;
}

// The box around a box of b's frame, seen from a's frame.
AxisBox seen(const AxisBox& box, const Pose& pose) {
  const Vec3 half = pose.rotation.cwiseAbs() * (0.5 * box.sizes());
  const Vec3 centre = pose.point(box.center());
  return {centre - half, centre + half};
}

AxisBox box_of(const Corners& corners) {
  AxisBox box(corners[0]);
  box.extend(corners[1]);
  box.extend(corners[2]);
  return box;
}

void nearer(MeshGap& gap, const Corners& a, const Corners& b) {
  if (box_of(a).exteriorDistance(box_of(b)) >= gap.distance_mm - kGive_mm) return;
  for (std::size_t k = 0; k < 3; ++k) {
    const ClosestPair from_a = closest_segment_triangle(a[k], a[(k + 1) % 3], b[0], b[1], b[2]);
    if (from_a.distance_mm() < gap.distance_mm)
      gap = {from_a.distance_mm(), from_a.on_first_mm, from_a.on_second_mm};
    const ClosestPair from_b = closest_segment_triangle(b[k], b[(k + 1) % 3], a[0], a[1], a[2]);
    if (from_b.distance_mm() < gap.distance_mm)
      gap = {from_b.distance_mm(), from_b.on_second_mm, from_b.on_first_mm};
  }
}

// Descends both trees in a's frame, nearest pairs first.
class Descent {
 public:
  Descent(const TriangleTree& a, const TriangleTree& b, const Pose& b_in_a, double within_mm)
      : a_(a), b_(b), b_in_a_(b_in_a) {
    gap_.distance_mm = within_mm;
  }
  MeshGap run() {
    if (!a_.nodes().empty() && !b_.nodes().empty()) descend(0, 0);
    return gap_;
  }

 private:
  double apart(std::uint32_t ia, std::uint32_t ib) const {
    return a_.nodes()[ia].box.exteriorDistance(seen(b_.nodes()[ib].box, b_in_a_));
  }
  void descend(std::uint32_t ia, std::uint32_t ib) {
    if (gap_.distance_mm <= 0 || apart(ia, ib) >= gap_.distance_mm - kGive_mm) return;
    const auto& na = a_.nodes()[ia];
    const auto& nb = b_.nodes()[ib];
    if (!na.left && !nb.left) return measure(na, nb);
    const bool split_a =
        na.left && (!nb.left || na.box.diagonal().squaredNorm() >= nb.box.diagonal().squaredNorm());
    const std::uint32_t a1 = split_a ? na.left : ia, a2 = split_a ? na.right : ia;
    const std::uint32_t b1 = split_a ? ib : nb.left, b2 = split_a ? ib : nb.right;
    if (apart(a1, b1) <= apart(a2, b2)) {
      descend(a1, b1);
      descend(a2, b2);
    } else {
      descend(a2, b2);
      descend(a1, b1);
    }
  }
  void measure(const TriangleTree::Node& na, const TriangleTree::Node& nb) {
    for (std::uint32_t j = nb.from; j < nb.to; ++j) {
      const auto& tb = b_.mesh().triangles[b_.order()[j]];
      Corners cb;
      for (std::size_t k = 0; k < 3; ++k) cb[k] = b_in_a_.point(b_.mesh().vertices_mm[tb[k]]);
      for (std::uint32_t i = na.from; i < na.to; ++i) {
        const auto& ta = a_.mesh().triangles[a_.order()[i]];
        const auto& v = a_.mesh().vertices_mm;
        nearer(gap_, {v[ta[0]], v[ta[1]], v[ta[2]]}, cb);
      }
    }
  }
  const TriangleTree& a_;
  const TriangleTree& b_;
  Pose b_in_a_;
  MeshGap gap_;
};

}  // namespace

TriangleTree::TriangleTree(TriangleMesh mesh, double around_mm)
    : mesh_(std::move(mesh)), around_mm_(around_mm), order_(mesh_.triangles.size()) {
  std::iota(order_.begin(), order_.end(), 0U);
  nodes_.reserve(order_.size());
  if (!order_.empty()) build(0, static_cast<std::uint32_t>(order_.size()));
}

std::uint32_t TriangleTree::build(std::uint32_t from, std::uint32_t to) {
  const auto self = static_cast<std::uint32_t>(nodes_.size());
  Node node;
  node.from = from;
  node.to = to;
  for (std::uint32_t i = from; i < to; ++i) node.box.extend(box_of(mesh_, order_[i]));
  nodes_.push_back(node);
  if (to - from <= kLeaf) return self;
  Eigen::Index axis = 0;
  node.box.sizes().maxCoeff(&axis);
  const auto middle_of = [&](std::uint32_t t) {
    const auto& c = mesh_.triangles[t];
    return mesh_.vertices_mm[c[0]][axis] + mesh_.vertices_mm[c[1]][axis] + mesh_.vertices_mm[c[2]][axis];
  };
  const std::uint32_t middle = from + (to - from) / 2;
  std::nth_element(order_.begin() + from, order_.begin() + middle, order_.begin() + to,
                   [&](std::uint32_t x, std::uint32_t y) {
                     const double mx = middle_of(x);
                     const double my = middle_of(y);
                     return mx != my ? mx < my : x < y;
                   });
  const std::uint32_t left = build(from, middle);
  const std::uint32_t right = build(middle, to);
  nodes_[self].left = left;
  nodes_[self].right = right;
  return self;
}

MeshGap least_gap(const TriangleTree& a, const Pose& pose_a, const TriangleTree& b, const Pose& pose_b,
                  double within_mm) {
  const double around_mm = a.around_mm() + b.around_mm();
  MeshGap gap = Descent(a, b, inverse(pose_a) * pose_b, within_mm + around_mm).run();
  const double core_mm = gap.distance_mm;
  const Vec3 to_b = gap.on_b_mm - gap.on_a_mm;
  if (core_mm > 0) {  // from the cores to the surfaces around them
    gap.on_a_mm += to_b * std::min(1.0, a.around_mm() / core_mm);
    gap.on_b_mm -= to_b * std::min(1.0, b.around_mm() / core_mm);
  }
  gap.distance_mm = std::max(0.0, core_mm - around_mm);
  gap.on_a_mm = pose_a.point(gap.on_a_mm);
  gap.on_b_mm = pose_a.point(gap.on_b_mm);
  return gap;
}

}  // namespace hosefit
