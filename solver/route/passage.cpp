// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/passage.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <deque>
#include <queue>
#include <vector>

namespace hosefit {
namespace {

constexpr double kComfortable_mm = 10.0;  // margins below this make a way dearer, up to three times at 0
// Deeper in an obstacle no price rises: dearer ones make the flood fill the whole bay before it tries a
// narrow window.
constexpr double kDeepest_cells = 4.0;
constexpr double kGoalPull =
    1.3;  // weight of the straight distance still to go: fewer cells, a way up to that much dearer
constexpr std::int64_t kHalf = 1 << 19;  // cell coordinates fit 20 bits each way: 10 km at 10 mm

using Key = std::int64_t;
using CellIndex = std::array<std::int64_t, 3>;

Key key_of(const CellIndex& c) {
  return ((c[0] + kHalf) << 40) | ((c[1] + kHalf) << 20) | (c[2] + kHalf);
}
CellIndex cell_of(Key k) {
  constexpr Key mask = (1 << 20) - 1;
  return {(k >> 40) - kHalf, ((k >> 20) & mask) - kHalf, (k & mask) - kHalf};
}

struct CellState {
  double cost = 1e300;
  Key from = -1;
  double margin = 0;
  bool looked = false, done = false, shut = false;
};

// Cells by key: open addressing, at most half in use. What [] gives stays where it is.
class CellTable {
 public:
  CellState& operator[](Key key) {
    if (2 * (cells_.size() + 1) > slots_.size()) grow();
    std::uint32_t& slot = slot_of(key);
    if (slot == 0) {
      cells_.push_back({key, {}});
      slot = static_cast<std::uint32_t>(cells_.size());
    }
    return cells_[slot - 1].state;
  }

 private:
  struct Cell {
    Key key;
    CellState state;
  };
  std::uint32_t& slot_of(Key key) {
    const std::size_t mask = slots_.size() - 1;
    std::size_t at = (static_cast<std::uint64_t>(key) * 0x9e3779b97f4a7c15ULL >> 32) & mask;
    while (slots_[at] != 0 && cells_[slots_[at] - 1].key != key) at = (at + 1) & mask;
    return slots_[at];
  }
  void grow() {
    slots_.assign(slots_.empty() ? 4096 : 4 * slots_.size(), 0);
    for (std::uint32_t i = 0; i < cells_.size(); ++i) slot_of(cells_[i].key) = i + 1;
  }

  std::deque<Cell> cells_;
  std::vector<std::uint32_t> slots_;  // index + 1, 0: free
};

struct OpenCell {
  double bound;
  Key key;
  bool operator<(
      const OpenCell& other) const {  // std::priority_queue gives the largest: least bound, then least key
    return bound != other.bound ? bound > other.bound : key > other.key;
  }
};

double price(double margin_mm, double cell_mm) {
  if (margin_mm >= kComfortable_mm) return 1.0;
  if (margin_mm >= 0) return 1.0 + 2.0 * (kComfortable_mm - margin_mm) / kComfortable_mm;
  return 3.0 + 3.0 * std::min(-margin_mm / cell_mm, kDeepest_cells);
}

class Flood {
 public:
  Flood(const Room& room, const Vec3& from, const Vec3& to, double cell, double most_length,
        Crossing crossing)
      : room_(room), from_(from), to_(to), cell_(cell), most_length_(most_length), crossing_(crossing) {}

  Passage run(std::int64_t most_cells) {
    Passage passage;
    passage.cell_mm = cell_;
    const Key start = key_of({0, 0, 0});
    const Key goal = key_of(index_of(to_));
    cells_[start] = {0, -1, kComfortable_mm, true, false, false};
    std::priority_queue<OpenCell> open;
    open.push({(from_ - to_).norm(), start});
    passage.answer = PassageAnswer::closed;
    while (!open.empty()) {
      const Key key = open.top().key;
      open.pop();
      CellState& cell = cells_[key];
      if (cell.done) continue;
      cell.done = true;
      if (key == goal) {
        passage.answer = PassageAnswer::open;
        passage.way = trace(goal);
        break;
      }
      if (looked_ > most_cells) {
        passage.answer = PassageAnswer::budget_spent;
        break;
      }
      spread(key, goal, open);
    }
    if (crossing_ == Crossing::at_a_price && passage.answer == PassageAnswer::closed)
      passage.answer = PassageAnswer::budget_spent;
    passage.cells = looked_;
    return passage;
  }

 private:
  CellIndex index_of(const Vec3& p) const {
    CellIndex c;
    for (std::size_t i = 0; i < 3; ++i)
      c[i] = static_cast<std::int64_t>(
          std::floor((p[static_cast<int>(i)] - from_[static_cast<int>(i)]) / cell_ + 0.5));
    return c;
  }
  Vec3 centre_of(const CellIndex& c) const {
    return from_ +
           cell_ * Vec3(static_cast<double>(c[0]), static_cast<double>(c[1]), static_cast<double>(c[2]));
  }

  // Exact and not from the field's grid, whose making costs more than the few places looked at here.
  double margin_mm(const Vec3& p) const { return room_.contact(p, kComfortable_mm).margin_mm; }

  // A curve from one cell to the next passes their common face, edge or corner: shut when no point of that is
  // free. Thin walls leak at the cells' corners without it. `least` is the least the margin can be there.
  bool gate_is_shut(const Vec3& a, const Vec3& b, int axes_crossed, double least) const {
    // Curved shapes may count as fatter than they are by the overshoot: a proof must not lean on it.
    const double reach = cell_ * std::sqrt(3.0 - axes_crossed) / 2 + LineField::kOvershoot_mm;
    return least + reach < 0 && margin_mm((a + b) / 2) + reach < 0;
  }

  void spread(Key key, Key goal, std::priority_queue<OpenCell>& open) {
    const CellIndex at = cell_of(key);
    const double cost = cells_[key].cost;
    const double half_diagonal = cell_ * std::sqrt(3.0) / 2 + LineField::kOvershoot_mm;
    for (int n = 0; n < 27; ++n) {
      const CellIndex next{at[0] + n % 3 - 1, at[1] + n / 3 % 3 - 1, at[2] + n / 9 - 1};
      if (n == 13) continue;
      const Key next_key = key_of(next);
      CellState& cell = cells_[next_key];
      if (cell.done) continue;
      const Vec3 centre = centre_of(next);
      if (!cell.looked) {
        cell.looked = true;
        ++looked_;
        cell.margin = margin_mm(centre);
        cell.shut = crossing_ == Crossing::forbidden && cell.margin + half_diagonal < 0;
      }
      if (cell.shut && next_key != goal) continue;
      const int axes_crossed = std::abs(n % 3 - 1) + std::abs(n / 3 % 3 - 1) + std::abs(n / 9 - 1);
      const double step = cell_ * std::sqrt(static_cast<double>(axes_crossed));
      const double next_cost = cost + step * price(cell.margin, cell_);
      if (next_cost >= cell.cost) continue;
      const double there = (centre - from_).norm() + (centre - to_).norm();
      if (next_key != goal && there > most_length_ + 2 * half_diagonal) continue;
      if (crossing_ == Crossing::forbidden &&
          gate_is_shut(centre_of(at), centre, axes_crossed, cell.margin - step / 2))
        continue;
      cell.cost = next_cost;
      cell.from = key;
      open.push({next_cost + kGoalPull * (centre - to_).norm(), next_key});
    }
  }

  std::vector<Vec3> trace(Key goal) {
    std::vector<Vec3> way{to_};
    for (Key k = cells_[goal].from; k >= 0 && cells_[k].from >= 0; k = cells_[k].from)
      way.push_back(centre_of(cell_of(k)));
    way.push_back(from_);
    std::reverse(way.begin(), way.end());
    climb_to_the_middle(way);
    return way;
  }

  // Tight points move across the way to where the margin is larger, each by at most about a cell.
  void climb_to_the_middle(std::vector<Vec3>& way) const {
    for (std::size_t i = 1; i + 1 < way.size(); ++i) {
      const Vec3 along = (way[i + 1] - way[i - 1]).normalized();
      Room::Contact here = room_.contact(way[i], kComfortable_mm);
      for (double step = cell_ / 2; step > 0.05; step /= 1.6) {
        if (here.margin_mm >= kComfortable_mm) break;
        const Vec3 across = here.away - here.away.dot(along) * along;
        if (across.norm() < 1e-6) break;
        const Vec3 moved = way[i] + step * across.normalized();
        const Room::Contact there = room_.contact(moved, kComfortable_mm);
        if (there.margin_mm <= here.margin_mm) continue;
        way[i] = moved;
        here = there;
      }
    }
  }

  const Room& room_;
  Vec3 from_, to_;
  double cell_, most_length_;
  Crossing crossing_;
  CellTable cells_;
  std::int64_t looked_ = 0;
};

double distance_to_segment(const Vec3& p, const Vec3& a, const Vec3& b) {
  const Vec3 ab = b - a;
  const double t = std::clamp((p - a).dot(ab) / std::max(ab.squaredNorm(), 1e-12), 0.0, 1.0);
  return (p - a - t * ab).norm();
}

// Douglas and Peucker, Cartographica 10 (1973) 112: keeps points so that none dropped is further than
// `tolerance` away.
void thin_out(const std::vector<Vec3>& way, std::size_t first, std::size_t last, double tolerance,
              std::vector<std::size_t>& kept) {
  double worst = tolerance;
  std::size_t at = last;
  for (std::size_t i = first + 1; i < last; ++i) {
    const double off = distance_to_segment(way[i], way[first], way[last]);
    if (off > worst) {
      worst = off;
      at = i;
    }
  }
  if (at == last) return;
  thin_out(way, first, at, tolerance, kept);
  kept.push_back(at);
  thin_out(way, at, last, tolerance, kept);
}

}  // namespace

Passage find_passage(const Room& room, const Vec3& from_mm, const Vec3& to_mm, double cell_mm,
                     double most_length_mm, Crossing crossing, std::int64_t most_cells) {
  return Flood(room, from_mm, to_mm, cell_mm, most_length_mm, crossing).run(most_cells);
}

Way way_of(const RunProblem& problem, const Passage& passage) {
  const std::vector<Vec3>& p = passage.way;
  Way way{start_of_run(problem)};
  const double spacing = std::max(0.6 * problem.radius_mm, passage.cell_mm);
  const auto reach =
      static_cast<std::size_t>(std::max(1.0, std::round(0.5 * problem.radius_mm / passage.cell_mm)));
  double since = 0;
  for (std::size_t i = 1; i + 1 < p.size(); ++i) {
    since += (p[i] - p[i - 1]).norm();
    if (since < spacing) continue;
    since = 0;
    const Vec3 along = p[std::min(i + reach, p.size() - 1)] - p[i > reach ? i - reach : 0];
    if (along.norm() > 1e-9) way.push_back({p[i], along.normalized()});
  }
  way.push_back(end_of_run(problem));
  return way;
}

Bends bends_along(const RunProblem& problem, const Passage& passage, std::size_t most_bends) {
  std::vector<std::size_t> kept;
  double tolerance = std::max(6.0, 0.15 * problem.radius_mm);
  do {
    kept.clear();
    thin_out(passage.way, 0, passage.way.size() - 1, tolerance, kept);
    tolerance *= 1.5;
  } while (kept.size() + 2 > most_bends);
  const Heading start = start_of_run(problem), end = end_of_run(problem);
  Bends bends{start.at_mm + 0.5 * problem.radius_mm * start.along};
  for (const std::size_t i : kept) bends.push_back(passage.way[i]);
  bends.push_back(end.at_mm - 0.5 * problem.radius_mm * end.along);
  return bends;
}

}  // namespace hosefit
