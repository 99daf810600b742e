// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/model/neck.h"

#include <algorithm>
#include <cmath>
#include <tuple>
#include <utility>

namespace hosefit {
namespace {

constexpr double kSameStep = 1e-9;  // of a step; a multiple that ends there by rounding counts

struct Multiples {
  int first = 0, last = 0;
};
Multiples multiples_of(const NeckSlide& slide) {
  const double step_mm = slide.step.mm();
  return {static_cast<int>(std::ceil(slide.from.mm() / step_mm - kSameStep)),
          static_cast<int>(std::floor(slide.to.mm() / step_mm + kSameStep))};
}

std::vector<std::vector<Length>> slides_of(const NeckChoice& choice) {
  std::vector<std::vector<Length>> all{{}};
  for (const NeckSlide& slide : choice.slides) {
    std::vector<std::vector<Length>> longer;
    const Multiples k = multiples_of(slide);
    for (const std::vector<Length>& so_far : all)
      for (int i = k.first; i <= k.last; ++i) {
        longer.push_back(so_far);
        longer.back().push_back(Length::mm(i * slide.step.mm()));
      }
    all = std::move(longer);
  }
  return all;
}

std::vector<Angle> turns_of(const NeckChoice& choice) {
  std::vector<Angle> turns{Angle{}};
  if (choice.turn)
    for (const Angle by : choice.turn->by)
      if (by.rad() != 0) turns.push_back(by);
  return turns;
}

Pose moved(const NeckChoice& choice, const std::vector<Length>& slid, Angle turned) {
  Pose pose;
  if (turned.rad() != 0) {
    pose.rotation = Eigen::AngleAxisd(turned.rad(), choice.turn->axis).toRotationMatrix();
    pose.origin_mm = choice.turn->about_mm - pose.rotation * choice.turn->about_mm;
  }
  for (std::size_t i = 0; i < slid.size(); ++i) pose.origin_mm += slid[i].mm() * choice.slides[i].along;
  return pose;
}

bool as_written(const NeckPlace& place) {
  return place.turned.rad() == 0 &&
         std::all_of(place.slid.begin(), place.slid.end(), [](Length l) { return l.mm() == 0; });
}

}  // namespace

std::size_t count_of_places(const NeckChoice& choice) {
  std::size_t count = turns_of(choice).size();
  for (const NeckSlide& slide : choice.slides) {
    const double steps = (slide.to - slide.from).mm() / slide.step.mm();
    if (!(steps < 1e6)) return static_cast<std::size_t>(1e6);  // before a whole number overflows
    const Multiples k = multiples_of(slide);
    count *= static_cast<std::size_t>(k.last - k.first + 1);
  }
  return count;
}

std::vector<NeckPlace> places_of(const Neck& neck) {
  if (!neck.choice) return {NeckPlace{}};
  std::vector<NeckPlace> places;
  for (const Angle turned : turns_of(*neck.choice))
    for (const std::vector<Length>& slid : slides_of(*neck.choice)) {
      const Pose pose = moved(*neck.choice, slid, turned);
      const Vec3& end = neck.end_mm.value;
      places.push_back({slid, turned, pose, Length::mm((pose.point(end) - end).norm())});
    }
  const auto effort = [](const NeckPlace& p) {
    return std::tuple(!as_written(p), p.distance.mm(), std::abs(p.turned.rad()));
  };
  std::stable_sort(places.begin(), places.end(),
                   [&](const NeckPlace& a, const NeckPlace& b) { return effort(a) < effort(b); });
  return places;
}

}  // namespace hosefit
