// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>
#include <functional>

#include "solver/recheck/line_checks.h"
#include "tests/support/moulded_shapes.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

constexpr double kOver_mm = 28;

double degrees(double deg) {
  return Angle::deg(deg).rad();
}

std::vector<recheck::CurvePiece> curve_of(const Centreline& line) {
  std::vector<recheck::CurvePiece> out;
  for (const Piece& piece : line.pieces) {
    if (const auto* arc = std::get_if<Arc>(&piece))
      out.push_back(recheck::ArcPiece{arc->start_mm, arc->centre_mm, arc->normal, arc->angle_rad});
    else
      out.push_back(
          recheck::StraightPiece{std::get<Straight>(piece).from_mm, std::get<Straight>(piece).to_mm});
  }
  return out;
}

// A shape as the recheck reads it, and a line cut from it.
struct Cut {
  recheck::Stock stock;
  recheck::RecordedLine line;
  recheck::Tube tube;

  Cut(const MouldedShape& shape, const Sprung& s) {
    stock.id = "moulded 38";
    stock.make = "moulded_shape";
    stock.outside_mm = 48;
    stock.bore_mm = 38;
    recheck::MouldedShape sold{shape.name, {}, {}, {}, {}};
    for (const Length l : shape.straights) sold.straights_mm.push_back(l.mm());
    for (const Length l : shape.radii) sold.radii_mm.push_back(l.mm());
    for (const Angle a : shape.angles) sold.angles_deg.push_back(a.deg());
    for (const Angle a : shape.turns) sold.turns_deg.push_back(a.deg());
    stock.shapes = {{"elbow", {90, 90}, {60}, {90}, {}}, sold};
    const Centreline laid_out = laid(shape, s);
    line.curve = curve_of(laid_out);
    line.engagement_from_mm = line.engagement_to_mm = kOver_mm;
    recheck::RecordedShape cut{shape.name, 0, 0, s.backwards};
    double at = 0;
    for (std::size_t i = 0; i < shape.radii.size(); ++i) {
      at += shape.straights[i].mm();
      if (i == s.first) cut.from_mm = at - kOver_mm - (s.backwards ? s.last_mm : s.first_mm);
      at += shape.radii[i].mm() * shape.angles[i].rad();
      if (i == s.first + s.bends - 1) cut.to_mm = at + kOver_mm + (s.backwards ? s.first_mm : s.last_mm);
    }
    line.pieces = {{stock.id, "moulded shape", length_mm(laid_out) + 2 * kOver_mm,
                    at + shape.straights.back().mm(), cut}};
  }
  recheck::RecordedPiece& piece() { return line.pieces[0]; }
  recheck::RecordedShape& cut() { return *line.pieces[0].shape; }
  recheck::MouldedShape& shape() { return stock.shapes[1]; }
  std::vector<recheck::Fault> faults() {
    tube.recorded = &line;
    tube.stock = &stock;
    tube.length_mm = recheck::length_mm(line.curve);
    return recheck::moulded_faults(tube);
  }
};

MouldedShape swan() {
  return shape_of("swan", {120, 140, 90, 130}, {60, 70, 80}, {45, 60, 90}, {30, -110});
}
Sprung taken() {
  return {1, 2, false, 60, 80, {degrees(2), degrees(-4)}, {degrees(3)}};
}

}  // namespace

TEST_CASE("the recheck finds nothing against random cuts of random shapes") {
  int held = 0, sprung_out = 0;
  for (std::uint64_t task = 0; task < 300; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{71}, task);
    const MouldedShape shape = random_shape(dice, "shape", 1, 6);
    Sprung s = random_spring(dice, shape, task % 3 == 0 ? 6 : 5, 0);
    double before = shape.straights[s.first].mm(), behind = shape.straights[s.first + s.bends].mm();
    if (s.backwards) std::swap(before, behind);
    s.first_mm = dice.between(1, before - kOver_mm);
    s.last_mm = dice.between(1, behind - kOver_mm);
    if (before < kOver_mm + 2 || behind < kOver_mm + 2) continue;
    double most = 0;
    for (const double by : s.bend_rad) most = std::max(most, std::abs(by));
    for (const double by : s.turn_rad) most = std::max(most, std::abs(by));
    const bool fine = Cut(shape, s).faults().empty();
    CHECK(fine == (most <= degrees(5) + 1e-6));
    (fine ? held : sprung_out) += 1;
  }
  CHECK(held > 100);
  CHECK(sprung_out > 10);
}

TEST_CASE("every figure of a moulded piece that is false is refuted with its sentence") {
  const std::vector<std::pair<std::string, std::function<void(Cut&)>>> ways{
      {"does not say which moulded shape", [](Cut& c) { c.piece().shape.reset(); }},
      {"is one piece of", [](Cut& c) { c.line.pieces.push_back(c.line.pieces[0]); }},
      {"is one piece of", [](Cut& c) { c.piece().stock = "another"; }},
      {"holds no shape goose", [](Cut& c) { c.cut().name = "goose"; }},
      {"has 1 bends, the line 2",
       [](Cut& c) {
         c.cut() = {"elbow", 5, 260, false};
       }},
      {"has 3 bends, the line 2", [](Cut& c) { c.cut().from_mm = 10; }},
      {"are not on the shape", [](Cut& c) { c.cut().to_mm = c.piece().bought_mm + 0.02; }},
      {"are not on the shape", [](Cut& c) { c.cut().from_mm = -0.02; }},
      {"are not on the shape", [](Cut& c) { std::swap(c.cut().from_mm, c.cut().to_mm); }},
      {"are not on the shape", [](Cut& c) { c.cut().from_mm = std::nan(""); }},
      {"goes through the bend of 45 deg", [](Cut& c) { c.cut().from_mm = 140; }},
      {"goes through the bend of 90 deg", [](Cut& c) { c.cut().to_mm -= 120; }},
      {"from its cut to bend 1 the shape is straight for", [](Cut& c) { c.cut().from_mm += 0.02; }},
      {"from the last bend to its cut the shape is straight for", [](Cut& c) { c.cut().to_mm -= 0.02; }},
      {"from the last bend to its cut", [](Cut& c) { c.line.engagement_to_mm += 0.02; }},
      {"the piece is cut to", [](Cut& c) { c.piece().cut_mm += 0.02; }},
      {"the piece is cut to", [](Cut& c) { c.piece().cut_mm = std::nan(""); }},
      {"mm long, the record says", [](Cut& c) { c.piece().bought_mm -= 0.02; }},
      {"that of the shape swan is", [](Cut& c) { c.shape().radii_mm[1] += 0.02; }},
      {"between bends 1 and 2 the shape is straight for", [](Cut& c) { c.shape().straights_mm[2] += 0.02; }},
      {"bend 1 is sprung by 5.001 deg", [](Cut& c) { c.shape().angles_deg[1] = 62 - 5.001; }},
      {"bend 2 is sprung by -5.001 deg", [](Cut& c) { c.shape().angles_deg[2] = 86 + 5.001; }},
      {"the plane of bend 2 is sprung by", [](Cut& c) { c.shape().turns_deg[1] = -107 + 5.001; }},
      {"the plane of bend 2 is sprung by", [](Cut& c) { c.shape().turns_deg[1] = 107; }},
      {"mm", [](Cut& c) { c.cut().reversed = true; }}};
  CHECK(Cut(swan(), taken()).faults().empty());
  for (const auto& [sentence, spoil] : ways) {
    CAPTURE(sentence);
    Cut cut(swan(), taken());
    spoil(cut);
    const std::vector<recheck::Fault> faults = cut.faults();
    std::string all;
    for (const recheck::Fault& fault : faults) {
      all += fault.text + "\n";
      CHECK_FALSE(fault.undecided);
    }
    INFO(all);
    CHECK(all.find(sentence) != std::string::npos);
  }
}
