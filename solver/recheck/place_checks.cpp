// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/recheck/line_checks.h"

namespace hosefit::recheck {
namespace {

constexpr double kHump_mm = 5.0;  // common practice, no source
constexpr double kGradeStep_mm = 0.05, kGradeSlack_mm = 0.001;
constexpr double kMostLength_mm = 20000;
constexpr double kSlice_mm = 0.25, kThinSlice_mm = 0.01;

// How far the height runs the wrong way at most, for a line that should rise and for one that should fall.
struct WrongWay {
  double rising_mm = 0, falling_mm = 0;
  V3 rising_at = V3::Zero(), falling_at = V3::Zero();
};
WrongWay wrong_way(const Tube& tube, const V3& up) {
  WrongWay out;
  const auto& curve = tube.recorded->curve;
  V3 highest = at(curve.front(), 0), lowest = highest;
  for (const CurvePiece& piece : curve) {
    const double length = length_mm(piece);
    const int steps = 1 + static_cast<int>(length / kGradeStep_mm);
    for (int k = 0; k <= steps; ++k) {
      const V3 p = at(piece, length * k / steps);
      const double height = p.dot(up);
      if (height > highest.dot(up)) highest = p;
      if (height < lowest.dot(up)) lowest = p;
      if (const double down = highest.dot(up) - height; down > out.rising_mm) {
        out.rising_mm = down;
        out.rising_at = highest;
      }
      if (const double rise = height - lowest.dot(up); rise > out.falling_mm) {
        out.falling_mm = rise;
        out.falling_at = lowest;
      }
    }
  }
  return out;
}

// Is a box of space within the union of the blocks? Cells between all their faces are tried one by one;
// blocks that are turned must hold the whole.
class KnownSpace {
 public:
  explicit KnownSpace(const std::vector<Solid>& known) {
    for (const Solid& solid : known) {
      const Block& block = std::get<Block>(solid);
      if (block.frame.turn == M3(M3::Identity()))
        square_.emplace_back(V3(block.frame.at_mm - block.half_mm), V3(block.frame.at_mm + block.half_mm));
      else
        turned_.push_back(block);
    }
  }
  bool holds(const Box3& space) const {
    for (const Block& block : turned_) {
      bool inside = true;
      for (int k = 0; k < 8; ++k) {
        const V3 own = block.frame.back(space.corner(static_cast<Box3::CornerType>(k)));
        inside = inside && (own.cwiseAbs().array() <= block.half_mm.array()).all();
      }
      if (inside) return true;
    }
    std::array<std::vector<double>, 3> marks;
    for (Eigen::Index k = 0; k < 3; ++k) {
      auto& along = marks[static_cast<std::size_t>(k)];
      along = {space.min()[k], space.max()[k]};
      for (const Box3& box : square_)
        for (const double face : {box.min()[k], box.max()[k]})
          if (face > space.min()[k] && face < space.max()[k]) along.push_back(face);
      std::sort(along.begin(), along.end());
    }
    for (std::size_t x = 0; x + 1 < marks[0].size(); ++x)
      for (std::size_t y = 0; y + 1 < marks[1].size(); ++y)
        for (std::size_t z = 0; z + 1 < marks[2].size(); ++z) {
          const V3 middle = V3(marks[0][x] + marks[0][x + 1], marks[1][y] + marks[1][y + 1],
                               marks[2][z] + marks[2][z + 1]) /
                            2;
          if (std::none_of(square_.begin(), square_.end(),
                           [&](const Box3& box) { return box.contains(middle); }))
            return false;
        }
    return true;
  }

 private:
  std::vector<Box3> square_;
  std::vector<Block> turned_;
};

// Around the discs at both ends of a slice, less what may be short.
Box3 slice(const Stretch& stretch, double from_mm, double to_mm) {
  Box3 box;
  for (const double s : {from_mm, to_mm}) {
    const V3 p = at(stretch.piece, s);
    const V3 reach =
        stretch.radius_mm * (V3::Ones() - direction(stretch.piece, s).cwiseAbs2()).cwiseMax(0.0).cwiseSqrt();
    box.extend(V3(p - reach));
    box.extend(V3(p + reach));
  }
  const V3 less = (box.sizes() / 2).cwiseMin(kHeld_mm);
  return {V3(box.min() + less), V3(box.max() - less)};
}

std::optional<double> first_unknown(const KnownSpace& known, const Stretch& stretch) {
  const double length = stretch.to_mm - stretch.from_mm;
  const int slices = 1 + static_cast<int>(length / kSlice_mm);
  for (int k = 0; k < slices; ++k) {
    const double from = length * k / slices, to = length * (k + 1) / slices;
    if (known.holds(slice(stretch, from, to))) continue;
    const int thin = 1 + static_cast<int>((to - from) / kThinSlice_mm);
    for (int i = 0; i < thin; ++i) {
      const double a = from + (to - from) * i / thin, b = from + (to - from) * (i + 1) / thin;
      if (!known.holds(slice(stretch, a, b))) return a;
    }
  }
  return std::nullopt;
}

constexpr double kNeighbour_mm = 2.0;  // so that its own neighbours are clearly apart
constexpr double kFolded = 0.55;       // radius over outside diameter

}  // namespace

std::vector<Fault> grade_faults(const Bay& bay, const Tube& tube) {
  const std::string& grade = bay.lines[tube.line].line->grade;
  if (grade == "free") return {};
  if (tube.length_mm > kMostLength_mm)
    return {{"the line is too long for its grade to be looked at", {}, true}};
  for (const double pitch_deg : {0.0, -5.0, 5.0}) {
    const double pitch = radians(pitch_deg);
    const WrongWay way = wrong_way(tube, V3(std::sin(pitch), 0, std::cos(pitch)));
    const bool as_rising = grade == "rise" || (grade == "one_way" && way.rising_mm <= way.falling_mm);
    const double wrong = as_rising ? way.rising_mm : way.falling_mm;
    if (wrong > kHump_mm + kGradeSlack_mm)
      return {
          {fmt::format("the line runs {:.2f} mm the wrong way ({}) at {:g} deg of pitch, {:g} mm is the most",
                       wrong, grade, pitch_deg, kHump_mm),
           as_rising ? way.rising_at : way.falling_at}};
  }
  return {};
}

std::vector<Fault> known_space_faults(const std::vector<Solid>& known, const Tube& tube) {
  if (known.empty()) return {{"no known space is stated, so no line can be called free"}};
  if (tube.length_mm > kMostLength_mm)
    return {{"the line is too long to be held against the known space", {}, true}};
  const KnownSpace space(known);
  for (const Stretch& stretch : tube.stretches)
    if (const auto s = first_unknown(space, stretch))
      return {{fmt::format("the line leaves the known space at {:.1f} mm along", stretch.from_mm + *s),
               at(stretch.piece, *s)}};
  return {};
}

std::vector<Fault> self_faults(const Tube& tube, Effort& effort) {
  double radius = std::numeric_limits<double>::infinity(), outside = 0;
  for (const Stretch& stretch : tube.stretches) {
    if (const auto* arc = std::get_if<ArcPiece>(&stretch.piece))
      radius = std::min(radius, (arc->start_mm - arc->centre_mm).norm());
    outside = std::max(outside, 2 * stretch.radius_mm);
  }
  if (radius < kFolded * outside - 1e-9)
    return {{fmt::format("a bend of {:.1f} mm radius folds a line {:.1f} mm thick", radius, outside)}};
  // A curve that bends no tighter has left its own neighbourhood once its chord on the tightest circle is
  // wider than the line is thick (Schur); from there to half that circle it cannot come back, only a broken
  // one can.
  const double chord = std::min(outside + kNeighbour_mm, 0.95 * 2 * radius);
  const double neighbours =
      std::isfinite(radius) ? 2 * radius * std::asin(chord / (2 * radius)) : outside + kNeighbour_mm;
  const double end = tube.stretches.back().to_mm;
  for (const Stretch& here : tube.stretches) {
    if (!(here.from_mm + neighbours < end)) break;
    const auto spare = [&](double s) {
      double least = kLooked_mm;
      for (const Stretch& there : tube.stretches) {
        const double from = std::max(here.from_mm + s + neighbours, there.from_mm);
        if (there.to_mm - from <= 1e-6) continue;
        const CurvePiece rest = cut(there.piece, from - there.from_mm, there.to_mm - there.from_mm);
        least = std::min(least, distance_mm(rest, at(here.piece, s)) - here.radius_mm - there.radius_mm);
        --effort.left;
      }
      return least;
    };
    // Both the point and the beginning of the rest move with s.
    const Least least = least_along(spare, here.to_mm - here.from_mm, 0.0, effort, 2.0);
    if (!(least.spare_mm >= -kHeld_mm + 0.002))
      return {{fmt::format("the line runs {:.2f} mm into itself at {:.1f} mm along", -least.spare_mm,
                           here.from_mm + least.s_mm),
               at(here.piece, least.s_mm)}};
  }
  return {};
}

}  // namespace hosefit::recheck
