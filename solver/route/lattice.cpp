// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/lattice.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <queue>
#include <unordered_set>

namespace hosefit {
namespace {

constexpr double kTurn_rad = std::numbers::pi / 8;
constexpr int kPlanes = 8;
constexpr double kStraight_radii = 0.4;
constexpr double kCube_radii = 0.4;
constexpr double kGoalPull = 1.5;
constexpr double kTurnToGo = 0.5;                // radii a radian that the heading is off the end's
constexpr int kFaceCells = 4;                    // directions: so many by so many on each face of a cube
constexpr std::int64_t kMotionsPerUnit = 30;     // they are short
constexpr std::int64_t kConnectionsPerUnit = 8;  // they ask no distances

struct Node {
  Heading heading;
  int parent = -1;
  int bends = 0;
  double cost = 0;
  Vec3 inward = Vec3::Zero();  // of the arc that leads here; 0 behind a straight
};

struct OpenNode {
  double bound;
  int node;
  bool operator<(const OpenNode& other) const {
    return bound != other.bound ? bound > other.bound : node > other.node;
  }
};

class LatticeSearch {
 public:
  LatticeSearch(const RunProblem& problem, const Room& room, const LatticeOptions& options, Work& work)
      : problem_(problem),
        room_(room),
        options_(options),
        work_(work),
        start_(options.from_the_end ? turned_back(end_of_run(problem)) : start_of_run(problem)),
        goal_(options.from_the_end ? turned_back(start_of_run(problem)) : end_of_run(problem)) {
    straight_mm_ = std::max(kStraight_radii * problem.radius_mm, problem.rules.straight_between_mm + 1);
  }

  std::optional<Way> search() {
    add({start_, -1, 0, 0, Vec3::Zero()});
    for (std::int64_t step = 0; !open_.empty() && step < options_.most_steps && !work_.spent(); ++step) {
      const int at = open_.top().node;
      open_.pop();
      if (!closed_.insert(key_of(nodes_[static_cast<std::size_t>(at)])).second) continue;
      if (leads_to_goal(at)) return way_to(at);
      spread(at);
    }
    return std::nullopt;
  }

 private:
  std::int64_t key_of(const Node& n) const {
    std::int64_t key = n.inward.isZero() ? 1 : 0;
    const double cube = kCube_radii * problem_.radius_mm;
    for (int k = 0; k < 3; ++k)
      key = key * 16384 + static_cast<std::int64_t>(std::floor(n.heading.at_mm[k] / cube)) + 8192;
    Eigen::Index face = 0;
    const Vec3& d = n.heading.along;
    d.cwiseAbs().maxCoeff(&face);
    const auto cell = [&](double share) {
      return std::clamp(static_cast<int>((share + 1) / 2 * kFaceCells), 0, kFaceCells - 1);
    };
    const Eigen::Index a = (face + 1) % 3, b = (face + 2) % 3;
    const double most = std::abs(d[face]);
    const auto direction = (2 * static_cast<int>(face) + (d[face] > 0 ? 1 : 0)) * kFaceCells * kFaceCells +
                           cell(d[a] / most) * kFaceCells + cell(d[b] / most);
    return key * 128 + direction;
  }

  double to_go(const Heading& h) const {
    const double off = std::acos(std::clamp(h.along.dot(goal_.along), -1.0, 1.0));
    return (goal_.at_mm - h.at_mm).norm() + kTurnToGo * problem_.radius_mm * off;
  }

  void add(const Node& node) {
    if (closed_.contains(key_of(node))) return;
    nodes_.push_back(node);
    open_.push({node.cost + kGoalPull * to_go(node.heading), static_cast<int>(nodes_.size()) - 1});
  }

  bool is_open(const Piece& piece) {
    if (++motions_ % kMotionsPerUnit == 0) work_.spend(1);
    return is_free(room_, piece, options_.look);
  }

  void spread(int at) {
    const Node from = nodes_[static_cast<std::size_t>(at)];
    const Vec3& along = from.heading.along;
    const Vec3 on = from.heading.at_mm + straight_mm_ * along;
    if (is_open(Straight{from.heading.at_mm, on}))
      add({{on, along}, at, from.bends, from.cost + straight_mm_, Vec3::Zero()});
    if (!from.inward.isZero()) return turn(at, from, from.inward, 0);
    if (from.bends >= problem_.rules.most_bends) return;
    const Vec3 side = any_perpendicular(along), up = along.cross(side);
    for (int k = 0; k < kPlanes; ++k) {
      const double angle = 2 * std::numbers::pi * k / kPlanes;
      turn(at, from, std::cos(angle) * side + std::sin(angle) * up, 1);
    }
  }

  void turn(int at, const Node& from, const Vec3& inward, int new_bends) {
    const Arc arc = arc_from(from.heading, inward, problem_.radius_mm, kTurn_rad);
    if (!is_open(arc)) return;
    const Vec3 along = std::cos(kTurn_rad) * from.heading.along + std::sin(kTurn_rad) * inward;
    const Vec3 next_inward = std::cos(kTurn_rad) * inward - std::sin(kTurn_rad) * from.heading.along;
    const double length = kTurn_rad * problem_.radius_mm;
    add({{point_at(Piece{arc}, length), along},
         at,
         from.bends + new_bends,
         from.cost + length + 0.5 * problem_.radius_mm * new_bends,
         next_inward});
  }

  bool leads_to_goal(int at) {
    const Node& node = nodes_[static_cast<std::size_t>(at)];
    const std::optional<Connection> c = connect(node.heading, goal_, problem_.radius_mm);
    if (++connections_ % kConnectionsPerUnit == 0) work_.spend(1);
    if (!c || std::max(c->first_bend_rad, c->second_bend_rad) > problem_.rules.most_bend_rad) return false;
    if (++motions_ % kMotionsPerUnit == 0) work_.spend(1);
    return is_free(room_, pieces_of(*c, node.heading, goal_, problem_.radius_mm), options_.look);
  }

  Way way_to(int at) const {
    Way way{goal_};
    for (int n = at; n >= 0; n = nodes_[static_cast<std::size_t>(n)].parent)
      way.push_back(nodes_[static_cast<std::size_t>(n)].heading);
    if (options_.from_the_end)
      for (Heading& h : way) h = turned_back(h);
    else
      std::reverse(way.begin(), way.end());
    return way;
  }

  const RunProblem& problem_;
  const Room& room_;
  const LatticeOptions& options_;
  Work& work_;
  Heading start_, goal_;
  double straight_mm_ = 0;
  std::vector<Node> nodes_;
  std::priority_queue<OpenNode> open_;
  std::unordered_set<std::int64_t> closed_;  // asked by key only: its order has no influence
  std::int64_t motions_ = 0, connections_ = 0;
};

}  // namespace

std::optional<Way> lattice_way(const RunProblem& problem, const Room& room, const LatticeOptions& options,
                               Work& work) {
  return LatticeSearch(problem, room, options, work).search();
}

}  // namespace hosefit
