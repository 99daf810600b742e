// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <algorithm>

#include "solver/verify/proof.h"
#include "tests/support/random_bay.h"

/// A bay with one line whose every rule holds, for tests that break one at a time. Gaps are those of
/// test_gaps: 4 mm for a hose along smooth metal on the same carrier.
namespace hosefit::test {

inline constexpr double kHoseOutside_mm = 48.0;
inline constexpr double kSmoothGap_mm = 4.0;

inline Stock plain_stock() {
  Stock stock;
  stock.id = "hose";
  stock.make = Make::straight_hose;
  stock.bore = Length::mm(38);
  stock.outside_diameter = Length::mm(kHoseOutside_mm);
  stock.wall = Length::mm(5);
  stock.radii = {Length::mm(80)};
  stock.most_bend = Angle::deg(150);
  stock.straight_between = Length::mm(20);
  return stock;
}

inline PlacedNeck plain_neck(std::string name, const Vec3& end, const Vec3& outward) {
  PlacedNeck neck;
  neck.name = std::move(name);
  neck.end_mm = end;
  neck.outward = outward;
  neck.outside_diameter = Length::mm(38);
  neck.bore = Length::mm(34);
  neck.straight = Length::mm(35);
  return neck;
}

/// A job of one or more lines between necks of body 0 ("chassis").
struct PlainJob {
  Bay bay;
  std::vector<Route> routes;
  std::vector<Stock> stock{plain_stock()};
  GapTable gaps = test_gaps();

  PlainJob() {
    bay.bodies.push_back(body_of("chassis", Carrier::chassis, {}));
    bay.known_space.push_back({Pose{}, Vec3::Constant(5000)});
  }
  void add_obstacle(std::string name, Shape shape, Hazard hazard = Hazard::smooth_metal) {
    Body body = *bay.bodies[0].body;
    body.obstacles.push_back(obstacle_of(std::move(name), hazard, std::move(shape)));
    bay.bodies[0].body = std::make_shared<const Body>(std::move(body));
  }
  void add_line(const Centreline& centreline, double outside_mm = kHoseOutside_mm) {
    const std::string name = "line " + std::to_string(routes.size());
    bay.necks.push_back(plain_neck(name + " from", start_point(centreline), start_direction(centreline)));
    bay.necks.push_back(plain_neck(name + " to", end_point(centreline), -end_direction(centreline)));
    BayLine line;
    line.line.name = name;
    line.line.duty = Duty::suction;
    line.line.makes = {Make::straight_hose};
    line.from = bay.necks.size() - 2;
    line.to = bay.necks.size() - 1;
    line.carrier = LineCarrier::chassis;
    bay.lines.push_back(line);
    Route route;
    route.line = routes.size();
    route.stock = "hose";
    route.engagement_from_mm = route.engagement_to_mm = 28;
    routes.push_back(route);
    set_centreline(centreline, outside_mm);
  }
  /// Of the last route, without moving the necks.
  void set_centreline(const Centreline& centreline, double outside_mm = kHoseOutside_mm) {
    routes.back().centreline = centreline;
    routes.back().sections = {{0, length_mm(centreline), outside_mm, Runner::hose}};
  }
  ProofReport prove_all() const { return prove(bay, ProofBodies(bay), routes, gaps, stock, {}); }
  LineProof proof() const { return prove_all().lines.front(); }
};

inline Centreline chain(std::vector<Vec3> points, double radius) {
  const std::vector<double> radii(points.size() - 2, radius);
  return *centreline_of({std::move(points), radii});
}
inline Centreline straight_run(double length = 400) {
  return chain({Vec3::Zero(), Vec3(length, 0, 0)}, 0);
}
/// Along X, round a bend of radius 100, along Y.
inline Centreline corner_run() {
  return chain({Vec3::Zero(), Vec3(250, 0, 0), Vec3(250, 250, 0)}, 100);
}

/// A plate whose lower face is at `z_mm`, over the whole run.
inline Shape plate_above(double z_mm) {
  return BoxShape{Pose::translation({200, 0, z_mm + 10}), {400, 200, 10}};
}

inline const Finding* find(const LineProof& proof, RuleId rule, Severity severity = Severity::stop) {
  const auto it = std::find_if(proof.findings.begin(), proof.findings.end(),
                               [&](const Finding& f) { return f.rule == rule && f.severity == severity; });
  return it == proof.findings.end() ? nullptr : &*it;
}

/// Refused for this rule and no other stop.
inline bool only_stop(const LineProof& proof, RuleId rule) {
  const auto other = [&](const Finding& f) { return f.severity == Severity::stop && f.rule != rule; };
  return !proof.proved && find(proof, rule) &&
         std::none_of(proof.findings.begin(), proof.findings.end(), other);
}

}  // namespace hosefit::test
