// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "solver/recheck/bay.h"

namespace hosefit::recheck {
namespace {

bool is_intake(Part part) {
  return part == Part::intake_base || part == Part::intake_stretch || part == Part::intake_top;
}
bool is_chosen(Part part) {
  return part == Part::drive || part == Part::pump || part == Part::housing || is_intake(part);
}

// Parts that are bolted together by design are not held against each other: pump, drive and intake lie on the
// block, the housing on the pump, and a fan on the engine belongs to pump or drive.
bool as_written_must_be_clear(const PlacedObstacle& a, const PlacedObstacle& b, bool fan_on_engine) {
  const auto pair = [&](Part one, Part other) {
    return (a.part == one && b.part == other) || (a.part == other && b.part == one);
  };
  if (pair(Part::fan, Part::chassis)) return a.hazard == "radiator_core" || b.hazard == "radiator_core";
  const bool a_chosen = is_chosen(a.part), b_chosen = is_chosen(b.part);
  if (a_chosen != b_chosen) {
    const Part chosen = a_chosen ? a.part : b.part;
    switch (a_chosen ? b.part : a.part) {
      case Part::chassis:
      case Part::hood:
      case Part::on_engine:
        return true;
      case Part::fan:
        return !(fan_on_engine && (chosen == Part::pump || chosen == Part::drive));
      case Part::block:
        return chosen == Part::housing || chosen == Part::intake_top;
      default:
        return false;
    }
  }
  if (!a_chosen || a.part == b.part) return false;
  if (is_intake(a.part) || is_intake(b.part)) return is_intake(a.part) != is_intake(b.part);
  if (pair(Part::pump, Part::drive)) return !(a.hazard == "belt_or_pulley" && b.hazard == "belt_or_pulley");
  return pair(Part::housing, Part::drive);
}

// A neck slides along what it grows out of.
bool goes_along_a_neck_on(const Bay& bay, std::size_t part, std::size_t other) {
  const auto& neck = bay.obstacles[part].goes_along;
  if (!neck) return false;
  const auto& on = bay.necks[*neck].grows_out_of;
  return std::find(on.begin(), on.end(), other) != on.end();
}

// What one asks of a rigid part that is carried with the other.
std::optional<double> asked(const Gaps& gaps, const PlacedObstacle& of, const PlacedObstacle& other) {
  if (of.own_gap_mm) return of.own_gap_mm;
  return gaps.at("rigid_part", of.hazard, of.on_engine == other.on_engine);
}

}  // namespace

bool must_be_clear(const Bay& bay, std::size_t a, std::size_t b, bool fan_on_engine) {
  const PlacedObstacle &one = bay.obstacles[a], &other = bay.obstacles[b];
  if (one.goes_along && one.goes_along == other.goes_along) return false;
  if (one.part == Part::tee || other.part == Part::tee) return one.part != other.part;
  if (goes_along_a_neck_on(bay, a, b) || goes_along_a_neck_on(bay, b, a)) return false;
  for (const PlacedObstacle* o : {&one, &other})
    if (o->goes_along && bay.necks[*o->goes_along].elsewhere) return true;
  return as_written_must_be_clear(one, other, fan_on_engine);
}

std::vector<Fault> clashes(const Bay& bay, const Gaps& gaps, bool fan_on_engine) {
  std::vector<Fault> faults;
  for (std::size_t i = 0; i < bay.obstacles.size(); ++i) {
    for (std::size_t j = i + 1; j < bay.obstacles.size(); ++j) {
      const PlacedObstacle &a = bay.obstacles[i], &b = bay.obstacles[j];
      if (!must_be_clear(bay, i, j, fan_on_engine)) continue;
      const auto by_a = asked(gaps, a, b), by_b = asked(gaps, b, a);
      if (!by_a || !by_b) {
        faults.push_back(
            {fmt::format("the input holds no gap between {} and {}", a.label(), b.label()), {}, true});
        continue;
      }
      const double required = std::max(*by_a, *by_b);
      if (a.box.exteriorDistance(b.box) > required) continue;
      const Apart found = apart(a.solid, b.solid, required + 1.0);
      if (found.at_most_mm > 0 && found.at_least_mm >= required - kHeld_mm) continue;
      const bool sure = found.at_most_mm <= 0 || found.at_most_mm < required - kHeld_mm;
      const std::string how = found.at_most_mm <= 0 ? std::string("touch or cross")
                                                    : fmt::format("are {:.2f} mm apart", found.at_most_mm);
      faults.push_back({fmt::format("{} and {} {}, {:g} mm required{}", a.label(), b.label(), how, required,
                                    sure ? "" : "; this could not be measured closely"),
                        found.where_mm, !sure});
    }
  }
  return faults;
}

}  // namespace hosefit::recheck
