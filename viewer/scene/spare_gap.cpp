// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/scene/spare_gap.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/geometry/closest.h"

namespace hosefit {
namespace {

constexpr double kStation_mm = 4.0;
constexpr double kHeld_mm = -0.05;  // the proof's tolerance

double outside_radius_mm(const Route& route, double s_mm) {
  double diameter_mm = route.sections.empty() ? 0.0 : route.sections.front().outside_diameter_mm;
  for (const RouteSection& section : route.sections)
    if (s_mm >= section.from_s_mm) diameter_mm = section.outside_diameter_mm;
  return diameter_mm / 2;
}

double distance_to_line_mm(const Route& other, const Vec3& p_mm) {
  double least_mm = std::numeric_limits<double>::infinity();
  double s_mm = 0;
  for (const Piece& piece : other.centreline.pieces) {
    const double radius_mm = outside_radius_mm(other, s_mm + length_mm(piece) / 2);
    least_mm = std::min(least_mm, (closest_on_piece(p_mm, piece) - p_mm).norm() - radius_mm);
    s_mm += length_mm(piece);
  }
  return least_mm;
}

bool grows_from(const PlacedNeck& neck, const ObstacleRef& ref) {
  return ref.body == neck.body &&
         std::find(neck.own_part.begin(), neck.own_part.end(), ref.obstacle) != neck.own_part.end();
}

class SpareMeter {
 public:
  SpareMeter(const Prepared& prepared, const Bay& bay, const CandidateResult& result, std::size_t at)
      : bay_(bay),
        result_(result),
        route_(result.routes[at]),
        gaps_(result.proof.lines[at].gaps),
        bodies_(bay, prepared.proofs()),
        length_mm_(length_mm(route_.centreline)) {
    const BayLine& line = bay.lines[route_.line];
    for (const Stock& stock : prepared.job().stock)
      if (stock.id == route_.stock) {
        lead_from_mm_ = least_lead_mm(stock, bay.necks[line.from].outside_diameter);
        lead_to_mm_ = least_lead_mm(stock, bay.necks[line.to].outside_diameter);
      }
  }

  double at(double s_mm) const {
    const Vec3 p_mm = point_at(route_.centreline, s_mm);
    const double radius_mm = outside_radius_mm(route_, s_mm);
    double least_mm = std::numeric_limits<double>::infinity();
    for (const GapRecord& gap : gaps_) least_mm = std::min(least_mm, spare_to(gap, p_mm, s_mm) - radius_mm);
    return least_mm;
  }

 private:
  double spare_to(const GapRecord& gap, const Vec3& p_mm, double s_mm) const {
    if (gap.ref) {
      const BayLine& line = bay_.lines[route_.line];
      const bool in_lead = (s_mm <= lead_from_mm_ && grows_from(bay_.necks[line.from], *gap.ref)) ||
                           (s_mm >= length_mm_ - lead_to_mm_ && grows_from(bay_.necks[line.to], *gap.ref));
      return in_lead ? std::numeric_limits<double>::infinity()
                     : bodies_.distance_mm(*gap.ref, p_mm) - gap.required_mm;
    }
    for (const Route& other : result_.routes)
      if (other.line != route_.line && bay_.lines[other.line].line.name == gap.other)
        return distance_to_line_mm(other, p_mm) - gap.required_mm;
    return std::numeric_limits<double>::infinity();  // the line against itself: told by its record only
  }

  const Bay& bay_;
  const CandidateResult& result_;
  const Route& route_;
  const std::vector<GapRecord>& gaps_;
  ProofBodies bodies_;
  double length_mm_;
  double lead_from_mm_ = 0, lead_to_mm_ = 0;
};

}  // namespace

SpareClass spare_class(double spare_mm) {
  if (spare_mm < kHeld_mm || std::isnan(spare_mm)) return SpareClass::below_required;
  if (spare_mm < 2) return SpareClass::under_2;
  if (spare_mm < 5) return SpareClass::under_5;
  if (spare_mm < 10) return SpareClass::under_10;
  return SpareClass::over_10;
}

std::string_view spare_words(SpareClass c, LengthUnit unit) {
  const bool mm = unit == LengthUnit::mm;
  switch (c) {
    case SpareClass::below_required:
      return "short of what is required";
    case SpareClass::under_2:
      return mm ? "0 to 2 mm spare" : "0 to 0.08 in spare";
    case SpareClass::under_5:
      return mm ? "2 to 5 mm spare" : "0.08 to 0.20 in spare";
    case SpareClass::under_10:
      return mm ? "5 to 10 mm spare" : "0.20 to 0.39 in spare";
    case SpareClass::over_10:
      return mm ? "over 10 mm spare" : "over 0.39 in spare";
    case SpareClass::not_proved:
      return "not proved";
  }
  return "";
}

Colour spare_colour(SpareClass c) {
  switch (c) {
    case SpareClass::below_required:
      return {0.835F, 0.369F, 0.0F};
    case SpareClass::under_2:
      return {0.902F, 0.624F, 0.0F};
    case SpareClass::under_5:
      return {0.941F, 0.894F, 0.259F};
    case SpareClass::under_10:
      return {0.337F, 0.706F, 0.914F};
    case SpareClass::over_10:
      return {0.0F, 0.447F, 0.698F};
    case SpareClass::not_proved:
      return {0.62F, 0.62F, 0.62F};
  }
  return {};
}

std::vector<SpareStation> spare_along(const Prepared& prepared, const Bay& bay, const CandidateResult& result,
                                      std::size_t at) {
  const Route& route = result.routes[at];
  const double length = length_mm(route.centreline);
  std::vector<double> places;
  const int steps = std::max(1, static_cast<int>(std::ceil(length / kStation_mm)));
  for (int i = 0; i <= steps; ++i) places.push_back(length * i / steps);
  for (const GapRecord& gap : result.proof.lines[at].gaps)
    if (gap.s_mm > 0 && gap.s_mm < length) places.push_back(gap.s_mm);
  std::sort(places.begin(), places.end());
  const SpareMeter meter(prepared, bay, result, at);
  std::vector<SpareStation> out;
  for (const double s_mm : places) out.push_back({s_mm, meter.at(s_mm)});
  return out;
}

}  // namespace hosefit
