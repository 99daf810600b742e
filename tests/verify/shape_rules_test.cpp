// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/verify/shape_rules.h"

#include <catch2/catch.hpp>
#include <functional>

#include "tests/support/moulded_shapes.h"
#include "tests/verify/plain_bay.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

constexpr double kOver_mm = 28;

double degrees(double deg) {
  return Angle::deg(deg).rad();
}

// Three bends; the line takes the last two, sprung, and a little of the straight before them.
MouldedShape swan() {
  return shape_of("swan", {120, 140, 90, 130}, {60, 70, 80}, {45, 60, 90}, {30, -110});
}
Sprung taken(bool backwards = false) {
  return {1, 2, backwards, 60, 80, {degrees(2), degrees(-4)}, {degrees(3)}};
}

struct Moulded {
  PlainJob job;

  explicit Moulded(const Sprung& s = taken(), const MouldedShape& shape = swan()) {
    job.stock = {moulded_stock({shape_of("elbow", {90, 90}, {60}, {90}), shape})};
    job.stock[0].id = "hose";
    const Centreline line = laid(shape, s);
    job.add_line(line);
    Route& route = job.routes[0];
    route.make = Make::moulded_shape;
    StockPiece piece{"hose", "moulded shape", length_mm(line) + 2 * kOver_mm, whole_length(shape).mm(), {},
                     {}};
    ShapeCut cut{shape.name, 0, 0, s.backwards};
    double at = 0;
    for (std::size_t i = 0; i < shape.radii.size(); ++i) {
      at += shape.straights[i].mm();
      if (i == s.first) cut.from_mm = at;
      at += shape.radii[i].mm() * shape.angles[i].rad();
      if (i == s.first + s.bends - 1) cut.to_mm = at;
    }
    cut.from_mm -= kOver_mm + (s.backwards ? s.last_mm : s.first_mm);
    cut.to_mm += kOver_mm + (s.backwards ? s.first_mm : s.last_mm);
    piece.shape = cut;
    route.pieces = {piece};
  }
  ShapeCut& cut() { return *job.routes[0].pieces[0].shape; }
  StockPiece& piece() { return job.routes[0].pieces[0]; }
  MouldedShape& shape() { return job.stock[0].shapes[1]; }
};

bool refused_for(const LineProof& proof, RuleId rule, const std::string& reason) {
  return std::any_of(proof.findings.begin(), proof.findings.end(), [&](const Finding& f) {
    const auto said = f.parameters.find("reason");
    return f.rule == rule && f.severity == Severity::stop && said != f.parameters.end() &&
           said->second == reason;
  });
}

}  // namespace

TEST_CASE("a line cut from a moulded shape and sprung within what it gives is accepted, either way round") {
  for (const bool backwards : {false, true}) {
    const LineProof proof = Moulded(taken(backwards)).job.proof();
    for (const Finding& f : proof.findings)
      if (f.severity == Severity::stop) UNSCOPED_INFO(word(f.rule));
    CHECK(proof.proved);
  }
}

TEST_CASE("every way not to be cut from the shape that is named is refused by its reason") {
  struct Way {
    RuleId rule;
    std::string reason;
    std::function<void(Moulded&)> spoil;
  };
  const std::vector<Way> ways{
      {RuleId::no_stock, "not_cut_from_a_shape", [](Moulded& m) { m.piece().shape.reset(); }},
      {RuleId::no_stock, "not_cut_from_a_shape", [](Moulded& m) { m.job.routes[0].pieces.clear(); }},
      {RuleId::no_stock, "not_cut_from_a_shape", [](Moulded& m) { m.piece().stock = "another"; }},
      {RuleId::no_stock, "no_such_shape", [](Moulded& m) { m.cut().name = "goose"; }},
      {RuleId::no_stock, "bends_do_not_match_shape",
       [](Moulded& m) {
         m.cut().name = "elbow";
         m.cut().from_mm = 5;
         m.cut().to_mm = 260;
       }},
      {RuleId::no_stock, "bends_do_not_match_shape", [](Moulded& m) { m.cut().from_mm = 10; }},
      {RuleId::length_on_sale, "cut_off_the_shape",
       [](Moulded& m) { m.cut().to_mm = whole_length(m.shape()).mm() + 0.02; }},
      {RuleId::length_on_sale, "cut_off_the_shape", [](Moulded& m) { m.cut().from_mm = -0.02; }},
      {RuleId::length_on_sale, "cut_off_the_shape",
       [](Moulded& m) { std::swap(m.cut().from_mm, m.cut().to_mm); }},
      {RuleId::length_on_sale, "cut_off_the_shape", [](Moulded& m) { m.cut().from_mm = std::nan(""); }},
      {RuleId::length_on_sale, "bend_cut_through", [](Moulded& m) { m.cut().from_mm = 140; }},
      {RuleId::length_on_sale, "bend_cut_through", [](Moulded& m) { m.cut().to_mm -= 120; }},
      {RuleId::length_on_sale, "end_straight_is_not_the_cuts", [](Moulded& m) { m.cut().from_mm += 0.02; }},
      {RuleId::length_on_sale, "end_straight_is_not_the_cuts", [](Moulded& m) { m.cut().to_mm -= 0.02; }},
      {RuleId::length_on_sale, "end_straight_is_not_the_cuts",
       [](Moulded& m) { m.job.routes[0].engagement_to_mm += 0.02; }},
      {RuleId::length_on_sale, "cut_length_is_not_the_lines",
       [](Moulded& m) { m.piece().cut_length_mm += 0.02; }},
      {RuleId::length_on_sale, "whole_length_is_not_the_shapes",
       [](Moulded& m) { m.piece().bought_length_mm -= 0.02; }},
      {RuleId::bend_radius, "radius_is_not_the_shapes",
       [](Moulded& m) { m.shape().radii[1] = Length::mm(70.02); }},
      {RuleId::straight_between_bends, "straight_is_not_the_shapes",
       [](Moulded& m) { m.shape().straights[2] = Length::mm(90.02); }},
      {RuleId::bend_angle, "sprung_too_far",
       [](Moulded& m) { m.shape().angles[1] = Angle::deg(62 - 5.001); }},
      {RuleId::bend_angle, "sprung_too_far",
       [](Moulded& m) { m.shape().angles[2] = Angle::deg(86 + 5.001); }},
      {RuleId::bend_angle, "plane_sprung_too_far",
       [](Moulded& m) { m.shape().turns[1] = Angle::deg(-107 + 5.001); }},
      {RuleId::bend_angle, "plane_sprung_too_far",
       [](Moulded& m) { m.shape().turns[1] = Angle::deg(107); }},  // mirrored
  };
  for (const Way& way : ways) {
    CAPTURE(way.reason);
    Moulded m;
    way.spoil(m);
    const LineProof proof = m.job.proof();
    CHECK_FALSE(proof.proved);
    CHECK(refused_for(proof, way.rule, way.reason));
  }
  Moulded reversed;
  reversed.cut().reversed = true;
  CHECK_FALSE(reversed.job.proof().proved);
}

TEST_CASE("a bend is sprung by five degrees and by no more, its plane across the half turn too") {
  for (const auto& [by_deg, held] : {std::pair(5.0, true), {5.001, false}, {-5.0, true}, {-5.001, false}}) {
    CAPTURE(by_deg);
    Sprung s = taken();
    s.bend_rad = {degrees(by_deg), 0};
    s.turn_rad = {0};
    CHECK(Moulded(s).job.proof().proved == held);
    s.bend_rad = {0, 0};
    s.turn_rad = {degrees(by_deg)};
    MouldedShape flat = swan();
    flat.turns[1] = Angle::deg(by_deg > 0 ? 178 : -178);
    CHECK(Moulded(s, flat).job.proof().proved == held);
  }
}

TEST_CASE("random cuts of random shapes are accepted") {
  int held = 0;
  for (std::uint64_t task = 0; task < 60; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{61}, task);
    const MouldedShape shape = random_shape(dice, "shape");
    Sprung s = random_spring(dice, shape, 5, 0);
    double before = shape.straights[s.first].mm(), behind = shape.straights[s.first + s.bends].mm();
    if (s.backwards) std::swap(before, behind);
    s.first_mm = before - kOver_mm;
    s.last_mm = behind - kOver_mm;
    if (std::min(s.first_mm, s.last_mm) < 25) continue;
    Moulded m(s, shape);
    const LineProof proof = m.job.proof();
    for (const Finding& f : proof.findings)
      if (f.rule != RuleId::self_gap && f.severity == Severity::stop) FAIL_CHECK(word(f.rule));
    ++held;
  }
  CHECK(held > 40);
}
