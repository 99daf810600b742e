// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/recheck/line_checks.h"

namespace hosefit::recheck {
namespace {

constexpr double kEdge_mm = 0.5;  // at the edge of what is looked at, one of two may leave a gap out

/// One thing that a line runs past, at its tightest.
struct Found {
  bool any = false;
  double spare_mm = kLooked_mm, required_mm = 0, s_mm = 0;
  V3 where_mm = V3::Zero();

  void take(const Least& least, double required, double from_mm, const V3& where) {
    if (least.spare_mm >= spare_mm) return;
    *this = {true, least.spare_mm, required, from_mm + least.s_mm, where};
  }
};

// What is required of one stretch past one obstacle. Not counted: neck parts under the hose. No value: the
// table has no row.
struct Need {
  bool counts = true;
  std::optional<double> gap_mm;
};
Need need_past(const Bay& bay, const Gaps& gaps, const PlacedLine& line, const Stretch& stretch,
               std::size_t obstacle) {
  const PlacedObstacle& o = bay.obstacles[obstacle];
  const PlacedNeck &from = bay.necks[line.from], &to = bay.necks[line.to];
  const OwnPart at_from = grows(from, obstacle) ? stretch.own_from : OwnPart::counts;
  const OwnPart at_to = grows(to, obstacle) ? stretch.own_to : OwnPart::counts;
  if (at_from == OwnPart::does_not_count || at_to == OwnPart::does_not_count) return {false, {}};
  if (at_from == OwnPart::must_not_touch || at_to == OwnPart::must_not_touch) return {true, 0.0};
  if (o.own_gap_mm) return {true, o.own_gap_mm};
  // The hose over a neck goes where the neck goes; a line between engine and chassis goes with neither.
  const bool alike = stretch.over_from ? from.on_engine == o.on_engine
                     : stretch.over_to ? to.on_engine == o.on_engine
                                       : !line.moves && line.on_engine == o.on_engine;
  return {true, gaps.at("hose", o.hazard, alike)};
}

struct PastObstacle {
  Found found;
  bool no_row = false, inside = false;
};
PastObstacle measure_past(const Bay& bay, const Gaps& gaps, const Tube& tube, std::size_t obstacle,
                          Effort& effort) {
  PastObstacle out;
  const PlacedObstacle& o = bay.obstacles[obstacle];
  const PlacedLine& line = bay.lines[tube.line];
  const bool surface = std::holds_alternative<Surface>(o.solid);
  for (const Stretch& stretch : tube.stretches) {
    const Need need = need_past(bay, gaps, line, stretch, obstacle);
    if (!need.counts) continue;
    if (!need.gap_mm) {
      out.no_row = true;
      return out;
    }
    const double off = stretch.radius_mm + *need.gap_mm;
    const double apart = stretch.box.exteriorDistance(o.box);
    // Boxes that overlap bound nothing: a stretch may lie as deep in the obstacle as it likes.
    if (apart > 0 && apart - off > out.found.spare_mm) continue;
    const double within = off + kLooked_mm + 1;
    const auto spare = [&](double s) {
      if (surface) effort.left -= 20;
      return distance_mm(o.solid, at(stretch.piece, s), within) - off;
    };
    const Least least = least_along(spare, stretch.to_mm - stretch.from_mm, out.found.spare_mm, effort);
    out.found.take(least, *need.gap_mm, stretch.from_mm, at(stretch.piece, least.s_mm));
  }
  const V3 middle = at(tube.recorded->curve, tube.length_mm / 2);
  out.inside = surface && is_inside(o.solid, middle);
  return out;
}

Found measure_between(const Tube& tube, const Tube& other, double required, Effort& effort) {
  Found found;
  for (const Stretch& here : tube.stretches)
    for (const Stretch& there : other.stretches) {
      if (here.on_tee && there.on_tee) continue;  // tee_faults tells whether they meet
      const bool touch_only = (here.on_tee && there.beside_tee) || (here.beside_tee && there.on_tee);
      const double required_mm = touch_only ? 0 : required;
      const double off = here.radius_mm + there.radius_mm + required_mm;
      if (here.box.exteriorDistance(there.box) - off > found.spare_mm) continue;
      const auto spare = [&](double s) { return distance_mm(there.piece, at(here.piece, s)) - off; };
      const Least least = least_along(spare, here.to_mm - here.from_mm, found.spare_mm, effort);
      found.take(least, required_mm, here.from_mm, at(here.piece, least.s_mm));
    }
  return found;
}

// The record's figure for the same thing, held against what was found.
void compare(const RecordedGap* told, const Found& found, const std::string& other,
             std::vector<Fault>& faults) {
  if (told == nullptr) {
    if (found.any && found.spare_mm < kLooked_mm - kEdge_mm)
      faults.push_back({fmt::format("the record says nothing of {}, which is {:.2f} mm away", other,
                                    found.spare_mm + found.required_mm),
                        found.where_mm});
    return;
  }
  const double told_spare = told->found_mm - told->required_mm;
  const double told_least = told->proved_mm - told->required_mm;
  const double slack = kHeld_mm + 0.01 * std::abs(found.spare_mm);
  if (found.spare_mm <= told_spare + slack && found.spare_mm >= told_least - slack) return;
  faults.push_back(
      {fmt::format("the record tells {:.2f} mm to {} ({:.2f} mm required), the recheck finds {:.2f} mm "
                   "({:.2f} mm required)",
                   told->found_mm, other, told->required_mm, found.spare_mm + found.required_mm,
                   found.required_mm),
       found.where_mm});
}

const RecordedGap* told_of(const RecordedLine& line, const std::string& body, const std::string& obstacle) {
  for (const RecordedGap& gap : line.gaps)
    if (gap.body == body && gap.obstacle == obstacle) return &gap;
  return nullptr;
}

class GapCheck {
 public:
  GapsFound out;

  void judge(const Found& found, const std::string& other) {
    if (!found.any) return;
    const double gap = found.spare_mm + found.required_mm;
    if (!out.tightest || found.spare_mm < out.tightest->found_mm - out.tightest->required_mm)
      out.tightest = TightestGap{other, gap, found.required_mm, found.s_mm, found.where_mm};
    if (short_of(found.spare_mm))
      out.faults.push_back(
          {fmt::format("{:.2f} mm to {} at {:.1f} mm along, {:g} mm required: {:.2f} mm short", gap, other,
                       found.s_mm, found.required_mm, -found.spare_mm),
           found.where_mm});
  }
};

}  // namespace

bool grows(const PlacedNeck& neck, std::size_t obstacle) {
  return std::find(neck.grows_out_of.begin(), neck.grows_out_of.end(), obstacle) != neck.grows_out_of.end();
}

bool short_of(double spare_mm) {
  constexpr double kSampled_mm = 0.002;  // what stepping may leave unseen where it is tight
  return !(spare_mm >= -kHeld_mm + kSampled_mm);
}

std::optional<double> gap_between_lines(const Bay& bay, const Gaps& gaps, const char* runner, std::size_t a,
                                        std::size_t b) {
  const PlacedLine &one = bay.lines[a], &other = bay.lines[b];
  const bool alike = !one.moves && !other.moves && one.on_engine == other.on_engine;
  return gaps.at(runner, "another_hose", alike);
}

GapsFound measure_gaps(const Bay& bay, const Gaps& gaps, const Tube& tube, std::span<const Tube> all,
                       Effort& effort) {
  GapCheck check;
  for (std::size_t i = 0; i < bay.obstacles.size(); ++i) {
    const PlacedObstacle& o = bay.obstacles[i];
    const PastObstacle past = measure_past(bay, gaps, tube, i, effort);
    if (past.no_row)
      check.out.faults.push_back(
          {fmt::format("the input holds no gap for a hose past {} ({})", o.label(), o.hazard), {}, true});
    if (past.inside)
      check.out.faults.push_back({fmt::format("the line runs inside {}", o.label()), past.found.where_mm});
    check.judge(past.found, o.label());
    compare(told_of(*tube.recorded, o.body, o.name), past.found, o.label(), check.out.faults);
  }
  for (const Tube& other : all) {
    if (other.line == tube.line) continue;
    const auto required = gap_between_lines(bay, gaps, "hose", tube.line, other.line);
    const std::string label = "line " + other.recorded->name;
    if (!required) {
      check.out.faults.push_back({fmt::format("the input holds no gap between two hoses"), {}, true});
      continue;
    }
    const Found found = measure_between(tube, other, *required, effort);
    check.judge(found, label);
    compare(told_of(*tube.recorded, other.recorded->name, ""), found, label, check.out.faults);
  }
  return std::move(check.out);
}

}  // namespace hosefit::recheck
