// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <ctime>
#include <iostream>

#include "tests/verify/plain_bay.h"

using namespace hosefit;
using namespace hosefit::test;

// Run with the tag [bench]; prints, asserts no time.
TEST_CASE("time and distance queries of a proof of a 600 mm line among 150 obstacles", "[.bench]") {
  PlainJob job;
  job.add_line(chain({Vec3(-250, -100, 0), Vec3(0, -100, 0), Vec3(0, 150, 60), Vec3(120, 250, 60)}, 80));
  Dice dice(RunSeed{31}, 0);
  const Centreline& line = job.routes[0].centreline;
  int meshes = 0;
  for (int placed = 0; placed < 150;) {
    const bool mesh = placed % 10 == 9;
    Shape shape = random_shape(dice, mesh ? 7 : dice.below(7), 300);
    if (mesh)
      shape =
          MeshShape{"ball.stl",
                    std::make_shared<const TriangleMesh>(bumpy_ball(dice, random_point(dice, 300), 40, 60))};
    Bay alone;
    alone.bodies.push_back(
        body_of("alone", Carrier::chassis, {obstacle_of("one", Hazard::smooth_metal, shape)}));
    const ProofBodies measured(alone);
    double least = 1e9;
    for (double s = 0; s < length_mm(line); s += 5)
      least = std::min(least, measured.distance_mm({0, 0}, point_at(line, s)));
    if (least < 35) continue;
    job.add_obstacle("obstacle " + std::to_string(placed++), shape);
    meshes += mesh;
  }
  const auto start = std::clock();
  const ProofBodies bodies(job.bay);
  const auto ready = std::clock();
  ProofReport report;
  constexpr int kRuns = 20;
  for (int i = 0; i < kRuns; ++i) report = prove(job.bay, bodies, job.routes, job.gaps, job.stock, {});
  const auto end = std::clock();
  const auto ms = [](auto d) { return 1e3 * static_cast<double>(d) / CLOCKS_PER_SEC; };
  const LineProof& proof = report.lines[0];
  std::cout << "line of " << length_mm(line) << " mm, 150 obstacles (" << meshes
            << " meshes of 14160 triangles); CPU: bodies " << ms(ready - start) << " ms, proof "
            << ms(end - ready) / kRuns << " ms, " << proof.distance_queries << " distance queries, "
            << proof.gaps.size() << " records, proved " << proof.proved << '\n';
  for (const Finding& f : proof.findings)
    std::cout << word(f.rule) << ' ' << f.other << ' ' << f.margin.value_or(0) << '\n';
  CHECK(proof.distance_queries > 0);
}
