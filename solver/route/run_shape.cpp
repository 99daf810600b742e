// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/run_shape.h"

#include <algorithm>
#include <cmath>

#include "solver/route/grade.h"

namespace hosefit {
namespace {

constexpr double kMostAngleReserve_rad = 0.01;
constexpr double kHumpReserve_mm = 0.6;

Centreline loose_centreline(const RunProblem& problem, const RunShape& shape) {
  Centreline line;
  Vec3 at = problem.start.at_mm;
  for (const RunBend& b : shape.bends) {
    line.pieces.push_back(Straight{at, b.start});
    if (b.angle > 1e-9)
      line.pieces.push_back(arc_from({b.start, b.in}, b.inward, problem.radius_mm, b.angle));
    at = b.end;
  }
  line.pieces.push_back(Straight{at, problem.goal.at_mm});
  return line;
}

}  // namespace

RunShape shape_of(const RunProblem& problem, const Bends& points) {
  RunShape shape;
  Vec3 before = problem.start.at_mm;
  Vec3 in = problem.start.along;
  double carried = 0;  // tangent length already used up on this leg
  for (std::size_t i = 0; i < points.size(); ++i) {
    const bool last = i + 1 == points.size();
    RunBend b;
    b.in = in;
    const Vec3 leg = points[i] - before;
    b.out = last ? problem.goal.along : Vec3((points[i + 1] - points[i]).normalized());
    b.angle = angle_between(b.in, b.out);
    b.tangent = problem.radius_mm * std::tan(std::min(b.angle, 2.9) / 2);
    const Vec3 across = b.out - b.out.dot(b.in) * b.in;
    b.inward = across.norm() > 1e-12 ? Vec3(across.normalized()) : any_perpendicular(b.in);
    b.start = points[i] - b.tangent * b.in;
    b.end = points[i] + b.tangent * b.out;
    shape.straights.push_back(leg.dot(b.in) - carried - b.tangent);
    shape.length += shape.straights.back() + problem.radius_mm * b.angle;
    carried = b.tangent;
    before = points[i];
    in = b.out;
    shape.bends.push_back(b);
  }
  shape.straights.push_back((problem.goal.at_mm - before).dot(problem.goal.along) - carried);
  shape.length += shape.straights.back();
  return shape;
}

Vec3 place(const RunProblem& problem, const RunShape& shape, const RunStation& at) {
  const std::size_t i = at.piece / 2;
  if (at.piece % 2 == 1) {
    const RunBend& b = shape.bends[i];
    const double t = at.share * b.angle;
    return b.start + problem.radius_mm * (std::sin(t) * b.in + (1 - std::cos(t)) * b.inward);
  }
  const Vec3 from = i == 0 ? Vec3(problem.start.at_mm + problem.rules.lead_from_mm * problem.start.along)
                           : shape.bends[i - 1].end;
  const Vec3 to = i == shape.bends.size()
                      ? Vec3(problem.goal.at_mm - problem.rules.lead_to_mm * problem.goal.along)
                      : shape.bends[i].start;
  return from + at.share * (to - from);
}

std::vector<RunStation> stations(const RunProblem& problem, const RunShape& shape, double step_mm) {
  std::vector<RunStation> out;
  for (std::size_t piece = 0; piece < 2 * shape.bends.size() + 1; ++piece) {
    const double length = piece % 2 == 1 ? shape.bends[piece / 2].angle * problem.radius_mm
                                         : std::abs(shape.straights[piece / 2]);
    const int n = std::clamp(static_cast<int>(std::ceil(length / step_mm)), 1, 200);
    for (int k = 0; k < n; ++k) out.push_back({piece, (k + 0.5) / n});
  }
  return out;
}

std::vector<double> rule_shortfalls(const RunProblem& problem, const RunShape& shape, double reserve_mm,
                                    const std::optional<LengthWindow>& window) {
  const BendRules& rules = problem.rules;
  const double angle_reserve = std::min(kMostAngleReserve_rad, reserve_mm / problem.radius_mm);
  std::vector<double> out;
  for (std::size_t i = 0; i < shape.straights.size(); ++i) {
    const double least = i == 0                            ? rules.lead_from_mm
                         : i + 1 == shape.straights.size() ? rules.lead_to_mm
                                                           : rules.straight_between_mm;
    out.push_back(least + reserve_mm - shape.straights[i]);
  }
  for (const RunBend& b : shape.bends)
    out.push_back((b.angle - rules.most_bend_rad + angle_reserve) * problem.radius_mm);
  if (window) {
    const double reserve = std::min(1.0, (window->most_mm - window->least_mm) / 4);
    out.push_back(window->least_mm + reserve - shape.length);
    out.push_back(shape.length - window->most_mm + reserve);
  }
  if (problem.grade != Grade::free)
    for (const double fall : back_fall_mm(loose_centreline(problem, shape), problem.grade))
      out.push_back(fall - kHump_mm + kHumpReserve_mm);
  return out;
}

}  // namespace hosefit
