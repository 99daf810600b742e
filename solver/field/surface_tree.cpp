// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/field/surface_tree.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <limits>
#include <memory>

#include "solver/geometry/vertex_welding.h"

namespace hosefit {
namespace {

using Floats = Eigen::Array4f;  // x, y, z and nothing

constexpr float kInfinity = std::numeric_limits<float>::infinity();
constexpr int kBins = 16;
constexpr std::uint32_t kPack = SurfaceTree::kMostInALeaf;
constexpr std::uint32_t kFewPacks = 8;  // ranges of so many packs are sorted and cut between packs
constexpr std::size_t kMostSorted = std::size_t{kFewPacks} * kPack;
constexpr std::uint32_t kWorthAThread = 4096;  // triangles

// From here ranges are halved, which ends within 32 more levels: queries keep a stack of fixed size.
constexpr int kDeepest = 32;

struct FloatBox {
  Floats low, high;
  static FloatBox none() { return {Floats::Constant(kInfinity), Floats::Constant(-kInfinity)}; }
  void extend(const FloatBox& other) {
    low = low.min(other.low);
    high = high.max(other.high);
  }
  void extend(const Floats& p) {
    low = low.min(p);
    high = high.max(p);
  }
  float area() const {
    const Floats d = high - low;
    return d[0] < 0 ? 0.0F : d[0] * d[1] + d[1] * d[2] + d[2] * d[0];
  }
  Floats middle() const { return 0.5F * low + 0.5F * high; }
};

// Triangles that lie together: their box, and the box of their middles.
struct Group {
  FloatBox box = FloatBox::none(), middles = FloatBox::none();
  void add(const FloatBox& triangle) {
    box.extend(triangle);
    middles.extend(triangle.middle());
  }
  void add(const Group& other) {
    box.extend(other.box);
    middles.extend(other.middles);
  }
};

// Sixteen bins along each axis between the outermost middles.
class Binning {
 public:
  explicit Binning(const FloatBox& middles) : low_(middles.low) {
    const Floats wide = middles.high - middles.low;
    for (int k = 0; k < 3; ++k) {
      scale_[k] = kBins / wide[k];
      usable_[k] = wide[k] > 0 && std::isfinite(scale_[k]);
      if (!usable_[k]) scale_[k] = 0;
    }
  }
  bool usable(int axis) const { return usable_[axis]; }
  Eigen::Array4i of(const FloatBox& triangle) const {
    return ((triangle.middle() - low_) * scale_).min(kBins - 1.0F).max(0.0F).cast<int>();
  }

 private:
  Floats low_, scale_ = Floats::Zero();
  bool usable_[3];
};

struct Cut {
  int axis = -1;
  int bin = 0;  ///< bins below go left
  float cost = kInfinity;
};

class TreeBuilder {
 public:
  using Range = SurfaceTree::Range;

  TreeBuilder(const TriangleMesh& mesh, const Vec3& centre, Threads threads)
      : triangles_(static_cast<std::uint32_t>(mesh.triangles.size())),
        boxes_(std::make_unique_for_overwrite<FloatBox[]>(triangles_)),
        threads_(threads) {
    tree_.order.resize(triangles_);
    std::vector<Group> groups((triangles_ + kWorthAThread - 1) / kWorthAThread);
    parallel_for(groups.size(), threads, [&](std::size_t g) {
      const std::uint32_t first = static_cast<std::uint32_t>(g) * kWorthAThread;
      for (std::uint32_t t = first; t < std::min(triangles_, first + kWorthAThread); ++t) {
        tree_.order[t] = t;
        boxes_[t] = box_of(mesh, mesh.triangles[t], centre);
        groups[g].add(boxes_[t]);
      }
    });
    for (const Group& group : groups) all_.add(group);
  }

  SurfaceTree build() {
    tree_.ranges = branch(0, triangles_, all_, 0, threads_.count);
    return std::move(tree_);
  }

 private:
  static FloatBox box_of(const TriangleMesh& mesh, const std::array<std::uint32_t, 3>& triangle,
                         const Vec3& centre) {
    FloatBox box = FloatBox::none();
    for (const std::uint32_t v : triangle) {
      Floats p = Floats::Zero();
      p.head<3>() = (mesh.vertices_mm[v] - centre).array().cast<float>();
      box.extend(p);
    }
    for (int k = 0; k < 3; ++k) {
      box.low[k] = next_below(box.low[k]);
      box.high[k] = -next_below(-box.high[k]);
    }
    return box;
  }

  // One step of rounding further down, as std::nextafter has it.
  static float next_below(float x) {
    if (x == 0) return -std::numeric_limits<float>::denorm_min();
    const auto bits = std::bit_cast<std::int32_t>(x);
    return std::bit_cast<float>(x > 0 ? bits - 1 : bits + 1);
  }

  // The ranges below and with this one, each before its children, the left child first; indexes count from
  // the beginning of the vector.
  std::vector<Range> branch(std::uint32_t first, std::uint32_t last, const Group& group, int depth,
                            unsigned threads) {
    std::vector<Range> out;
    if (threads < 2 || last - first < kWorthAThread) {
      out.reserve((last - first) / kPack * 9 / 4 + 8);
      grow(first, last, group, depth, out);
      return out;
    }
    Group left, right;
    const std::uint32_t middle = split(first, last, group, depth, left, right);
    std::vector<Range> below[2];
    parallel_for(2, {2}, [&](std::size_t side) {
      below[side] = side == 0 ? branch(first, middle, left, depth + 1, (threads + 1) / 2)
                              : branch(middle, last, right, depth + 1, threads / 2);
    });
    out.reserve(1 + below[0].size() + below[1].size());
    out.push_back(range(first, last, group.box));
    for (const std::vector<Range>& ranges : below) {
      const auto shift = static_cast<std::uint32_t>(out.size());
      (&ranges == &below[0] ? out[0].left : out[0].right) = shift;
      for (Range r : ranges) {
        if (r.left != 0) {
          r.left += shift;
          r.right += shift;
        }
        out.push_back(r);
      }
    }
    return out;
  }

  void grow(std::uint32_t first, std::uint32_t last, const Group& group, int depth, std::vector<Range>& out) {
    const std::size_t self = out.size();
    out.push_back(range(first, last, group.box));
    if (last - first <= kPack) return;
    Group left, right;
    const std::uint32_t middle = split(first, last, group, depth, left, right);
    out[self].left = static_cast<std::uint32_t>(out.size());
    grow(first, middle, left, depth + 1, out);
    out[self].right = static_cast<std::uint32_t>(out.size());
    grow(middle, last, right, depth + 1, out);
  }

  static Range range(std::uint32_t first, std::uint32_t last, const FloatBox& box) {
    Range out{};
    for (int k = 0; k < 3; ++k) {
      out.low[k] = box.low[k];
      out.high[k] = box.high[k];
    }
    out.first = first;
    out.last = last;
    return out;
  }

  // Puts what goes left before the index returned and what goes right after it.
  std::uint32_t split(std::uint32_t first, std::uint32_t last, const Group& group, int depth, Group& left,
                      Group& right) {
    if (last - first <= kMostSorted) return split_between_packs(first, last, group, left, right);
    const Binning bins(group.middles);
    const Cut cut = depth < kDeepest ? best_cut(first, last, bins) : Cut{};
    std::uint32_t middle = first;
    if (cut.axis >= 0) middle = parted(first, last, bins, cut, left, right);
    if (middle > first && middle < last) return middle;
    middle = first + (last - first) / 2;  // all middles in one place: any halves do
    left = group_of(first, middle);
    right = group_of(middle, last);
    return middle;
  }

  Group group_of(std::uint32_t first, std::uint32_t last) const {
    Group out;
    for (std::uint32_t i = first; i < last; ++i) out.add(boxes_[i]);
    return out;
  }

  Cut best_cut(std::uint32_t first, std::uint32_t last, const Binning& bins) const {
    FloatBox box[3][kBins];
    for (auto& of_axis : box) std::fill(of_axis, of_axis + kBins, FloatBox::none());
    std::uint32_t count[3][kBins] = {};
    for (std::uint32_t i = first; i < last; ++i) {
      const Eigen::Array4i bin = bins.of(boxes_[i]);
      for (int k = 0; k < 3; ++k) {
        box[k][bin[k]].extend(boxes_[i]);
        ++count[k][bin[k]];
      }
    }
    Cut best;
    for (int k = 0; k < 3; ++k)
      if (bins.usable(k)) try_axis(k, box[k], count[k], last - first, best);
    return best;
  }

  static void try_axis(int axis, const FloatBox (&box)[kBins], const std::uint32_t (&count)[kBins],
                       std::uint32_t all, Cut& best) {
    float right_cost[kBins] = {};
    FloatBox right = FloatBox::none();
    std::uint32_t on_right = 0;
    for (int b = kBins - 1; b > 0; --b) {
      right.extend(box[b]);
      on_right += count[b];
      right_cost[b] = right.area() * static_cast<float>(on_right);
    }
    FloatBox left = FloatBox::none();
    std::uint32_t on_left = 0;
    for (int b = 1; b < kBins; ++b) {
      left.extend(box[b - 1]);
      on_left += count[b - 1];
      if (on_left == 0 || on_left == all) continue;
      const float cost = left.area() * static_cast<float>(on_left) + right_cost[b];
      if (cost < best.cost) best = {axis, b, cost};
    }
  }

  std::uint32_t parted(std::uint32_t first, std::uint32_t last, const Binning& bins, const Cut& cut,
                       Group& left, Group& right) {
    while (first < last) {
      if (bins.of(boxes_[first])[cut.axis] < cut.bin) {
        left.add(boxes_[first++]);
        continue;
      }
      right.add(boxes_[first]);
      --last;
      std::swap(boxes_[first], boxes_[last]);
      std::swap(tree_.order[first], tree_.order[last]);
    }
    return first;
  }

  // Along the longest axis of the middles, so that all packs but the last are full.
  std::uint32_t split_between_packs(std::uint32_t first, std::uint32_t last, const Group& group, Group& left,
                                    Group& right) {
    Floats wide = group.middles.high - group.middles.low;
    wide[3] = -1;
    int axis = 0;
    wide.maxCoeff(&axis);
    sort_along(axis, first, last);

    const std::uint32_t packs = (last - first + kPack - 1) / kPack;
    FloatBox after[kFewPacks + 1];
    after[packs] = FloatBox::none();
    for (std::uint32_t pack = packs; pack-- > 0;) {
      after[pack] = after[pack + 1];
      const std::uint32_t begin = first + pack * kPack, end = std::min(begin + kPack, last);
      for (std::uint32_t i = begin; i < end; ++i) after[pack].extend(boxes_[i]);
    }
    FloatBox before = FloatBox::none();
    std::uint32_t best = 1;
    float least = kInfinity;
    for (std::uint32_t pack = 1; pack < packs; ++pack) {
      for (std::uint32_t i = first + (pack - 1) * kPack; i < first + pack * kPack; ++i)
        before.extend(boxes_[i]);
      const float cost =
          before.area() * static_cast<float>(pack) + after[pack].area() * static_cast<float>(packs - pack);
      if (cost >= least) continue;
      least = cost;
      best = pack;
    }
    const std::uint32_t middle = first + best * kPack;
    left = group_of(first, middle);
    right = group_of(middle, last);
    return middle;
  }

  // Equal middles in the order of their triangles.
  void sort_along(int axis, std::uint32_t first, std::uint32_t last) {
    struct Key {
      float middle;
      std::uint32_t triangle, at;
    };
    std::array<Key, kMostSorted> keys;
    std::array<FloatBox, kMostSorted> boxes;
    const std::uint32_t n = last - first;
    for (std::uint32_t i = 0; i < n; ++i) {
      keys[i] = {boxes_[first + i].middle()[axis], tree_.order[first + i], i};
      boxes[i] = boxes_[first + i];
    }
    std::sort(keys.begin(), keys.begin() + n, [](const Key& a, const Key& b) {
      return a.middle != b.middle ? a.middle < b.middle : a.triangle < b.triangle;
    });
    for (std::uint32_t i = 0; i < n; ++i) {
      boxes_[first + i] = boxes[keys[i].at];
      tree_.order[first + i] = keys[i].triangle;
    }
  }

  std::uint32_t triangles_;
  std::unique_ptr<FloatBox[]> boxes_;  // in the order of the tree
  Threads threads_;
  Group all_;
  SurfaceTree tree_;
};

}  // namespace

SurfaceTree surface_tree(const TriangleMesh& mesh, const Vec3& centre_mm, Threads threads) {
  return TreeBuilder(mesh, centre_mm, threads).build();
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
