// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/shapes.h"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace hosefit {
namespace {

constexpr std::int64_t kRunsPerUnit = 1000;  // looked at; a unit of work is some ten distance queries
constexpr std::int64_t kFitsPerUnit = 4;

// Where the bends of a run begin and end along the shape as sold.
struct BendsAt {
  double from_mm = 0, to_mm = 0;
};
BendsAt bends_at(const MouldedShape& shape, const ShapeRun& run) {
  BendsAt out;
  double s = 0;
  for (std::size_t i = 0; i < shape.radii.size(); ++i) {
    s += shape.straights[i].mm();
    if (i == run.first) out.from_mm = s;
    s += shape.radii[i].mm() * shape.angles[i].rad();
    if (i + 1 == std::size_t{run.first} + run.bends) out.to_mm = s;
  }
  return out;
}

ShapeCut cut_of(const MouldedShape& shape, const ShapeRun& run, const ChainPose& pose, const ShapeEnds& ends,
                bool backwards) {
  const BendsAt bends = bends_at(shape, run);
  const double before = pose.first_mm + ends.engagement_from_mm;
  const double behind = pose.last_mm + ends.engagement_to_mm;
  return {shape.name, bends.from_mm - (backwards ? behind : before),
          bends.to_mm + (backwards ? before : behind), backwards};
}

std::int64_t spring_class(const ShapeMatch& match) {
  return std::llround(std::floor(Angle::rad(match.sprung_rad).deg() / kSameSpring_deg));
}

// Joined exactly, so that a proof meets no rounding of the chain at the far neck.
void end_on(Centreline& line, const Vec3& goal_mm) {
  if (auto* straight = std::get_if<Straight>(&line.pieces.back())) straight->to_mm = goal_mm;
}

}  // namespace

ShapeEnds shape_ends(const RunProblem& problem) {
  const BendRules& rules = problem.rules;
  return {problem.start,         problem.goal, rules.lead_from_mm, rules.lead_to_mm, rules.engagement_from_mm,
          rules.engagement_to_mm};
}

bool sprung_alike(const ShapeMatch& a, const ShapeMatch& b) {
  return spring_class(a) == spring_class(b);
}

std::vector<ShapeMatch> shape_matches(const ShapeTable& table, std::span<const MouldedShape> shapes,
                                      const ShapeEnds& ends, Work& work) {
  std::vector<ShapeMatch> out;
  const EndsInvariants wanted = invariants_of(ends);
  std::int64_t fits = 0;
  for (const ShapeRun& run : table.runs()) {
    for (const bool backwards : {false, true}) {
      if (!may_join(run, wanted, ends, backwards)) continue;
      ++fits;
      const MouldedShape& shape = shapes[run.shape];
      const ShapeChain chain = chain_of(shape, run.first, run.bends, backwards);
      const std::optional<ChainPose> pose = fit_chain(chain, ends);
      if (!pose) continue;
      ShapeMatch match;
      match.shape = run.shape;
      match.bends = run.bends;
      match.cut = cut_of(shape, run, *pose, ends, backwards);
      match.centreline = centreline_of(chain, *pose, ends.start);
      end_on(match.centreline, ends.goal.at_mm);
      match.sprung_rad = pose->most_sprung_rad(run.bends);
      match.length_mm = length_mm(match.centreline);
      out.push_back(std::move(match));
    }
  }
  work.spend(static_cast<std::int64_t>(table.runs().size()) / kRunsPerUnit + fits / kFitsPerUnit);
  std::stable_sort(out.begin(), out.end(), [](const ShapeMatch& a, const ShapeMatch& b) {
    return std::tuple(spring_class(a), a.length_mm) < std::tuple(spring_class(b), b.length_mm);
  });
  return out;
}

}  // namespace hosefit
