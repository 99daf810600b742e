// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/scene/tube_mesh.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace hosefit {
namespace {

constexpr int kSides = 18;
constexpr double kStep_mm = 4.0;         // as the stations, so that a class changes where it was measured
constexpr double kLeastTurn_rad = 0.11;  // between rings: with 60 mm radius 0.4 mm off the true bend
constexpr double kStripe_mm = 12.0;      // of a tube that is not proved
constexpr double kBandFrom_mm = 6.0, kBandWidth_mm = 13.0;  // clamp band behind the bead zone
constexpr double kBandStandsOut_mm = 2.0;
constexpr Point3f kBandColour{0.30F, 0.32F, 0.35F};

Point3f single(const Vec3& p) {
  return {static_cast<float>(p.x()), static_cast<float>(p.y()), static_cast<float>(p.z())};
}
Point3f single(const Colour& c) {
  return {c.r, c.g, c.b};
}

struct Ring {
  Vec3 at_mm, along;
  double radius_mm = 0;
};

class TubeBuilder {
 public:
  explicit TubeBuilder(TubeMesh& out) : out_(out) {}

  // A tube through rings that follow one another, closed by flat ends. colours[i] holds from ring i to i + 1.
  void add(const std::vector<Ring>& rings, const std::vector<Point3f>& colours) {
    if (rings.size() < 2) return;
    Vec3 side = any_perpendicular(rings.front().along);
    std::vector<Vec3> sides;
    for (const Ring& ring : rings) {
      side = (side - side.dot(ring.along) * ring.along).normalized();  // carried on by the least turn
      sides.push_back(side);
    }
    for (std::size_t i = 0; i + 1 < rings.size(); ++i) {
      const std::uint32_t a = circle(rings[i], sides[i], colours[i]);
      const std::uint32_t b = circle(rings[i + 1], sides[i + 1], colours[i]);
      join(a, b);
    }
    cap(rings.front(), sides.front(), -rings.front().along, colours.front());
    cap(rings.back(), sides.back(), rings.back().along, colours[rings.size() - 2]);
  }

 private:
  static Vec3 spoke(const Ring& ring, const Vec3& side, int k) {
    const double t = 2 * std::numbers::pi * k / kSides;
    return std::cos(t) * side + std::sin(t) * ring.along.cross(side);
  }
  std::uint32_t push(const Vec3& at_mm, const Vec3& normal, const Point3f& colour) {
    out_.vertices.push_back({single(at_mm), single(normal), colour});
    out_.box.extend(at_mm);
    return static_cast<std::uint32_t>(out_.vertices.size() - 1);
  }
  std::uint32_t circle(const Ring& ring, const Vec3& side, const Point3f& colour) {
    const auto first = static_cast<std::uint32_t>(out_.vertices.size());
    for (int k = 0; k < kSides; ++k) {
      const Vec3 out = spoke(ring, side, k);
      push(ring.at_mm + ring.radius_mm * out, out, colour);
    }
    return first;
  }
  void join(std::uint32_t a, std::uint32_t b) {
    for (std::uint32_t k = 0; k < kSides; ++k) {
      const std::uint32_t n = (k + 1) % kSides;
      out_.indices.insert(out_.indices.end(), {a + k, b + n, b + k, a + k, a + n, b + n});
    }
  }
  void cap(const Ring& ring, const Vec3& side, const Vec3& outward, const Point3f& colour) {
    const bool forward = outward.dot(ring.along) > 0;
    const std::uint32_t centre = push(ring.at_mm, outward, colour);
    for (int k = 0; k < kSides; ++k)
      push(ring.at_mm + ring.radius_mm * spoke(ring, side, k), outward, colour);
    for (std::uint32_t k = 0; k < kSides; ++k) {
      const std::uint32_t a = centre + 1 + k, b = centre + 1 + (k + 1) % kSides;
      out_.indices.insert(out_.indices.end(), {centre, forward ? a : b, forward ? b : a});
    }
  }

  TubeMesh& out_;
};

double radius_between(const Route& route, double from_mm, double to_mm) {
  const double middle = (from_mm + to_mm) / 2;
  for (const RouteSection& section : route.sections)
    if (middle >= section.from_s_mm && middle <= section.to_s_mm) return section.outside_diameter_mm / 2;
  return route.sections.empty() ? 5.0 : route.sections.back().outside_diameter_mm / 2;
}

std::vector<double> places_along(const Route& route) {
  const double length = length_mm(route.centreline);
  const int steps = std::max(1, static_cast<int>(std::ceil(length / kStep_mm)));
  std::vector<double> places;
  for (int i = 0; i <= steps; ++i) places.push_back(length * i / steps);
  for (const RouteSection& section : route.sections)
    places.push_back(std::clamp(section.from_s_mm, 0.0, length));
  std::sort(places.begin(), places.end());
  places.erase(std::unique(places.begin(), places.end(), [](double a, double b) { return b - a < 1e-6; }),
               places.end());
  return places;
}

// The lesser spare of the stations around a stretch, so that paint is never kinder than what was measured.
Point3f colour_between(const TubePaint& paint, double from_mm, double to_mm) {
  if (paint.stations.empty()) {
    const Colour grey = spare_colour(SpareClass::not_proved);
    const bool dark = static_cast<long>(std::floor(from_mm / kStripe_mm)) % 2 == 0;
    return single(dark ? Colour{0.66F * grey.r, 0.66F * grey.g, 0.66F * grey.b} : grey);
  }
  double least_mm = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < paint.stations.size(); ++i) {
    const bool before = i + 1 < paint.stations.size() && paint.stations[i + 1].s_mm < from_mm;
    const bool after = i > 0 && paint.stations[i - 1].s_mm > to_mm;
    if (!before && !after) least_mm = std::min(least_mm, paint.stations[i].spare_mm);
  }
  return single(spare_colour(spare_class(least_mm)));
}

// Rings only where the run turns, its colour or its diameter changes: seven panes of tubes are drawn at once.
void add_run(const Route& route, const TubePaint& paint, TubeBuilder& builder) {
  const std::vector<double> places = places_along(route);
  std::vector<Ring> rings;
  std::vector<Point3f> colours;
  for (std::size_t i = 0; i + 1 < places.size(); ++i) {
    const double radius_mm = radius_between(route, places[i], places[i + 1]);
    const Point3f colour = colour_between(paint, places[i], places[i + 1]);
    const Vec3 at = point_at(route.centreline, places[i]), along = direction_at(route.centreline, places[i]);
    const Vec3 next = direction_at(route.centreline, places[i + 1]);
    if (!rings.empty() &&
        radius_mm != rings.back().radius_mm) {  // a step in diameter: end this tube, begin another
      rings.push_back({at, along, rings.back().radius_mm});
      builder.add(rings, colours);
      rings.clear();
      colours.clear();
    }
    const bool needed =
        rings.empty() || colour != colours.back() || angle_between(rings.back().along, next) > kLeastTurn_rad;
    if (!needed) continue;
    rings.push_back({at, along, radius_mm});
    colours.push_back(colour);
  }
  rings.push_back({end_point(route.centreline), end_direction(route.centreline), rings.back().radius_mm});
  builder.add(rings, colours);
}

struct NeckEnd {
  Vec3 at_mm, back;  ///< unit, over the neck
  double engagement_mm = 0, radius_mm = 0;
};

void add_over_neck(const NeckEnd& end, const Point3f& colour, TubeBuilder& builder) {
  const auto ring = [&](double back_mm, double radius_mm) {
    return Ring{end.at_mm + back_mm * end.back, end.back, radius_mm};
  };
  builder.add({ring(0, end.radius_mm), ring(end.engagement_mm, end.radius_mm)}, {colour});
  const double band_mm = std::min(kBandWidth_mm, end.engagement_mm - kBandFrom_mm);
  if (band_mm <= 0) return;
  const double out_mm = end.radius_mm + kBandStandsOut_mm;
  builder.add({ring(kBandFrom_mm, out_mm), ring(kBandFrom_mm + band_mm, out_mm)}, {kBandColour});
}

}  // namespace

TubeMesh tube_mesh(const Route& route, const BayLine& line, const Bay& bay, const TubePaint& paint) {
  TubeMesh out;
  out.line = route.line;
  if (route.centreline.pieces.empty()) return out;
  TubeBuilder builder(out);
  add_run(route, paint, builder);
  const double length = length_mm(route.centreline);
  const NeckEnd from{start_point(route.centreline), -bay.necks[line.from].outward, route.engagement_from_mm,
                     radius_between(route, 0, 0)};
  const NeckEnd to{end_point(route.centreline), -bay.necks[line.to].outward, route.engagement_to_mm,
                   radius_between(route, length, length)};
  add_over_neck(from, colour_between(paint, 0, 0), builder);
  add_over_neck(to, colour_between(paint, length, length), builder);
  return out;
}

}  // namespace hosefit
