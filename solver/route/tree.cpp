// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/tree.h"

#include <algorithm>
#include <cmath>

namespace hosefit {
namespace {

constexpr double kMostTurn_rad = 2.5;
constexpr std::size_t kPartnersTried = 8;  // nodes of the other tree that a new node tries to connect to
constexpr std::int64_t kConnectionsPerUnit = 8;  // they ask no distances
constexpr double kLongestLine_radii = 8.0;
constexpr double kNodeSpacing_radii = 2.0;
constexpr double kBackFallAllowed_mm =
    25.0;  // of one motion against the grade; the polish takes out the rest

struct Node {
  Heading heading;  // direction of growth
  int parent = -1;
  double length = 0;  // from the root, bends counted as half a radius each
};
using Tree = std::vector<Node>;

AxisBox sampling_box(const RunProblem& problem, const Room& room) {
  const Heading a = start_of_run(problem), b = end_of_run(problem);
  AxisBox box(a.at_mm);
  box.extend(b.at_mm);
  const double around = 0.5 * (a.at_mm - b.at_mm).norm() + 3 * problem.radius_mm;
  AxisBox ends = box;
  box.min().array() -= around;
  box.max().array() += around;
  AxisBox bay = room.field().bounds();
  if (bay.isEmpty()) return box;
  bay.min().array() -= 3 * room.radius_mm();
  bay.max().array() += 3 * room.radius_mm();
  bay.extend(ends);
  return box.intersection(bay);
}

class TreePair {
 public:
  TreePair(const RunProblem& problem, const Room& room, const TreeOptions& options, Dice dice, Work& work)
      : problem_(problem),
        room_(room),
        options_(options),
        dice_(dice),
        work_(work),
        box_(sampling_box(problem, room)) {
    trees_[0].push_back({start_of_run(problem), -1, 0});
    trees_[1].push_back({turned_back(end_of_run(problem)), -1, 0});
  }

  std::optional<Way> search() {
    int last_sample = options_.samples;
    for (int sample = 0; sample < last_sample && !work_.spent(); ++sample) {
      const bool had_none = !best_;
      grow(static_cast<std::size_t>(sample % 2));
      if (had_none && best_) last_sample = std::min(last_sample, sample + sample / 5 + 30);
    }
    return best_;
  }

 private:
  Vec3 sample_point(std::size_t side) {
    const double choice = dice_.unit();
    const Tree& other = trees_[1 - side];
    if (choice < 0.08) return other[dice_.below(other.size())].heading.at_mm;
    const auto in_box = [&](const AxisBox& box) {
      const double x = dice_.between(box.min().x(), box.max().x());
      const double y = dice_.between(box.min().y(), box.max().y());
      const double z = dice_.between(box.min().z(), box.max().z());
      return Vec3(x, y, z);
    };
    if (choice < 0.7) return in_box(box_);
    const Tree& tree = trees_[side];
    const Vec3 centre = tree[dice_.below(tree.size())].heading.at_mm;
    const Vec3 reach = Vec3::Constant(5 * problem_.radius_mm);
    return in_box(AxisBox(centre - reach, centre + reach));
  }

  std::size_t best_to_grow(const Tree& tree, const Vec3& point) const {
    std::size_t best = 0;
    double least = 1e300;
    for (std::size_t i = 0; i < tree.size(); ++i) {
      const Vec3 to = point - tree[i].heading.at_mm;
      const double distance = to.norm();
      const double turn = distance > 1e-9 ? 1 - to.dot(tree[i].heading.along) / distance : 0;
      const double cost = distance + 0.6 * problem_.radius_mm * turn;
      if (cost < least) {
        least = cost;
        best = i;
      }
    }
    return best;
  }

  bool keeps_grade(std::size_t side, const Centreline& motion) const {
    if (problem_.grade == Grade::free || problem_.grade == Grade::one_way) return true;
    const auto falls = back_fall_mm(side == 0 ? motion : reversed(motion), problem_.grade);
    return *std::max_element(falls.begin(), falls.end()) <= kBackFallAllowed_mm;
  }

  void grow(std::size_t side) {
    Tree& tree = trees_[side];
    const Vec3 point = sample_point(side);
    const std::size_t from = best_to_grow(tree, point);
    const Heading heading = tree[from].heading;
    const std::optional<Aim> aim = aim_at(heading, point, problem_.radius_mm);
    work_.spend(1);
    if (!aim || aim->bend_rad > std::min(kMostTurn_rad, problem_.rules.most_bend_rad)) return;
    const Piece arc = arc_from(heading, aim->inward, problem_.radius_mm, aim->bend_rad);
    const bool turns = aim->bend_rad > 1e-6;
    if (turns && (!is_free(room_, arc, options_.look) || !keeps_grade(side, {{arc}}))) return;
    const double arc_length = length_mm(arc);
    const Heading faced = turns ? Heading{point_at(arc, arc_length), direction_at(arc, arc_length)} : heading;
    const double wanted = std::min(aim->straight_mm, kLongestLine_radii * problem_.radius_mm);
    const Piece line = Straight{faced.at_mm, faced.at_mm + wanted * faced.along};
    const double free = wanted > 1 ? free_length_mm(room_, line, options_.look) : 0;
    const double base = tree[from].length + arc_length + (turns ? 0.5 * problem_.radius_mm : 0);
    int parent = static_cast<int>(from);
    const double spacing = kNodeSpacing_radii * problem_.radius_mm;
    for (double s = turns ? 0 : spacing; s < free; s += spacing)
      parent = add(side, {{faced.at_mm + s * faced.along, faced.along}, parent, base + s});
    if (free > 1) add(side, {{faced.at_mm + free * faced.along, faced.along}, parent, base + free});
  }

  int add(std::size_t side, const Node& node) {
    trees_[side].push_back(node);
    const int index = static_cast<int>(trees_[side].size()) - 1;
    try_to_join(side, index);
    return index;
  }

  void try_to_join(std::size_t side, int index) {
    const Tree& other = trees_[1 - side];
    const Heading here = trees_[side][static_cast<std::size_t>(index)].heading;
    std::vector<std::pair<double, std::size_t>> near;
    for (std::size_t i = 0; i < other.size(); ++i)
      near.emplace_back((other[i].heading.at_mm - here.at_mm).squaredNorm(), i);
    const std::size_t n = std::min(kPartnersTried, near.size());
    std::partial_sort(near.begin(), near.begin() + static_cast<std::ptrdiff_t>(n), near.end());
    bool root_tried = false;
    for (std::size_t k = 0; k < n; ++k) {
      join(side, index, near[k].second);
      root_tried = root_tried || near[k].second == 0;
    }
    if (!root_tried) join(side, index, 0);
  }

  void join(std::size_t side, int index, std::size_t partner) {
    const Node& here = trees_[side][static_cast<std::size_t>(index)];
    const Node& there = trees_[1 - side][partner];
    const Heading to = turned_back(there.heading);
    const double known = here.length + there.length;
    if (best_ && known + (to.at_mm - here.heading.at_mm).norm() >= best_length_) return;
    const std::optional<Connection> c = connect(here.heading, to, problem_.radius_mm);
    if (++connections_ % kConnectionsPerUnit == 0) work_.spend(1);
    if (!c || std::max(c->first_bend_rad, c->second_bend_rad) > problem_.rules.most_bend_rad) return;
    if (best_ && known + c->length_mm >= best_length_) return;
    const Centreline motion = pieces_of(*c, here.heading, to, problem_.radius_mm);
    work_.spend(1);
    if (!is_free(room_, motion, options_.look) || !keeps_grade(side, motion)) return;
    best_length_ = known + c->length_mm;
    best_ = way_through(side, index, static_cast<int>(partner));
  }

  Way way_through(std::size_t side, int index, int partner) const {
    const auto to_root = [&](std::size_t which, int node) {
      Way way;
      for (; node >= 0; node = trees_[which][static_cast<std::size_t>(node)].parent)
        way.push_back(trees_[which][static_cast<std::size_t>(node)].heading);
      return way;
    };
    Way first = to_root(0, side == 0 ? index : partner);
    std::reverse(first.begin(), first.end());
    for (const Heading& h : to_root(1, side == 0 ? partner : index)) first.push_back(turned_back(h));
    return first;
  }

  const RunProblem& problem_;
  const Room& room_;
  const TreeOptions& options_;
  Dice dice_;
  Work& work_;
  AxisBox box_;
  Tree trees_[2];
  std::optional<Way> best_;
  double best_length_ = 1e300;
  std::int64_t connections_ = 0;
};

}  // namespace

std::optional<Way> grow_trees(const RunProblem& problem, const Room& room, const TreeOptions& options,
                              Dice dice, Work& work) {
  return TreePair(problem, room, options, dice, work).search();
}

}  // namespace hosefit
