// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <algorithm>
#include <array>
#include <map>
#include <optional>

#include "solver/base/dice.h"
#include "solver/recheck/line_checks.h"
#include "solver/verify/mesh_distance.h"
#include "tests/recheck/recorded.h"

/// Routes that were proved, changed a little.
namespace hosefit::mutants {

// What is known of one vehicle's candidate by all three.
struct Case {
  const Recorded& recorded;
  std::string vehicle;
  std::size_t candidate;
  Bay bay;
  ProofBodies bodies;
  recheck::Job job;
  recheck::Record record;
  recheck::Bay second;
  std::map<std::pair<std::size_t, std::size_t>, std::shared_ptr<MeshDistance>> rails;

  Case(const Recorded& r, std::string name, std::size_t index)
      : recorded(r),
        vehicle(std::move(name)),
        candidate(index),
        bay(assemble(r.prepared->job(), r.prepared->bodies(), r.choice.candidates[index].candidate)),
        bodies(bay),
        job(r.job(vehicle)),
        record(r.record()) {
    std::vector<recheck::Fault> faults;
    const auto chosen = recheck::choose(job, record.candidates[index], faults);
    second = recheck::place(job, chosen, record.candidates[index], faults);
    REQUIRE(faults.empty());
    for (std::size_t b = 0; b < bay.bodies.size(); ++b)
      for (std::size_t o = 0; o < bay.bodies[b].body->obstacles.size(); ++o)
        if (const Shape& shape = bay.bodies[b].body->obstacles[o].shape; !has_closed_form(shape))
          rails[{b, o}] = std::make_shared<MeshDistance>(
              std::make_shared<const TriangleMesh>(tessellate(shape, 0.01)), MeshDistance::Inside::solid);
  }
  const CandidateResult& result() const { return recorded.choice.candidates[candidate]; }
  double distance_mm(ObstacleRef ref, const Vec3& p_mm) const {
    const Vec3 own = bay.bodies[ref.body].pose.point_inverse(p_mm);
    const auto rail = rails.find({ref.body, ref.obstacle});
    return rail == rails.end() ? signed_distance_mm(obstacle(bay, ref).shape, own)
                               : rail->second->signed_distance_mm(own);
  }
};

// Intersection points and radii of a route; empty when a bend is nearly half a turn.
inline std::optional<FilletChain> chain_of(const Centreline& centreline) {
  FilletChain chain;
  chain.points_mm.push_back(start_point(centreline));
  for (const Piece& piece : centreline.pieces) {
    const auto* arc = std::get_if<Arc>(&piece);
    if (arc == nullptr) continue;
    if (arc->angle_rad > 2.9) return std::nullopt;
    chain.points_mm.push_back(arc->start_mm +
                              arc->radius_mm() * std::tan(arc->angle_rad / 2) * direction_at(piece, 0));
    chain.radii_mm.push_back(arc->radius_mm());
  }
  chain.points_mm.push_back(end_point(centreline));
  return chain;
}

// Sections that fit the new length; a tube's couplers keep theirs.
inline void stretch_sections(Route& route) {
  const double length = length_mm(route.centreline);
  const double change = length - route.sections.back().to_s_mm;
  if (route.sections.size() == 3) {
    route.sections[1].to_s_mm += change;
    route.sections[2].from_s_mm += change;
  }
  route.sections.back().to_s_mm = length;
}

enum class Way { push, rotate, move_corner, tighten, shorten };
inline constexpr std::array kWays{Way::push, Way::rotate, Way::move_corner, Way::tighten, Way::shorten};
inline constexpr std::array kWayWords{"pushed", "rotated", "bent", "tightened", "shortened"};

inline Centreline turned_about(const Centreline& c, const Vec3& at, const Vec3& axis, double angle) {
  Pose pose;
  pose.rotation = Eigen::AngleAxisd(angle, axis).toRotationMatrix();
  pose.origin_mm = at - pose.rotation * at;
  return transformed(c, pose);
}

// The direction in which the distance to an obstacle falls fastest.
inline Vec3 towards(const Case& c, ObstacleRef ref, const Vec3& p) {
  Vec3 g;
  for (int k = 0; k < 3; ++k) {
    const Vec3 d = 1e-3 * Vec3::Unit(k);
    g[k] = c.distance_mm(ref, p + d) - c.distance_mm(ref, p - d);
  }
  return g.norm() > 0 ? Vec3(-g.normalized()) : Vec3(Vec3::UnitX());
}

inline std::optional<Route> mutant(const Case& c, const Route& route, const GapRecord& gap, Way way,
                                   double by_mm, Dice& dice) {
  Route out = route;
  const Vec3 to = towards(c, *gap.ref, gap.where_mm);
  const Centreline& old = route.centreline;
  switch (way) {
    case Way::push: {
      out.centreline = transformed(old, Pose::translation(by_mm * to));
      break;
    }
    case Way::rotate: {
      const Vec3 arm = gap.where_mm - start_point(old);
      const Vec3 axis = arm.cross(to);
      if (axis.norm() < 1) return std::nullopt;
      out.centreline = turned_about(old, start_point(old), axis.normalized(), by_mm / arm.norm());
      break;
    }
    case Way::move_corner: {
      auto chain = chain_of(old);
      if (!chain || chain->radii_mm.empty()) return std::nullopt;
      std::size_t nearest = 1;
      for (std::size_t i = 2; i + 1 < chain->points_mm.size(); ++i)
        if ((chain->points_mm[i] - gap.where_mm).norm() < (chain->points_mm[nearest] - gap.where_mm).norm())
          nearest = i;
      chain->points_mm[nearest] += by_mm * to;
      const auto made = centreline_of(*chain);
      if (!made) return std::nullopt;
      out.centreline = *made;
      break;
    }
    case Way::tighten: {
      auto chain = chain_of(old);
      if (!chain || chain->radii_mm.empty()) return std::nullopt;
      double& radius = chain->radii_mm[dice.below(chain->radii_mm.size())];
      if (radius - by_mm < 5) return std::nullopt;
      radius -= by_mm;
      const auto made = centreline_of(*chain);
      if (!made) return std::nullopt;
      out.centreline = *made;
      break;
    }
    case Way::shorten: {
      const double length = length_mm(old);
      if (length < by_mm + 10) return std::nullopt;
      out.centreline = part_of(old, 0, length - by_mm);
      break;
    }
  }
  stretch_sections(out);
  return out;
}

// A route as the recheck reads it.
inline recheck::RecordedLine as_recorded(recheck::RecordedLine line, const Route& route) {
  line.curve.clear();
  for (const Piece& piece : route.centreline.pieces) {
    if (const auto* s = std::get_if<Straight>(&piece))
      line.curve.push_back(recheck::StraightPiece{s->from_mm, s->to_mm});
    else
      line.curve.push_back(recheck::ArcPiece{std::get<Arc>(piece).start_mm, std::get<Arc>(piece).centre_mm,
                                             std::get<Arc>(piece).normal, std::get<Arc>(piece).angle_rad});
  }
  line.sections.clear();
  for (const RouteSection& s : route.sections)
    line.sections.push_back({s.from_s_mm, s.to_s_mm, s.outside_diameter_mm});
  return line;
}

}  // namespace hosefit::mutants
