// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/neck_check.h"

#include <fmt/format.h>

#include <algorithm>

#include "solver/model/inside.h"

namespace hosefit {
namespace {

constexpr double kJustOutsideMm = 0.5;  // past the end face of a spigot that is drawn as an obstacle itself
constexpr double kRootMm = 15.0;  // a neck that points the wrong way meets its root a little past a spigot's
                                  // length; nothing is fitted over a neck with less room ahead
constexpr double kSkinMm = 0.5;   // an end that lies on a surface is not inside

}  // namespace

NeckSurroundings surroundings(const std::vector<Obstacle>& obstacles, const std::vector<MapView>& written) {
  NeckSurroundings out{obstacles, {}};
  for (const MapView& map : written) out.names.push_back(map.text("name"));
  return out;
}

void check_neck(const MapView& in, const Neck& neck, const NeckSurroundings& around, ProblemLog& log) {
  for (std::size_t i = 0; i < neck.on.size(); ++i)
    if (std::find(around.names.begin(), around.names.end(), neck.on[i]) == around.names.end())
      in.refuse_item(
          log, "on", i,
          fmt::format("no obstacle of this part has that name{}", did_you_mean(neck.on[i], around.names)));
  const Vec3& end = neck.end_mm.value;
  for (const Obstacle& obstacle : around.obstacles) {
    const bool own = std::find(neck.on.begin(), neck.on.end(), obstacle.name) != neck.on.end();
    if (!own && is_inside(obstacle, end, kSkinMm)) {
      in.refuse(log, "at",
                fmt::format("the neck's end lies inside \"{}\" of its own part; check the point, or draw the "
                            "obstacle so that the neck stands out",
                            obstacle.name));
      return;
    }
    if (!own) continue;
    const auto hit = first_hit_mm(obstacle, end + kJustOutsideMm * neck.outward, neck.outward,
                                  neck.straight.mm() + kRootMm);
    if (!hit) continue;
    in.refuse(log, "outward",
              fmt::format("the neck points into \"{}\", which it grows out of ({:.1f} mm ahead of its end); "
                          "turn `outward` round or correct `at`",
                          obstacle.name, *hit + kJustOutsideMm));
    return;
  }
}

}  // namespace hosefit
