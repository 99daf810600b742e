// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <cmath>
#include <vector>

#include "solver/order/order_list.h"
#include "solver/route/joints.h"
#include "tests/support/box_job.h"
#include "tests/support/bundled_clamps.h"

/// The bay of boxes with answers made by hand, so that lists are tested without any search.
namespace hosefit::box_job {

inline Stock elbow_stock() {
  Stock s = straight_hose();
  s.id = "elbow 38";
  s.make = Make::elbows_and_straights;
  s.description = "38 mm silicone elbow";
  s.radii = {Length::mm(47.5)};
  s.angles = {Angle::deg(45), Angle::deg(90)};
  s.most_bend = Angle::deg(90);
  s.leg = Length::mm(102);
  s.lengths = {};
  s.price = 16;
  return s;
}

inline Stock tube_stock() {
  Stock s = straight_hose();
  s.id = "tube 38";
  s.make = Make::bent_tube;
  s.description = "38 mm tube, EPDM couplers";
  s.outside_diameter = s.bore;
  s.wall = Length::mm(1.5);
  s.radii = {Length::mm(57)};
  s.cuff = Length::mm(35);
  s.coupler_outside = Length::mm(48);
  s.coupler_gap = Length::mm(12);
  s.lengths = {};
  return s;
}

/// Straight hose in EPDM with a price; elbow; tube.
inline Job sized() {
  Job job = make();
  job.stock[0].description = "38 mm straight hose, EPDM";
  job.stock[0].lengths = {Length::mm(300), Length::mm(600), Length::mm(900)};
  job.stock[0].price = 20;
  job.stock.push_back(elbow_stock());
  job.stock.push_back(tube_stock());
  job.clamps = test::bundled_clamps();
  return job;
}

/// A route over these points with one radius, put together as the stock asks for.
inline Route route_over(const Job& job, std::size_t line, const std::string& stock_id,
                        const std::vector<Vec3>& points, double radius_mm) {
  const auto stock =
      std::find_if(job.stock.begin(), job.stock.end(), [&](const Stock& s) { return s.id == stock_id; });
  FilletChain chain{points, std::vector<double>(points.size() - 2, radius_mm)};
  const Bay bay = assemble(job, BodyStore(job), {0, 0, 0, 0, 0, Length::mm(300)});
  const BayLine& wanted = bay.lines[line];
  Route route;
  route.line = line;
  route.make = stock->make;
  route.stock = stock_id;
  route.centreline = *centreline_of(chain);
  const Assembly assembly =
      assembly_of(*stock, bend_rules(*stock, bay.necks[wanted.from], bay.necks[wanted.to]), route.centreline);
  route.pieces = assembly.pieces;
  route.sections = assembly.sections;
  route.joints = assembly.joints;
  route.engagement_from_mm = assembly.engagement_from_mm;
  route.engagement_to_mm = assembly.engagement_to_mm;
  return route;
}

/// Routes as if proved, in a combination that fits.
inline CandidateResult fitting(std::vector<Route> routes) {
  CandidateResult result;
  result.candidate = {0, 0, 0, 0, 0, Length::mm(300)};
  result.verdict.fit = Fit::fits;
  result.lines_tried = true;
  for (const Route& route : routes) {
    LineProof proof;
    proof.line = route.line;
    proof.proved = true;
    result.proof.lines.push_back(proof);
  }
  result.routes = std::move(routes);
  return result;
}

/// Upper line of three elbows-in-a-chain, lower of bent tube.
inline CandidateResult elbows_and_tube(const Job& job) {
  return fitting(
      {route_over(job, 0, "elbow 38", {{0, 0, 0}, {200, 0, 0}, {200, 250, 0}, {500, 250, 0}}, 47.5),
       route_over(job, 1, "tube 38", {{0, 0, 0}, {150, 0, 0}, {150, 200, 0}, {150, 200, 300}}, 57)});
}

}  // namespace hosefit::box_job
