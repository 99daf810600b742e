// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/clip_places.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "solver/verify/tube.h"

namespace hosefit {
namespace {

constexpr double kStep_mm = 5.0;

double outside_at(const Route& route, double s_mm) {
  for (const RouteSection& section : route.sections)
    if (s_mm <= section.to_s_mm) return section.outside_diameter_mm;
  return route.sections.empty() ? 0 : route.sections.back().outside_diameter_mm;
}

// The shortest bracket from the line to smooth metal of one carrier, for s in [from, to].
ClipPlace shortest(const Bay& bay, const ProofBodies& bodies, const Route& route, Carrier carrier,
                   double from_s_mm, double to_s_mm) {
  ClipPlace best;
  best.carrier = carrier;
  best.s_mm = 0.5 * (from_s_mm + to_s_mm);
  best.outside_diameter_mm = outside_at(route, best.s_mm);
  best.reach_mm = kLongestBracket_mm;
  const int steps = static_cast<int>(std::ceil((to_s_mm - from_s_mm) / kStep_mm));
  for (int i = 0; i <= steps; ++i) {
    const double s = steps == 0 ? from_s_mm : from_s_mm + (to_s_mm - from_s_mm) * i / steps;
    const Vec3 p = point_at(route.centreline, s);
    const double radius = outside_at(route, s) / 2;
    for (std::size_t b = 0; b < bay.bodies.size(); ++b) {
      const Body& body = *bay.bodies[b].body;
      if (body.carrier != carrier) continue;
      if (bay.tee && bay.tee->body == b) continue;  // it hangs in hoses and holds nothing
      for (std::size_t o = 0; o < body.obstacles.size(); ++o) {
        const ObstacleRef ref{b, o};
        if (body.obstacles[o].hazard != Hazard::smooth_metal ||
            bodies.box(ref).exteriorDistance(p) - radius >= best.reach_mm)
          continue;
        const double reach = bodies.distance_mm(ref, p) - radius;
        if (reach >= best.reach_mm) continue;
        best.s_mm = s;
        best.outside_diameter_mm = 2 * radius;
        best.to = ref;
        best.reach_mm = reach;
      }
    }
  }
  return best;
}

}  // namespace

std::vector<ClipPlace> clip_places(const Bay& bay, const ProofBodies& bodies, const Route& route,
                                   double longest_free_mm) {
  const double length = length_mm(route.centreline);
  if (!(longest_free_mm > 0) || length <= longest_free_mm) return {};
  const int fields = static_cast<int>(std::ceil(length / longest_free_mm));
  const double field = length / fields, play = 0.5 * (longest_free_mm - field);
  const std::array<Carrier, 2> carriers{from_neck(bay, route).carrier, to_neck(bay, route).carrier};
  std::array<std::vector<ClipPlace>, 2> on;
  for (std::size_t side = 0; side < 2; ++side)
    for (int k = 1; k < fields; ++k)
      on[side].push_back(shortest(bay, bodies, route, carriers[side], k * field - play, k * field + play));
  const std::size_t count = on[0].size();
  std::size_t change = 0;
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i <= count; ++i) {
    double sum = 0;
    for (std::size_t k = 0; k < count; ++k) sum += on[k < i ? 0 : 1][k].reach_mm;
    if (sum >= least) continue;
    least = sum;
    change = i;
  }
  std::vector<ClipPlace> out;
  for (std::size_t k = 0; k < count; ++k) out.push_back(on[k < change ? 0 : 1][k]);
  return out;
}

std::vector<std::vector<ClipPlace>> clip_layouts(std::vector<ClipPlace> clips, Carrier first) {
  std::erase_if(clips, [](const ClipPlace& clip) { return !clip.to; });
  const auto change =
      std::find_if(clips.begin(), clips.end(), [&](const ClipPlace& clip) { return clip.carrier != first; });
  const std::ptrdiff_t before = change - clips.begin(), after = clips.end() - change;
  std::vector<std::vector<ClipPlace>> out;
  for (std::ptrdiff_t left_out = 0; left_out <= before + after; ++left_out)
    for (std::ptrdiff_t of_first = std::min(left_out, before); of_first >= 0; --of_first) {
      if (left_out - of_first > after) break;
      std::vector<ClipPlace> kept(clips.begin(), change - of_first);
      kept.insert(kept.end(), change + (left_out - of_first), clips.end());
      out.push_back(std::move(kept));
    }
  return out;
}

std::vector<std::vector<ClipPlace>> clip_choices(const Bay& bay, const ProofBodies& bodies,
                                                 const Route& route, double longest_free_mm) {
  const Carrier first = from_neck(bay, route).carrier;
  auto out = clip_layouts(clip_places(bay, bodies, route, longest_free_mm), first);
  for (auto& closer : clip_layouts(clip_places(bay, bodies, route, longest_free_mm / 2), first))
    if (std::find(out.begin(), out.end(), closer) == out.end()) out.push_back(std::move(closer));
  std::stable_partition(out.begin(), out.end(), [](const auto& layout) { return !layout.empty(); });
  return out;
}

}  // namespace hosefit
