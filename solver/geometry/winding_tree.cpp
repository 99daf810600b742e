// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/geometry/winding_tree.h"

#include <algorithm>
#include <numbers>
#include <utility>

namespace hosefit {
namespace {

constexpr std::uint32_t kLeaf = 16;  // triangles; a rim is hardly shorter below

// Twice the tangent's arc: solid angle of a triangle by its corners seen from the point (Van Oosterom and
// Strackee, as in triangle_mesh.cpp).
double half_solid_angle(const Vec3& a, const Vec3& b, const Vec3& c) {
  const double la = a.norm();
  const double lb = b.norm();
  const double lc = c.norm();
  return std::atan2(a.dot(b.cross(c)), la * lb * lc + a.dot(b) * lc + b.dot(c) * la + c.dot(a) * lb);
}

// Bits of a 21-bit number, two zeros after each.
std::uint64_t spread_bits(std::uint64_t x) {
  x = (x | x << 32) & 0x1f00000000ffffULL;
  x = (x | x << 16) & 0x1f0000ff0000ffULL;
  x = (x | x << 8) & 0x100f00f00f00f00fULL;
  x = (x | x << 4) & 0x10c30c30c30c30c3ULL;
  return (x | x << 2) & 0x1249249249249249ULL;
}

// Triangles along a space-filling curve through their middles (G. M. Morton 1966).
std::vector<std::uint32_t> along_a_curve(const TriangleMesh& mesh) {
  const AxisBox box = bounds(mesh);
  const Vec3 per_mm = ((1 << 21) - 1) * box.sizes().cwiseMax(1e-9).cwiseInverse();
  std::vector<std::pair<std::uint64_t, std::uint32_t>> keys(mesh.triangles.size());
  for (std::uint32_t t = 0; t < keys.size(); ++t) {
    const auto& c = mesh.triangles[t];
    const Vec3 middle =
        (mesh.vertices_mm[c[0]] + mesh.vertices_mm[c[1]] + mesh.vertices_mm[c[2]]) / 3 - box.min();
    std::uint64_t key = 0;
    for (Eigen::Index k = 0; k < 3; ++k)
      key |= spread_bits(static_cast<std::uint64_t>(std::max(0.0, middle[k] * per_mm[k]))) << k;
    keys[t] = {key, t};
  }
  std::sort(keys.begin(), keys.end());
  std::vector<std::uint32_t> order(keys.size());
  for (std::size_t i = 0; i < keys.size(); ++i) order[i] = keys[i].second;
  return order;
}

}  // namespace

// Edges where a part of the surface ends: lesser vertex, greater vertex, how often it runs up less how often
// down; ascending, none with 0.
struct WindingTree::Rim {
  struct Entry {
    std::uint64_t ends;
    int up;
  };
  std::vector<Entry> entries;

  static Rim of_faces(const TriangleMesh& mesh, const std::uint32_t* first, const std::uint32_t* last) {
    Rim all;
    for (; first != last; ++first)
      for (std::size_t k = 0; k < 3; ++k) {
        const std::uint64_t a = mesh.triangles[*first][k];
        const std::uint64_t b = mesh.triangles[*first][(k + 1) % 3];
        if (a != b) all.entries.push_back({std::min(a, b) << 32 | std::max(a, b), a < b ? 1 : -1});
      }
    std::sort(all.entries.begin(), all.entries.end(),
              [](const Entry& x, const Entry& y) { return x.ends < y.ends; });
    Rim out;
    for (const Entry& e : all.entries) out.add(e);
    out.drop_nothing();
    return out;
  }
  static Rim merged(const Rim& x, const Rim& y) {
    Rim out;
    out.entries.reserve(x.entries.size() + y.entries.size());
    auto i = x.entries.begin();
    auto j = y.entries.begin();
    while (i != x.entries.end() || j != y.entries.end()) {
      const bool from_x = j == y.entries.end() || (i != x.entries.end() && i->ends <= j->ends);
      out.add(from_x ? *i++ : *j++);
    }
    out.drop_nothing();
    return out;
  }

 private:
  void add(const Entry& e) {
    if (!entries.empty() && entries.back().ends == e.ends)
      entries.back().up += e.up;
    else
      entries.push_back(e);
  }
  void drop_nothing() {
    std::erase_if(entries, [](const Entry& e) { return e.up == 0; });
  }
};

struct WindingTree::Builder {
  WindingTree& tree;

  std::pair<std::uint32_t, Rim> build(std::uint32_t first, std::uint32_t last) {
    const auto id = static_cast<std::uint32_t>(tree.nodes_.size());
    tree.nodes_.emplace_back();
    Node node;
    node.first = first;
    node.last = last;
    Rim rim;
    if (last - first <= kLeaf) {
      for (std::uint32_t i = first; i < last; ++i)
        for (const std::uint32_t v : tree.mesh_->triangles[tree.order_[i]])
          node.box.extend(tree.mesh_->vertices_mm[v]);
      rim = Rim::of_faces(*tree.mesh_, tree.order_.data() + first, tree.order_.data() + last);
    } else {
      const std::uint32_t middle = first + (last - first) / 2;
      auto [left, left_rim] = build(first, middle);
      auto [right, right_rim] = build(middle, last);
      node.left = left;
      node.right = right;
      node.box = tree.nodes_[left].box.merged(tree.nodes_[right].box);
      rim = Rim::merged(left_rim, right_rim);
    }
    keep(node, rim);
    tree.nodes_[id] = node;
    return {id, std::move(rim)};
  }

  void keep(Node& node, const Rim& rim) {
    node.rim_known = rim.entries.size() < node.last - node.first;
    if (!node.rim_known) return;
    node.rim_first = static_cast<std::uint32_t>(tree.rims_.size());
    for (const Rim::Entry& e : rim.entries) {
      const auto low = static_cast<std::uint32_t>(e.ends >> 32);
      const auto high = static_cast<std::uint32_t>(e.ends);
      for (int n = std::abs(e.up); n > 0; --n)
        tree.rims_.push_back(e.up > 0 ? Edge{low, high} : Edge{high, low});
    }
    node.rim_last = static_cast<std::uint32_t>(tree.rims_.size());
  }
};

WindingTree::WindingTree(std::shared_ptr<const TriangleMesh> mesh)
    : mesh_(std::move(mesh)), order_(along_a_curve(*mesh_)) {
  if (order_.empty()) return;
  nodes_.reserve(2 * order_.size() / (kLeaf / 2) + 2);
  Builder{*this}.build(0, static_cast<std::uint32_t>(order_.size()));
}

double WindingTree::fan(const Node& node, const Vec3& p_mm) const {
  if (node.rim_first == node.rim_last) return 0;
  const std::vector<Vec3>& v = mesh_->vertices_mm;
  const std::uint32_t tip = rims_[node.rim_first].from;
  const Vec3 a = v[tip] - p_mm;
  double sum = 0;
  for (std::uint32_t i = node.rim_first; i < node.rim_last; ++i) {
    const Edge& edge = rims_[i];
    if (edge.from == tip || edge.to == tip) continue;
    sum += half_solid_angle(a, v[edge.from] - p_mm, v[edge.to] - p_mm);
  }
  return sum;
}

double WindingTree::faces(const Node& node, const Vec3& p_mm) const {
  const std::vector<Vec3>& v = mesh_->vertices_mm;
  double sum = 0;
  for (std::uint32_t i = node.first; i < node.last; ++i) {
    const auto& t = mesh_->triangles[order_[i]];
    sum += half_solid_angle(v[t[0]] - p_mm, v[t[1]] - p_mm, v[t[2]] - p_mm);
  }
  return sum;
}

double WindingTree::at(const Vec3& p_mm) const {
  if (nodes_.empty()) return 0;
  double sum = 0;
  std::vector<std::uint32_t> open{0};
  while (!open.empty()) {
    const Node& node = nodes_[open.back()];
    open.pop_back();
    const bool outside = !node.box.contains(p_mm);
    if (outside && node.rim_known) {
      sum += fan(node, p_mm);
    } else if (node.left == 0) {
      sum += faces(node, p_mm);
    } else {
      open.push_back(node.left);
      open.push_back(node.right);
    }
  }
  return sum / (2.0 * std::numbers::pi);
}

}  // namespace hosefit
