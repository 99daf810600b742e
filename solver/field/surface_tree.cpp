// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/field/surface_tree.h"

#include <cmath>
#include <limits>
#include <numeric>

#include "solver/geometry/vertex_welding.h"

namespace hosefit {
namespace {

constexpr int kBins = 16;

// From here ranges are halved, which ends within 32 more levels: queries keep a stack of fixed size.
constexpr int kDeepest = 32;

struct FloatBox {
  float low[3] = {std::numeric_limits<float>::infinity(), std::numeric_limits<float>::infinity(),
                  std::numeric_limits<float>::infinity()};
  float high[3] = {-std::numeric_limits<float>::infinity(), -std::numeric_limits<float>::infinity(),
                   -std::numeric_limits<float>::infinity()};
  void extend(const FloatBox& other) {
    for (int k = 0; k < 3; ++k) {
      low[k] = std::min(low[k], other.low[k]);
      high[k] = std::max(high[k], other.high[k]);
    }
  }
  double area() const {
    const double x = high[0] - low[0], y = high[1] - low[1], z = high[2] - low[2];
    return x < 0 ? 0.0 : x * y + y * z + z * x;
  }
  float middle(int k) const { return 0.5F * low[k] + 0.5F * high[k]; }
};

struct Cut {
  int axis = -1;
  int bin = 0;  ///< bins below go left
  double cost = std::numeric_limits<double>::infinity();
};

class TreeBuilder {
 public:
  TreeBuilder(const TriangleMesh& mesh, const Vec3& centre, std::uint32_t leaf_size) : leaf_size_(leaf_size) {
    constexpr float kInfinity = std::numeric_limits<float>::infinity();
    boxes_.resize(mesh.triangles.size());
    for (std::size_t t = 0; t < boxes_.size(); ++t)
      for (const std::uint32_t v : mesh.triangles[t])
        for (int k = 0; k < 3; ++k) {
          const auto x = static_cast<float>(mesh.vertices_mm[v][k] - centre[k]);
          boxes_[t].low[k] = std::min(boxes_[t].low[k], std::nextafter(x, -kInfinity));
          boxes_[t].high[k] = std::max(boxes_[t].high[k], std::nextafter(x, kInfinity));
        }
    tree_.order.resize(boxes_.size());
    std::iota(tree_.order.begin(), tree_.order.end(), 0U);
  }

  SurfaceTree build() {
    tree_.ranges.push_back(range(0, static_cast<std::uint32_t>(tree_.order.size())));
    std::vector<int> depth{0};
    for (std::size_t i = 0; i < tree_.ranges.size(); ++i) {
      const auto [first, last] = std::pair{tree_.ranges[i].first, tree_.ranges[i].last};
      if (last - first <= leaf_size_) continue;
      const std::uint32_t middle = depth[i] < kDeepest ? split(first, last) : first + (last - first) / 2;
      depth.insert(depth.end(), 2, depth[i] + 1);
      tree_.ranges[i].left = static_cast<std::uint32_t>(tree_.ranges.size());
      tree_.ranges[i].right = tree_.ranges[i].left + 1;
      tree_.ranges.push_back(range(first, middle));
      tree_.ranges.push_back(range(middle, last));
    }
    return std::move(tree_);
  }

 private:
  SurfaceTree::Range range(std::uint32_t first, std::uint32_t last) const {
    FloatBox box;
    for (std::uint32_t i = first; i < last; ++i) box.extend(boxes_[tree_.order[i]]);
    SurfaceTree::Range out{};
    std::copy(box.low, box.low + 3, out.low);
    std::copy(box.high, box.high + 3, out.high);
    out.first = first;
    out.last = last;
    return out;
  }

  int bin_of(std::uint32_t triangle, int axis, float low, float scale) const {
    return std::clamp(static_cast<int>((boxes_[triangle].middle(axis) - low) * scale), 0, kBins - 1);
  }

  void try_axis(std::uint32_t first, std::uint32_t last, int axis, float low, float scale, Cut& best) const {
    FloatBox box[kBins];
    std::uint32_t count[kBins] = {};
    for (std::uint32_t i = first; i < last; ++i) {
      const int b = bin_of(tree_.order[i], axis, low, scale);
      box[b].extend(boxes_[tree_.order[i]]);
      ++count[b];
    }
    double right_cost[kBins] = {};
    FloatBox right;
    std::uint32_t on_right = 0;
    for (int b = kBins - 1; b > 0; --b) {
      right.extend(box[b]);
      on_right += count[b];
      right_cost[b] = right.area() * on_right;
    }
    FloatBox left;
    std::uint32_t on_left = 0;
    for (int b = 1; b < kBins; ++b) {
      left.extend(box[b - 1]);
      on_left += count[b - 1];
      if (on_left == 0 || on_left == last - first) continue;
      const double cost = left.area() * on_left + right_cost[b];
      if (cost < best.cost) best = {axis, b, cost};
    }
  }

  std::uint32_t split(std::uint32_t first, std::uint32_t last) {
    FloatBox middles;
    for (std::uint32_t i = first; i < last; ++i)
      for (int k = 0; k < 3; ++k) {
        const float m = boxes_[tree_.order[i]].middle(k);
        middles.low[k] = std::min(middles.low[k], m);
        middles.high[k] = std::max(middles.high[k], m);
      }
    float scale[3];
    Cut best;
    for (int k = 0; k < 3; ++k) {
      const float wide = middles.high[k] - middles.low[k];
      scale[k] = wide > 0 ? kBins / wide : 0.0F;
      if (wide > 0 && std::isfinite(scale[k])) try_axis(first, last, k, middles.low[k], scale[k], best);
    }
    const std::uint32_t half = first + (last - first) / 2;
    if (best.axis < 0) return half;  // all middles in one place: any halves do
    const auto begin = tree_.order.begin();
    const auto at = std::stable_partition(begin + first, begin + last, [&](std::uint32_t t) {
      return bin_of(t, best.axis, middles.low[best.axis], scale[best.axis]) < best.bin;
    });
    const auto middle = static_cast<std::uint32_t>(at - begin);
    return middle == first || middle == last ? half : middle;
  }

  std::uint32_t leaf_size_;
  std::vector<FloatBox> boxes_;
  SurfaceTree tree_;
};

}  // namespace

SurfaceTree surface_tree(const TriangleMesh& mesh, const Vec3& centre_mm, std::uint32_t leaf_size) {
  return TreeBuilder(mesh, centre_mm, leaf_size).build();
}

std::vector<TriangleMesh> connected_pieces(const TriangleMesh& mesh) {
  std::vector<std::uint32_t> parent = first_vertex_at_each_place(mesh);
  const auto root = [&](std::uint32_t v) {
    while (parent[v] != v) v = parent[v] = parent[parent[v]];
    return v;
  };
  for (const auto& t : mesh.triangles)
    for (const std::uint32_t v : t) {
      const std::uint32_t a = root(t[0]);
      const std::uint32_t b = root(v);
      parent[std::max(a, b)] = std::min(a, b);
    }
  constexpr std::uint32_t kNone = std::numeric_limits<std::uint32_t>::max();
  std::vector<std::uint32_t> piece_of(mesh.vertices_mm.size(), kNone);
  std::vector<std::uint32_t> new_index(mesh.vertices_mm.size(), kNone);
  std::vector<TriangleMesh> pieces;
  for (const auto& t : mesh.triangles) {
    std::uint32_t& piece = piece_of[root(t[0])];
    if (piece == kNone) {
      piece = static_cast<std::uint32_t>(pieces.size());
      pieces.emplace_back();
    }
    TriangleMesh& out = pieces[piece];
    std::array<std::uint32_t, 3> moved{};
    for (std::size_t k = 0; k < 3; ++k) {
      if (new_index[t[k]] == kNone) {
        new_index[t[k]] = static_cast<std::uint32_t>(out.vertices_mm.size());
        out.vertices_mm.push_back(mesh.vertices_mm[t[k]]);
      }
      moved[k] = new_index[t[k]];
    }
    out.triangles.push_back(moved);
  }
  return pieces;
}

}  // namespace hosefit
