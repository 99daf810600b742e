// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/connection.h"

#include <catch2/catch.hpp>
#include <fstream>
#include <sstream>

#include "tests/route/bays.h"

using namespace hosefit;
using namespace hosefit::test;

TEST_CASE("a connection is as long as the shortest arc, line, arc path") {
  std::ifstream file(HOSEFIT_TEST_DIR "/route/data/arc_line_arc.csv");  // its head names the source
  REQUIRE(file);
  std::string line;
  int rows = 0;
  while (std::getline(file, line)) {
    if (line.empty() || line[0] == '#' || line.rfind("name", 0) == 0) continue;
    std::stringstream cells(line);
    std::string name, cell;
    std::getline(cells, name, ',');
    std::vector<double> v;
    while (std::getline(cells, cell, ',')) v.push_back(std::stod(cell));
    REQUIRE(v.size() == 14);
    CAPTURE(name);
    const Heading from{Vec3(v[0], v[1], v[2]), Vec3(v[3], v[4], v[5])};
    const Heading to{Vec3(v[6], v[7], v[8]), Vec3(v[9], v[10], v[11])};
    const std::optional<Connection> c = shortest_connection(from, to, v[12]);
    REQUIRE(c);
    CHECK(c->length_mm == Approx(v[13]).epsilon(1e-3));
    ++rows;
  }
  CHECK(rows >= 60);
}

TEST_CASE("a connection's pieces are smooth and end on both headings") {
  int joined = 0;
  for (std::uint64_t task = 0; task < 200; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{5}, task);
    const Heading from{Vec3::Zero(), any_direction(dice)};
    const Heading to{dice.between(260, 700) * any_direction(dice), any_direction(dice)};
    const std::optional<Connection> c = shortest_connection(from, to, 60);
    // Headings that point back over 2.2 rad may need a bend beyond 180 deg, which is none of ours.
    const bool must_exist =
        angle_between(from.along, to.at_mm) < 2.2 && angle_between(to.at_mm, to.along) < 2.2;
    if (must_exist) REQUIRE(c);
    if (!c) continue;
    ++joined;
    const Centreline line = pieces_of(*c, from, to, 60);
    CHECK((start_point(line) - from.at_mm).norm() < 1e-6);
    CHECK((end_point(line) - to.at_mm).norm() < 1e-5);
    CHECK((start_direction(line) - from.along).norm() < 1e-6);
    CHECK((end_direction(line) - to.along).norm() < 1e-6);
    CHECK(length_mm(line) == Approx(c->length_mm));
    for (std::size_t i = 0; i + 1 < line.pieces.size(); ++i) {
      const Vec3 out = direction_at(line.pieces[i], length_mm(line.pieces[i]));
      CHECK((out - direction_at(line.pieces[i + 1], 0)).norm() < 1e-6);
    }
  }
  CHECK(joined > 180);
}

TEST_CASE("turning to face a point and going straight on reaches it") {
  for (std::uint64_t task = 0; task < 200; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{6}, task);
    const Heading from{Vec3::Zero(), any_direction(dice)};
    const Vec3 point = dice.between(130, 500) * any_direction(dice);
    const std::optional<Aim> aim = aim_at(from, point, 60);
    REQUIRE(aim);
    Heading faced = from;
    if (aim->bend_rad > 1e-9) {
      const Piece arc = arc_from(from, aim->inward, 60, aim->bend_rad);
      faced = {point_at(arc, length_mm(arc)), direction_at(arc, length_mm(arc))};
    }
    CHECK((faced.at_mm + aim->straight_mm * faced.along - point).norm() < 1e-6);
  }
}

TEST_CASE("one arc alone is a connection") {
  for (const double bend : {0.2, 1.0, 1.5, 2.6}) {
    CAPTURE(bend);
    const Piece arc = arc_from({Vec3(3, -2, 7), Vec3::UnitX()}, Vec3::UnitY(), 60, bend);
    const Heading from{point_at(arc, 0), direction_at(arc, 0)};
    const Heading to{point_at(arc, 60 * bend), direction_at(arc, 60 * bend)};
    const std::optional<Connection> c = connect(from, to, 60);
    REQUIRE(c);
    CHECK(c->length_mm == Approx(60 * bend));
    CHECK(c->first_bend_rad == Approx(bend));
    CHECK(c->second_bend_rad == Approx(0).margin(1e-9));
  }
}
