// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/spare_along.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>

#include "solver/verify/piece_measure.h"
#include "solver/verify/required_along.h"
#include "solver/verify/tube.h"

namespace hosefit {
namespace {

// Places measured along one stretch, both ends among them, evenly spaced.
struct Places {
  double from_s_mm = 0, step_mm = 0;
  std::vector<double> spare_mm;
};

Places places_on(const TubeStretch& stretch, const SpareOptions& options) {
  const double length = stretch.to_s_mm - stretch.from_s_mm;
  const auto steps = static_cast<std::size_t>(std::max(1.0, std::ceil(length / options.step_mm)));
  return {stretch.from_s_mm, length / static_cast<double>(steps),
          std::vector<double>(steps + 1, options.most_mm)};
}

// Lowers each place to what is measured there. A spare gap far above what matters cannot fall to it before
// as many mm along the line, so the places between are passed over.
void lower(Places& places, double most_mm, const std::function<double(double)>& spare_at) {
  for (std::size_t i = 0; i < places.spare_mm.size();) {
    double spare = spare_at(static_cast<double>(i) * places.step_mm);
    if (std::isnan(spare)) spare = -std::numeric_limits<double>::infinity();
    places.spare_mm[i] = std::min(places.spare_mm[i], spare);
    const double far_mm = spare - most_mm;
    i += far_mm > places.step_mm ? static_cast<std::size_t>(far_mm / places.step_mm) : 1;
  }
}

// What the measured line is measured against.
struct Obstacles {
  const Bay& bay;
  const ProofBodies& bodies;
  std::vector<std::pair<ObstacleRef, RequiredAlong>> all;

  Obstacles(const Bay& of, const ProofBodies& prepared, const GapTable& gaps, std::size_t line)
      : bay(of), bodies(prepared) {
    for (std::size_t b = 0; b < bay.bodies.size(); ++b)
      for (std::size_t o = 0; o < bay.bodies[b].body->obstacles.size(); ++o)
        all.emplace_back(ObstacleRef{b, o}, RequiredAlong(bay, gaps, line, {b, o}));
  }

  void lower_to(Places& places, const TubeStretch& stretch, double most_mm) const {
    for (const auto& [ref, required] : all) {
      const auto need = required.at(stretch);
      if (!need) continue;
      const double off_mm = stretch.radius_mm + need->gap_mm;
      if (box_distance_mm(stretch.box, bodies.box(ref)) - off_mm > most_mm) continue;
      const ObstacleRef past = ref;
      lower(places, most_mm,
            [&, past](double s) { return bodies.distance_mm(past, point_at(stretch.piece, s)) - off_mm; });
    }
  }
};

std::vector<SpareStretch> stretches_of(const Places& places, double never_below_mm) {
  std::vector<SpareStretch> out;
  for (std::size_t i = 0; i + 1 < places.spare_mm.size(); ++i) {
    const double a = places.spare_mm[i], b = places.spare_mm[i + 1];
    const double bound = std::min({a, b, (a + b - places.step_mm) / 2});
    const double from = places.from_s_mm + static_cast<double>(i) * places.step_mm;
    out.push_back({from, from + places.step_mm, std::max(bound, std::min(never_below_mm, std::min(a, b))),
                   std::min(a, b)});
  }
  return out;
}

double least_of(const LineProof* proof) {
  if (proof == nullptr) return -std::numeric_limits<double>::infinity();
  double least = ProofOptions::kRecorded_mm;
  for (const GapRecord& gap : proof->gaps) least = std::min(least, gap.found_mm - gap.required_mm);
  return least;
}

}  // namespace

std::vector<SpareStretch> spare_along(const Bay& bay, const ProofBodies& bodies,
                                      std::span<const Route> routes, std::size_t at, const GapTable& gaps,
                                      std::span<const Stock> stock, const LineProof* proof,
                                      const SpareOptions& options) {
  const Tube tube = tube_of(bay, routes[at], stock_of(routes[at], stock));
  std::vector<Tube> others;
  for (const Route& other : routes)
    if (other.line != tube.line) others.push_back(tube_of(bay, other, stock_of(other, stock)));
  const Obstacles obstacles(bay, bodies, gaps, tube.line);
  const double never_below_mm = least_of(proof);
  std::vector<SpareStretch> out;
  for (const TubeStretch& stretch : tube.stretches) {
    Places places = places_on(stretch, options);
    obstacles.lower_to(places, stretch, options.most_mm);
    for (const Tube& other : others)
      for (const TubeStretch& beside : other.stretches) {
        const OwnPart rule = between_on_tee(stretch.on_tee, beside.on_tee);
        if (rule == OwnPart::does_not_count) continue;
        const GapRow& row = row_between(bay, gaps, tube, stretch.runner, other, beside.runner);
        const double required_mm = rule == OwnPart::must_not_touch ? 0.0 : row.at_rest.mm();
        const double off_mm = stretch.radius_mm + beside.radius_mm + required_mm;
        if (box_distance_mm(stretch.box, beside.box) - off_mm > options.most_mm) continue;
        lower(places, options.most_mm,
              [&](double s) { return distance_mm(beside.piece, point_at(stretch.piece, s)) - off_mm; });
      }
    const std::vector<SpareStretch> more = stretches_of(places, never_below_mm);
    out.insert(out.end(), more.begin(), more.end());
  }
  return out;
}

}  // namespace hosefit
