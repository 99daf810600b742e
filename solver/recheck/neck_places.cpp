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

}  // namespace hosefit::recheck
