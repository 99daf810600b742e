// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/run.h"

#include <algorithm>
#include <cmath>

namespace hosefit {
namespace {

constexpr double kRounding_mm = 1e-6;
constexpr double kProvedGap_mm =
    0.02;  // a margin proved over this stays above 0 under a second implementation's rounding

double straight_length(const Centreline& line, std::size_t i) {
  return i < line.pieces.size() && std::holds_alternative<Straight>(line.pieces[i])
             ? length_mm(line.pieces[i])
             : 0.0;
}

bool touches_itself(const Centreline& line, double outside_diameter_mm, double gap_mm) {
  const double length = length_mm(line);
  constexpr double step = 5.0;
  std::vector<Vec3> points;
  for (double s = 0; s <= length; s += step) points.push_back(point_at(line, s));
  const double keep_off = outside_diameter_mm + gap_mm;
  // Neighbouring stretches are near by nature: only those further apart along the run than half a turn of
  // that width count.
  const std::size_t apart = static_cast<std::size_t>(std::ceil(1.6 * keep_off / step));
  for (std::size_t i = 0; i < points.size(); ++i)
    for (std::size_t j = i + apart; j < points.size(); ++j)
      if ((points[i] - points[j]).squaredNorm() < keep_off * keep_off) return true;
  return false;
}

// The hose pushed over a neck is part of the line too. Only what overlaps it counts, not what is merely near:
// verify refuses that for sure.
bool touches_its_ends(const Centreline& line, const BendRules& rules) {
  const double length = length_mm(line), outside = rules.outside_diameter_mm;
  constexpr double step = 5.0;
  const double apart = 1.6 * outside;
  const auto touched = [&](const Vec3& p, double least_s, double most_s) {
    for (double s = std::max(0.0, least_s); s <= std::min(length, most_s); s += step)
      if ((point_at(line, s) - p).squaredNorm() < outside * outside) return true;
    return false;
  };
  for (double over = 0; over <= rules.engagement_from_mm; over += step)
    if (touched(start_point(line) - over * start_direction(line), apart - over, length)) return true;
  for (double over = 0; over <= rules.engagement_to_mm; over += step)
    if (touched(end_point(line) + over * end_direction(line), 0, length + over - apart)) return true;
  return false;
}

}  // namespace

Bends intersection_points(const Centreline& centreline) {
  Bends bends;
  for (const Piece& piece : centreline.pieces)
    if (const Arc* arc = std::get_if<Arc>(&piece))
      bends.push_back(arc->start_mm +
                      arc->radius_mm() * std::tan(arc->angle_rad / 2) * direction_at(piece, 0.0));
  return bends;
}

FilletChain chain_of(const RunProblem& problem, const Bends& bends) {
  FilletChain chain;
  chain.points_mm.push_back(problem.start.at_mm);
  chain.points_mm.insert(chain.points_mm.end(), bends.begin(), bends.end());
  chain.points_mm.push_back(problem.goal.at_mm);
  chain.radii_mm.assign(bends.size(), problem.radius_mm);
  return chain;
}

Heading start_of_run(const RunProblem& p) {
  return {p.start.at_mm + p.rules.lead_from_mm * p.start.along, p.start.along};
}
Heading end_of_run(const RunProblem& p) {
  return {p.goal.at_mm - p.rules.lead_to_mm * p.goal.along, p.goal.along};
}

Breach check_shape(const RunProblem& problem, const Centreline& line, bool any_length) {
  const BendRules& rules = problem.rules;
  const bool starts_right = (start_direction(line) - problem.start.along).norm() < 1e-7;
  const bool ends_right = (end_direction(line) - problem.goal.along).norm() < 1e-7;
  if (!starts_right || !ends_right) return Breach::no_shape;
  if (straight_length(line, 0) < rules.lead_from_mm - kRounding_mm) return Breach::lead;
  if (straight_length(line, line.pieces.size() - 1) < rules.lead_to_mm - kRounding_mm) return Breach::lead;
  int bends = 0;
  for (std::size_t i = 0; i < line.pieces.size(); ++i) {
    const Arc* arc = std::get_if<Arc>(&line.pieces[i]);
    if (!arc) continue;
    ++bends;
    if (arc->angle_rad > rules.most_bend_rad + 1e-9) return Breach::bend_angle;
    const bool last = i + 2 >= line.pieces.size();
    if (!last && straight_length(line, i + 1) < rules.straight_between_mm - kRounding_mm)
      return Breach::straight_between;
    if (i + 1 < line.pieces.size() && std::holds_alternative<Arc>(line.pieces[i + 1]) &&
        rules.straight_between_mm > kRounding_mm)
      return Breach::straight_between;
  }
  if (bends > rules.most_bends) return Breach::bend_angle;
  if (!any_length && !rules.windows.empty() && !window_of(rules, length_mm(line))) return Breach::length;
  for (const double fall : back_fall_mm(line, problem.grade))
    if (fall > kHump_mm) return Breach::grade;
  return Breach::none;
}

RunCheck check_line(const RunProblem& problem, const Room& room, Centreline centreline) {
  RunCheck check;
  check.centreline = std::move(centreline);
  check.breach = check_shape(problem, check.centreline, false);
  if (check.breach != Breach::none) return check;
  const double length = length_mm(check.centreline);
  check.margin =
      least_margin(room, check.centreline, problem.rules.lead_from_mm, length - problem.rules.lead_to_mm);
  if (!check.margin.known) check.breach = Breach::known_space;
  if (check.margin.proved_mm < kProvedGap_mm) check.breach = Breach::gap;
  if (check.breach == Breach::none &&
      (touches_itself(check.centreline, problem.rules.outside_diameter_mm, problem.self_gap_mm) ||
       touches_its_ends(check.centreline, problem.rules)))
    check.breach = Breach::self_gap;
  return check;
}

RunCheck check_run(const RunProblem& problem, const Room& room, const Bends& bends) {
  std::optional<Centreline> line = centreline_of(chain_of(problem, bends));
  if (!line) return {Breach::no_shape, {}, {}};
  return check_line(problem, room, *std::move(line));
}

}  // namespace hosefit
