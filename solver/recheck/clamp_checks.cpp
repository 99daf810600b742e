// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/recheck/clamp_places.h"
#include "solver/recheck/line_checks.h"

namespace hosefit::recheck {
namespace {

constexpr double kOwnHose_mm = 30;  // to either side of a clamp its own hose is no neighbour
constexpr const char* kOwnLine = "its own line";
constexpr double kSamePlace_mm = 0.1;  // of a band along its hose; a tape shows no less

/// One clamp's housing against everything near it.
class ClampCheck {
 public:
  ClampCheck(const Surroundings& around, const Tube& tube, const ClampPlace& place, double clock_rad,
             Effort& effort)
      : around_(around),
        tube_(tube),
        place_(place),
        housing_(housing_at(place, clock_rad)),
        length_mm_(recheck::length_mm(housing_)),
        box_(box_of(housing_)),
        effort_(effort) {}

  ClampRoom measure() {
    past_obstacles();
    past_lines();
    past_own_line();
    return std::move(room_);
  }

 private:
  V3 middle() const { return at(housing_, length_mm_ / 2); }
  void fault(std::string text, bool undecided = false) {
    room_.faults.push_back({std::move(text), middle(), undecided});
  }
  template <class Distance>
  void past(const std::string& other, const Box3& box, double radius_mm, double required_mm,
            const Distance& distance) {
    const double off = required_mm + kHousingRadius_mm + radius_mm;
    const double apart = box_.exteriorDistance(box);
    // Boxes that overlap bound nothing: the housing may lie as deep in the other as it likes.
    if (apart > 0 && apart - off > room_.spare_mm) return;
    const auto spare = [&](double s) {
      return distance(at(housing_, s), off + kMostClampSpare_mm + 1) - off;
    };
    const Least least = least_along(spare, length_mm_, room_.spare_mm, effort_);
    if (least.spare_mm >= room_.spare_mm) return;
    room_.nearest = other;
    room_.spare_mm = least.spare_mm;
    room_.required_mm = required_mm;
    room_.where_mm = at(housing_, least.s_mm);
  }

  // What a neck grows out of must not be touched by the clamp on it, nor by one within the line's lead.
  bool need_only_not_touch(std::size_t obstacle) const {
    const PlacedLine& line = around_.bay.lines[tube_.line];
    const PlacedNeck &from = around_.bay.necks[line.from], &to = around_.bay.necks[line.to];
    if (place_.neck) return grows(around_.bay.necks[*place_.neck], obstacle);
    return (place_.s_mm < least_lead_mm(*tube_.stock, from.neck) && grows(from, obstacle)) ||
           (place_.s_mm > tube_.length_mm - least_lead_mm(*tube_.stock, to.neck) && grows(to, obstacle));
  }
  void past_obstacles() {
    const PlacedLine& line = around_.bay.lines[tube_.line];
    for (std::size_t i = 0; i < around_.bay.obstacles.size(); ++i) {
      const PlacedObstacle& o = around_.bay.obstacles[i];
      const bool alike = place_.neck ? around_.bay.necks[*place_.neck].on_engine == o.on_engine
                                     : !line.moves && line.on_engine == o.on_engine;
      const auto row = o.own_gap_mm ? o.own_gap_mm : around_.gaps.at("clamp", o.hazard, alike);
      if (!row) {
        fault(fmt::format("the input holds no gap for a clamp past {} ({})", o.label(), o.hazard), true);
        continue;
      }
      if (std::holds_alternative<Surface>(o.solid) && is_inside(o.solid, middle()))
        fault(fmt::format("the clamp {} lies inside {}", place_.where, o.label()));
      past(o.label(), o.box, 0, need_only_not_touch(i) ? 0.0 : *row,
           [&](const V3& p, double within) { return distance_mm(o.solid, p, within); });
    }
  }
  void past_lines() {
    for (const Tube& other : around_.lines) {
      if (other.line == tube_.line) continue;
      const auto required = gap_between_lines(around_.bay, around_.gaps, "clamp", tube_.line, other.line);
      if (!required) {
        fault("the input holds no gap for a clamp past a hose", true);
        return;
      }
      for (const Stretch& there : other.stretches)
        past("line " + other.recorded->name, there.box, there.radius_mm, *required,
             [&](const V3& p, double) { return distance_mm(there.piece, p); });
    }
  }
  void past_own_line() {
    for (const Stretch& there : tube_.stretches) {
      past_own(there, there.from_mm, std::min(there.to_mm, place_.s_mm - kOwnHose_mm));
      past_own(there, std::max(there.from_mm, place_.s_mm + kOwnHose_mm), there.to_mm);
    }
  }
  void past_own(const Stretch& there, double from, double to) {
    if (to - from <= 1e-6) return;
    const CurvePiece rest = cut(there.piece, from - there.from_mm, to - there.from_mm);
    past(kOwnLine, box_of(rest), there.radius_mm, 0.0,
         [&](const V3& p, double) { return distance_mm(rest, p); });
  }

  const Surroundings& around_;
  const Tube& tube_;
  const ClampPlace& place_;
  CurvePiece housing_;
  double length_mm_;
  Box3 box_;
  Effort& effort_;
  ClampRoom room_;
};

/// The housing of a clamp as recorded.
struct ClampHousing {
  std::size_t line = 0;
  std::string where;
  StraightPiece along;
};
std::vector<ClampHousing> housings(const Surroundings& around) {
  std::vector<ClampHousing> out;
  for (const Tube& tube : around.lines)
    for (const ClampPlace& place : clamp_places(around.bay, tube).list)
      if (const RecordedClamp* told = recorded_for(around.bay, *tube.recorded, place))
        out.push_back({tube.line, place.where, housing_at(place, told->clock_rad)});
  return out;
}

// Housings of two lines keep the gap of a clamp to another hose; on one line they must not touch. Each is
// held against those before it.
void past_clamps(const Surroundings& around, const std::vector<ClampHousing>& all, std::size_t line,
                 const ClampPlace& place, const StraightPiece& here, ClampRoom& room) {
  for (const ClampHousing& other : all) {
    if (other.line == line && other.where == place.where) break;
    const auto required = other.line == line
                              ? std::optional(0.0)
                              : gap_between_lines(around.bay, around.gaps, "clamp", line, other.line);
    if (!required) continue;  // told where lines are held against each other
    const double gap = between_segments(here.from_mm, here.to_mm, other.along.from_mm, other.along.to_mm) -
                       2 * kHousingRadius_mm;
    const bool own = other.line == line;  // beside it on a joiner by intent
    if (gap - *required >= (own ? std::min(0.0, room.spare_mm) : room.spare_mm)) continue;
    room.spare_mm = gap - *required;
    room.required_mm = *required;
    room.nearest =
        fmt::format("the clamp {} on line {}", other.where, around.bay.lines[other.line].line->name);
    room.where_mm = here.from_mm;
  }
}

// What is told of this clamp against what was found.
void compare(const RecordedClamp& told, const ClampPlace& place, ClampRoom& room) {
  if (!(std::abs(told.from_end_mm - place.from_end_mm) <= kSamePlace_mm))
    room.faults.push_back(
        {fmt::format("the record puts the clamp {} {:.2f} mm from the hose's end, it belongs at {:.2f} mm",
                     place.where, told.from_end_mm, place.from_end_mm),
         place.band_mm});
  // The first proof tells its least to 0.05 mm or a tenth.
  const double least = told.spare_mm - std::max(kHeld_mm, 0.1 * std::abs(told.spare_mm));
  if (room.spare_mm <= told.spare_mm + kHeld_mm && room.spare_mm >= least - kHeld_mm) return;
  room.faults.push_back(
      {fmt::format("the record tells {:.2f} mm to spare for the clamp {}, the recheck finds {:.2f} mm, to {}",
                   told.spare_mm, place.where, room.spare_mm,
                   room.nearest.empty() ? "nothing near" : room.nearest),
       room.where_mm});
}

}  // namespace

ClampsFound clamp_faults(const Surroundings& around, const Tube& tube, Effort& effort) {
  ClampsFound out;
  const ClampPlaces places = clamp_places(around.bay, tube);
  out.faults = places.faults;
  const std::vector<ClampHousing> all = housings(around);
  for (const ClampPlace& place : places.list) {
    const RecordedClamp* told = recorded_for(around.bay, *tube.recorded, place);
    if (told == nullptr) {
      out.faults.push_back({fmt::format("the record tells no clamp {}", place.where), place.band_mm});
      continue;
    }
    ClampRoom room = ClampCheck(around, tube, place, told->clock_rad, effort).measure();
    past_clamps(around, all, tube.line, place, housing_at(place, told->clock_rad), room);
    if (short_of(room.spare_mm))
      room.faults.push_back({fmt::format("the clamp {} has {:.2f} mm to {}, {:g} mm required", place.where,
                                         room.required_mm + room.spare_mm, room.nearest, room.required_mm),
                             room.where_mm});
    compare(*told, place, room);
    for (Fault& fault : room.faults) out.faults.push_back(std::move(fault));
    ++out.measured;
    const bool counts = !room.nearest.empty() && room.nearest != kOwnLine;
    if (counts && (!out.tightest || room.spare_mm < out.tightest->spare_mm))
      out.tightest = TightestClamp{place.where, room.nearest, room.spare_mm};
  }
  if (tube.recorded->clamps.size() > places.list.size())
    out.faults.push_back({fmt::format("the record tells {} clamps, the line has {}",
                                      tube.recorded->clamps.size(), places.list.size())});
  return out;
}

}  // namespace hosefit::recheck
