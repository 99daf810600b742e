// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "solver/recheck/moving_line.h"

namespace hosefit::recheck {
namespace {

constexpr double kLongestBracket_mm = 120;  // common practice, no source
constexpr double kApart_mm = 1;             // of clips, and of a clip and the line's ends

const PlacedObstacle* named(const Bay& bay, const RecordedClip& clip) {
  for (const PlacedObstacle& o : bay.obstacles)
    if (o.body == clip.body && o.name == clip.obstacle) return &o;
  return nullptr;
}

}  // namespace

std::vector<Fault> clip_faults(const Bay& bay, const Tube& tube) {
  std::vector<Fault> faults;
  double before = 0;
  for (const RecordedClip& clip : tube.recorded->clips) {
    const auto fault = [&](std::string text) {
      faults.push_back({fmt::format("the clip at {:.1f} mm along {}", clip.at_mm, text)});
    };
    if (!(clip.at_mm > before + kApart_mm && clip.at_mm < tube.length_mm - kApart_mm)) {
      fault("lies beyond the line's end or out of order");
      continue;
    }
    before = clip.at_mm;
    const PlacedObstacle* to = named(bay, clip);
    if (to == nullptr) {
      fault(fmt::format("is fixed to {}: {}, which the input does not place", clip.body, clip.obstacle));
      continue;
    }
    if (to->part == Part::tee) fault(fmt::format("is fixed to {}, which hangs in hoses", to->label()));
    if (to->hazard != "smooth_metal")
      fault(fmt::format("is fixed to {}, which is no smooth metal ({})", to->label(), to->hazard));
    if (to->on_engine != (clip.carrier == "engine"))
      fault(fmt::format("is fixed to {}, which is not carried by the {}", to->label(), clip.carrier));
    const double reach = distance_mm(to->solid, at(tube.recorded->curve, clip.at_mm),
                                     kLongestBracket_mm + tube.over_from_mm + 100) -
                         outside_at_mm(tube, clip.at_mm) / 2;
    if (!(reach <= kLongestBracket_mm + kHeld_mm))
      fault(fmt::format("stands {:.1f} mm off {}, {:g} mm is the most", reach, to->label(),
                        kLongestBracket_mm));
  }
  return faults;
}

}  // namespace hosefit::recheck
