// SPDX-License-Identifier: GPL-3.0-or-later
// Shapes of moving lines, by the first proof's chains of links and by the recheck's rods.
#include <cstdio>
#include <cstdlib>

#include "solver/recheck/motion_checks.h"
#include "solver/verify/line_shapes.h"
#include "tests/recheck/mutant_routes.h"

using namespace hosefit;
using namespace hosefit::mutants;

namespace {

constexpr double kOtherShape_mm = 5;  // apart by so much they are two shapes, not one known twice

struct Compared {
  int shapes = 0, only_first = 0, only_second = 0, other = 0;
  double most_mm = 0, sum_mm = 0;
};

// Where the recheck has the line that far along.
std::optional<recheck::V3> place_of(const recheck::MovingLine& line, const recheck::LineAt& shape,
                                    double s_mm) {
  for (const recheck::MovingLink& link : line.links)
    if (!link.clamp && link.from_mm >= -1e-6 && link.from_mm - 1e-6 <= s_mm && s_mm <= link.to_mm + 1e-6) {
      const double share = (s_mm - link.from_mm) / (link.to_mm - link.from_mm);
      return (1 - share) * shape.nodes_mm[link.a] + share * shape.nodes_mm[link.b];
    }
  return std::nullopt;
}

void compare(const LineInMotion& first, const LineShape& a, const recheck::MovingLine& second,
             const recheck::LineAt& b, Compared& out) {
  double most = 0;
  for (std::size_t i = 0; i < first.links().size(); ++i) {
    if (first.links()[i].over_neck) continue;
    const auto there = place_of(second, b, first.links()[i].from_s_mm);
    if (there) most = std::max(most, (a.nodes_mm[i] - *there).norm());
  }
  ++out.shapes;
  if (most > kOtherShape_mm) {
    ++out.other;
    return;
  }
  out.most_mm = std::max(out.most_mm, most);
  out.sum_mm += most;
}

void compare_route(const Case& c, std::size_t line, const Route& route, Dice& dice, int places,
                   Compared& out) {
  const Job& job = c.recorded.prepared->job();
  const Stock* stock =
      &*std::find_if(job.stock.begin(), job.stock.end(), [&](const Stock& s) { return s.id == route.stock; });
  const EnginePlaces all = engine_places(job.motion, engine_pose(job.vehicle));
  recheck::RecordedLine recorded = as_recorded(c.record.candidates[c.candidate].lines[line], route);
  std::vector<ClipPlace> clips = c.result().motion->lines[line].clips;
  const double length = length_mm(route.centreline);
  while (!clips.empty() && clips.back().s_mm > length - 20) clips.pop_back();
  recorded.clips.resize(clips.size());
  const auto second_stock = std::find_if(c.job.stock.begin(), c.job.stock.end(),
                                         [&](const recheck::Stock& s) { return s.id == recorded.stock; });
  const recheck::EngineWays ways =
      recheck::engine_ways(recheck::engine_frame(c.job), *recheck::mounts_figures(c.job));
  const recheck::Tube tube = recheck::tube_of(c.second, route.line, recorded, *second_stock);
  const auto seconds = recheck::moving_parts(c.second, tube, ways);
  const auto stretches = free_stretches(c.bay, route, clips);
  for (std::size_t i = 0; i < stretches.size(); ++i) {
    const LineInMotion first(c.bay, route, stock, all, stretches[i]);
    const recheck::MovingLine& second = seconds[i];
    REQUIRE(first.between_carriers() == second.between());
    if (!first.at_rest() || !second.at_rest) {
      if (first.at_rest()) ++out.only_first;
      if (second.at_rest) ++out.only_second;
      continue;
    }
    compare(first, *first.at_rest(), second, *second.at_rest, out);
    if (!first.between_carriers()) continue;
    for (int k = 0; k < places; ++k) {
      EnginePlace at = all.centre;
      for (Eigen::Index way = 0; way < 4; ++way) at[way] += dice.between(-1, 1) * all.half[way];
      const auto a = first.at(at, *first.at_rest());
      const auto b = second.at(at, *second.at_rest);
      if (a && b) compare(first, *a, second, *b, out);
      if (a && !b) ++out.only_first;
      if (b && !a) ++out.only_second;
    }
  }
}

}  // namespace

// A chain of links up to 5 mm long, shorter in bends of less than 31 mm radius, departs from the curve by 0.1
// mm or less.
TEST_CASE("the recheck's rods and the first proof's chains give moving lines the same shapes",
          "[mutants][whole]") {
  const char* asked = std::getenv("HOSEFIT_MUTANTS");
  const int changed = asked == nullptr ? 2 : std::max(2, std::atoi(asked) / 100);
  Compared out;
  for (const auto& [vehicle, pump, height_mm] :
       {std::tuple(std::string("harrow_half_ton"), "long left", 318.0),
        {std::string("linnet_coupe"), "left outlet", 290.0}}) {
    const Recorded recorded(vehicle, {{pump, height_mm}});
    const Case c(recorded, vehicle, 0);
    Dice dice(RunSeed{51}, 0);
    for (std::size_t line = 0; line < c.result().routes.size(); ++line) {
      const Route& route = c.result().routes[line];
      compare_route(c, line, route, dice, 6, out);
      const auto& gaps = c.result().proof.lines[line].gaps;
      for (int k = 0, tries = 0; k < changed && tries < 20 * changed; ++tries) {
        const GapRecord& gap = gaps[dice.below(gaps.size())];
        if (!gap.ref) continue;
        const auto other = mutant(c, route, gap, Way::move_corner, dice.between(-40, 40), dice);
        if (!other) continue;
        ++k;
        compare_route(c, line, *other, dice, 6, out);
      }
    }
  }
  std::printf(
      "%d shapes: chains and rods apart by %.3f mm at the most, %.3f mm in the mean; %d other shapes; "
      "only the chain found %d, only the rod %d\n",
      out.shapes, out.most_mm, out.sum_mm / std::max(1, out.shapes - out.other), out.other, out.only_first,
      out.only_second);
  CHECK(out.shapes > 150);
  CHECK(out.most_mm < recheck::kShapesDiffer_mm);
  CHECK(out.other <= out.shapes / 100);
}
