// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/recheck/neck_places.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace hosefit::recheck {
namespace {

// Numbers of the record keep all their digits; a place that is off by more is another.
constexpr double kSame_mm = 1e-6, kSame_deg = 1e-9;

std::optional<double> whole_steps_mm(const Slide& slide, double told_mm) {
  const double whole = std::round(told_mm / slide.step_mm) * slide.step_mm;
  if (!(std::abs(whole - told_mm) <= kSame_mm)) return std::nullopt;
  if (whole < slide.from_mm - kSame_mm || whole > slide.to_mm + kSame_mm) return std::nullopt;
  return whole;
}

std::optional<double> turn_told_deg(const NeckChoice& choice, double told_deg) {
  if (told_deg == 0) return 0;
  for (const double turn : choice.turns_deg)
    if (std::abs(turn - told_deg) <= kSame_deg) return turn;
  return std::nullopt;
}

std::optional<NeckPlace> place_told(const Neck& neck, const RecordedNeck& told, std::vector<Fault>& faults) {
  const NeckChoice& choice = *neck.choice;
  const auto fault = [&](std::string text) {
    faults.push_back({fmt::format("the record {}", text)});
    return std::nullopt;
  };
  if (told.slide_mm.size() != choice.slides.size())
    return fault(fmt::format("slides the neck {} {} ways, the input {}", neck.name, told.slide_mm.size(),
                             choice.slides.size()));
  const auto turn_deg = turn_told_deg(choice, told.turn_deg);
  if (!turn_deg)
    return fault(fmt::format("turns the neck {} by {} deg, and the input does not offer that", neck.name,
                             told.turn_deg));
  NeckPlace place;
  place.elsewhere = *turn_deg != 0;
  if (place.elsewhere)
    for (Eigen::Index k = 0; k < 3; ++k)
      place.moved.turn.col(k) = turned(V3::Unit(k), choice.axis, radians(*turn_deg));
  place.moved.at_mm = choice.about_mm - place.moved.turn * choice.about_mm;
  for (std::size_t i = 0; i < choice.slides.size(); ++i) {
    const auto slid_mm = whole_steps_mm(choice.slides[i], told.slide_mm[i]);
    if (!slid_mm)
      return fault(fmt::format("slides the neck {} by {} mm, and the input does not offer that", neck.name,
                               told.slide_mm[i]));
    place.moved.at_mm += *slid_mm * choice.slides[i].along;
    place.elsewhere = place.elsewhere || *slid_mm != 0;
  }
  return place;
}

}  // namespace

std::vector<NeckPlace> neck_places(const Job& job, const RecordedCandidate& candidate,
                                   std::vector<Fault>& faults) {
  const auto& told = candidate.necks;
  std::vector<NeckPlace> places;
  for (const Neck& neck : job.chassis_necks) {
    places.emplace_back();
    if (!neck.choice) continue;
    const auto is_it = [&](const RecordedNeck& n) { return n.name == neck.name; };
    const auto found = std::find_if(told.begin(), told.end(), is_it);
    if (found == told.end())
      faults.push_back({fmt::format("the record does not say where the neck {} stands", neck.name)});
    else if (std::find_if(found + 1, told.end(), is_it) != told.end())
      faults.push_back({fmt::format("the record says twice where the neck {} stands", neck.name)});
    else if (const auto place = place_told(neck, *found, faults))
      places.back() = *place;
  }
  for (const RecordedNeck& n : told)
    if (std::none_of(job.chassis_necks.begin(), job.chassis_necks.end(),
                     [&](const Neck& neck) { return neck.choice && neck.name == n.name; }))
      faults.push_back(
          {fmt::format("the record places the neck {}, and the input has no such choice", n.name)});
  return places;
}

namespace {

// From a point along a direction to where a solid begins; `reach_mm` when it does not within that.
double way_to(const Solid& solid, const V3& from_mm, const V3& direction, double reach_mm) {
  constexpr double kTouched_mm = 0.01;
  if (is_inside(solid, from_mm)) return 0;
  double gone_mm = 0;
  while (gone_mm < reach_mm) {
    const double free_mm = distance_mm(solid, from_mm + gone_mm * direction, reach_mm);
    if (free_mm < kTouched_mm) return gone_mm;
    gone_mm += free_mm;
  }
  return reach_mm;
}

struct Tube {
  V3 end_mm, outward;
  double radius_mm, straight_mm;
};

// Along the middle and the outside of the tube, every 30 deg.
double way_back(const Bay& bay, const PlacedNeck& placed, std::size_t index, const Tube& tube) {
  constexpr int kLines = 12;
  V3 across = tube.outward.unitOrthogonal();
  double free_mm = tube.straight_mm;
  for (int i = 0; i <= kLines; ++i) {
    const V3 from = i == 0 ? tube.end_mm : V3(tube.end_mm + tube.radius_mm * across);
    for (const std::size_t part : placed.grows_out_of)
      if (bay.obstacles[part].goes_along != index)
        free_mm = std::min(free_mm, way_to(bay.obstacles[part].solid, from, -tube.outward, free_mm));
    if (i > 0) across = turned(across, tube.outward, radians(360.0 / kLines));
  }
  return free_mm;
}

}  // namespace

std::vector<Fault> tube_faults(const Job& job, const Bay& bay) {
  constexpr double kSameWay_mm = 0.1;
  std::vector<Fault> faults;
  for (std::size_t i = 0; i < job.chassis_necks.size(); ++i) {
    const PlacedNeck& placed = bay.necks[i];
    if (!placed.elsewhere) continue;
    const Neck& written = job.chassis_necks[i];
    const auto free_mm = [&](const V3& end_mm, const V3& outward) {
      return way_back(bay, placed, i, {end_mm, outward, written.outside_mm / 2, written.straight_mm});
    };
    const double wanted_mm = free_mm(written.end_mm, written.outward.normalized());
    const double found_mm = free_mm(placed.neck.end_mm, placed.neck.outward.normalized());
    if (found_mm < wanted_mm - kSameWay_mm)
      faults.push_back(
          {fmt::format("hose goes {:.1f} mm onto the neck {} where the record puts it, and {:.1f} mm where "
                       "it is written: its tube runs into what it grows out of",
                       found_mm, written.name, wanted_mm),
           placed.neck.end_mm});
  }
  return faults;
}

}  // namespace hosefit::recheck
