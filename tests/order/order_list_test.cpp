// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/order/order_list.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <map>

#include "tests/support/sized_box_job.h"

using namespace hosefit;

namespace {

struct Sized {
  Job job;
  CandidateResult result;
  std::vector<CutSheet> sheets;
  OrderList list;
};

Sized sized(Job job, CandidateResult result) {
  Sized out{std::move(job), std::move(result), {}, {}};
  out.sheets = cut_sheets(out.job, out.result);
  out.list = order_list(out.job, out.result, out.sheets);
  return out;
}

Sized elbows_and_tube(Job job = box_job::sized()) {
  CandidateResult result = box_job::elbows_and_tube(job);
  return sized(std::move(job), std::move(result));
}

const OrderRow* row(const OrderList& list, ItemKind kind) {
  for (const OrderRow& r : list.rows)
    if (r.kind == kind) return &r;
  return nullptr;
}

// What a row is, without the order of the rows.
std::vector<std::string> told(const OrderList& list) {
  std::vector<std::string> out;
  for (const OrderRow& r : list.rows) {
    std::string text =
        std::string(word(r.kind)) + "|" + r.stock + "|" + (r.clamp ? std::string(r.clamp->code) : "");
    for (const double v :
         {r.bore.mm(), r.outside.mm(), r.length ? r.length->mm() : 0.0, r.turn ? r.turn->deg() : 0.0,
          r.price.value_or(-1), static_cast<double>(r.needed), static_cast<double>(r.spare)})
      text += "|" + std::to_string(v);
    for (const std::string& line : r.lines) text += "|" + line;
    out.push_back(text);
  }
  return out;
}

}  // namespace

TEST_CASE("cut hose, gaps at joiners and tube add up to the centreline and what is pushed on") {
  const Sized s = elbows_and_tube();
  for (const CutSheet& sheet : s.sheets) {
    REQUIRE(sheet.standing == Standing::order);
    double sum = 0;
    for (const CutPiece& piece : sheet.pieces)
      sum += piece.kind == PieceKind::joiner ? kJoinerGap_mm
             : piece.kind == PieceKind::tube ? piece.cut.mm() - 2 * 35
                                             : piece.cut.mm();
    const Route& route = *sheet.route;
    CHECK(sum == Approx(length_mm(route.centreline) + route.engagement_from_mm + route.engagement_to_mm));
    CHECK(sheet.pieces.front().from_s_mm == Approx(-route.engagement_from_mm));
    CHECK(sheet.pieces.back().to_s_mm == Approx(length_mm(route.centreline) + route.engagement_to_mm));
  }
}

TEST_CASE(
    "legs of an elbow are measured from the intersection point and the bend table makes the tube again") {
  const Sized s = elbows_and_tube();
  int elbows = 0;
  for (const CutPiece& piece : s.sheets[0].pieces) {
    if (piece.kind != PieceKind::elbow) continue;
    ++elbows;
    CHECK(piece.turn->deg() == Approx(90));
    // legs less both tangents plus the arc are the cut length: R = 47.5, 90 deg
    CHECK(piece.leg_from.mm() + piece.leg_to.mm() - 2 * 47.5 + 47.5 * 1.5707963 == Approx(piece.cut.mm()));
    CHECK(piece.leg_from <= piece.leg_as_sold + Length::mm(1e-9));
    CHECK(piece.leg_to <= piece.leg_as_sold + Length::mm(1e-9));
  }
  CHECK(elbows == 2);
  const CutSheet& tube = s.sheets[1];
  double developed = tube.bends.last_straight_mm;
  for (const BendRow& bend : tube.bends.rows) developed += bend.feed_mm + bend.bend_rad * bend.radius_mm;
  CHECK(tube.bends.rows.size() == 2);
  CHECK(developed == Approx(tube.pieces[1].cut.mm()));
  CHECK(Angle::rad(std::abs(tube.bends.rows[1].rotate_rad)).deg() == Approx(90));
  // points {0,0,0} {150,0,0} {150,200,0} {150,200,300}
  REQUIRE(tube.intersections_mm.size() == 4);
  CHECK((tube.intersections_mm[1] - Vec3(150, 0, 0)).norm() < 1e-6);
  CHECK((tube.intersections_mm[2] - Vec3(150, 200, 0)).norm() < 1e-6);
}

TEST_CASE("the list holds what the sheets hold, nothing more and nothing less") {
  const Sized s = elbows_and_tube();
  long clamps = 0, joiners = 0, elbows = 0;
  double straight_cuts = 0, tube = 0;
  for (const CutSheet& sheet : s.sheets) {
    for (const ClampPlace& place : sheet.clamps) clamps += place.count;
    for (const CutPiece& piece : sheet.pieces) {
      joiners += piece.kind == PieceKind::joiner ? 1 : 0;
      elbows += piece.kind == PieceKind::elbow ? 1 : 0;
      if (piece.kind == PieceKind::straight || piece.kind == PieceKind::coupler)
        straight_cuts += piece.cut.mm();
      if (piece.kind == PieceKind::tube) tube += piece.cut.mm();
    }
    CHECK(static_cast<long>(sheet.clamps.size()) == sheet.route->joints);
  }
  std::map<ItemKind, long> needed;
  double on_sticks = 0, bought = 0, tube_rows = 0;
  for (const OrderRow& r : s.list.rows) {
    needed[r.kind] += r.needed;
    if (r.kind == ItemKind::straight_hose) bought += static_cast<double>(r.needed) * r.length->mm();
    if (r.kind == ItemKind::tube) tube_rows += static_cast<double>(r.needed) * r.length->mm();
  }
  double sticks = 0;
  for (const StickRow& stick : s.list.sticks) {
    sticks += stick.length.mm();
    double taken = 0;
    for (const ShelfRow::Cut& cut : stick.cuts) taken += s.sheets[cut.line].pieces[cut.piece].cut.mm();
    CHECK(taken <= stick.length.mm());
    on_sticks += taken;
  }
  CHECK(needed[ItemKind::clamp] == clamps);
  CHECK(needed[ItemKind::joiner] == joiners);
  CHECK(needed[ItemKind::elbow] == elbows);
  CHECK(on_sticks == Approx(straight_cuts));
  CHECK(bought == Approx(sticks));
  CHECK(tube_rows == Approx(tube));
  CHECK(straight_cuts > 0);
  CHECK(joiners > 0);
}

TEST_CASE("every clamp covers the hose where it sits, and each size has its spare") {
  const Sized s = elbows_and_tube();
  for (const CutSheet& sheet : s.sheets)
    for (const ClampPlace& place : sheet.clamps) {
      REQUIRE(place.size);
      CHECK(covers(*place.size, place.installed_outside));
      const CutPiece& piece = sheet.pieces[place.piece];
      CHECK(place.lined == (piece.stock == "elbow 38"));
      CHECK((place.size->kind == ClampKind::lined_spring) == place.lined);
    }
  for (const OrderRow& r : s.list.rows) {
    const bool clamp = r.kind == ItemKind::clamp;
    CHECK(r.spare == (clamp ? std::max(1L, (r.needed + 9) / 10) : 0));  // one in ten, at least one
  }
}

TEST_CASE("lines in another order give the same list") {
  Job job = box_job::sized();
  job.vehicle.in_hand.hoses = {{"straight 38", Length::mm(160)},
                               {"elbow 38", Length::mm(102), Angle::deg(90)}};
  const Sized one = elbows_and_tube(job);
  std::swap(job.vehicle.lines[0], job.vehicle.lines[1]);
  CandidateResult turned = one.result;
  for (Route& route : turned.routes) route.line = 1 - route.line;
  for (LineProof& proof : turned.proof.lines) proof.line = 1 - proof.line;
  std::reverse(turned.routes.begin(), turned.routes.end());
  const Sized other = sized(job, turned);
  CHECK(told(one.list) == told(other.list));
  CHECK(one.list.known_price == Approx(other.list.known_price));
  for (std::size_t h = 0; h < 2; ++h) CHECK(one.list.shelf[h].use == other.list.shelf[h].use);
}

TEST_CASE("what is not proved is not in the list") {
  Sized s = elbows_and_tube();
  CHECK(s.list.order_now);
  const OrderRow* tube = row(s.list, ItemKind::tube);
  REQUIRE(tube != nullptr);

  CandidateResult half = s.result;
  half.proof.lines[1].proved = false;
  const Sized unproved = sized(s.job, half);
  CHECK(unproved.sheets[1].standing == Standing::not_proved);
  CHECK(unproved.list.lines_left_out == std::vector<std::string>{"lower"});
  CHECK(row(unproved.list, ItemKind::tube) == nullptr);
  CHECK_FALSE(unproved.list.order_now);

  CandidateResult stopped = s.result;  // proved gaps, but a rule stops the line
  Finding finding;
  finding.rule = RuleId::neck_match;
  finding.severity = Severity::stop;
  finding.subject = "lower";
  stopped.findings.push_back(finding);
  CHECK(sized(s.job, stopped).sheets[1].standing == Standing::not_proved);

  CandidateResult undecided = s.result;
  undecided.verdict.fit = Fit::undecided;
  const Sized whole = sized(s.job, undecided);
  CHECK(whole.sheets[0].standing == Standing::combination_stops);
  CHECK_FALSE(whole.list.order_now);

  CandidateResult missing = s.result;
  missing.routes.erase(missing.routes.begin());
  missing.proof.lines.erase(missing.proof.lines.begin());
  const Sized without = sized(s.job, missing);
  CHECK(without.sheets[0].standing == Standing::no_route);
  CHECK(without.sheets[0].pieces.empty());
  CHECK_FALSE(without.list.order_now);
}

TEST_CASE("an unknown price is told, never summed as nothing") {
  const Sized s = elbows_and_tube();
  int without = 0;
  double sum = 0;
  for (const OrderRow& r : s.list.rows) {
    if (r.kind == ItemKind::tube || r.kind == ItemKind::clamp || r.kind == ItemKind::joiner)
      CHECK_FALSE(r.price);
    without += r.price ? 0 : 1;
    sum += r.price.value_or(0);
  }
  CHECK(s.list.rows_without_price == without);
  CHECK(without >= 3);
  CHECK(s.list.known_price == Approx(sum));
  const OrderRow* elbow = row(s.list, ItemKind::elbow);
  REQUIRE(elbow != nullptr);
  CHECK(*elbow->price == Approx(16.0 * static_cast<double>(elbow->needed)));  // by the piece
  const OrderRow* straight = row(s.list, ItemKind::straight_hose);
  REQUIRE(straight != nullptr);
  CHECK(*straight->price == Approx(20.0 * static_cast<double>(straight->needed) * straight->length->metre()));
}

TEST_CASE("hose in hand takes the place of what would be bought") {
  Job job = box_job::sized();
  const Sized bare = elbows_and_tube(job);
  job.vehicle.in_hand.hoses = {{"elbow 38", Length::mm(102), Angle::deg(90)},
                               {"elbow 38", Length::mm(102), Angle::deg(45)},
                               {"straight 38", Length::mm(1000)}};
  const Sized helped = elbows_and_tube(job);
  CHECK(row(helped.list, ItemKind::elbow)->needed == row(bare.list, ItemKind::elbow)->needed - 1);
  CHECK(row(helped.list, ItemKind::straight_hose) == nullptr);
  CHECK(helped.list.shelf[0].use == HoseUse::trim);
  CHECK(helped.list.shelf[1].use == HoseUse::leave);
  CHECK(helped.list.shelf[2].use == HoseUse::trim);
}

TEST_CASE(
    "suction hose gets a coil, a long span clips, hose near exhaust a sleeve, a plain neck two clamps") {
  Job job = box_job::sized();
  job.vehicle.on_engine =
      box_job::body("on engine", Carrier::engine,
                    {box_job::box("header", {250 - 300, 100, -500}, {30, 30, 30}, Hazard::bare_exhaust)});
  for (Neck& neck : job.vehicle.necks) neck.bead = false;
  CandidateResult result = box_job::fitting({box_job::route_over(
      job, 1, "elbow 38", {{0, 0, 0}, {200, 0, 0}, {200, 250, 0}, {500, 250, 0}}, 47.5)});
  Finding suction;
  suction.rule = RuleId::suction_collapse;
  suction.subject = "lower";
  result.findings = {suction};
  ClipPlace on_header, on_nothing;
  on_header.s_mm = 210;
  on_header.outside_diameter_mm = 48;
  on_header.carrier = Carrier::engine;
  on_header.reach_mm = 12;
  const Bay bay = assemble(job, BodyStore(job), result.candidate);
  for (std::size_t b = 0; b < bay.bodies.size(); ++b)
    for (std::size_t o = 0; o < bay.bodies[b].body->obstacles.size(); ++o)
      if (bay.bodies[b].body->obstacles[o].name == "header") on_header.to = ObstacleRef{b, o};
  on_nothing.s_mm = 400;
  result.clips = {{on_header, on_nothing}};
  const Sized s = sized(job, result);
  const CutSheet& sheet = s.sheets[1];
  REQUIRE_FALSE(sheet.springs.empty());
  for (const Spring& spring : sheet.springs) {
    const CutPiece& piece = sheet.pieces[spring.piece];
    CHECK(spring.length.mm() == Approx((piece.cut - piece.push_from - piece.push_to).mm() - 10));
  }
  REQUIRE(sheet.clips.size() == 2);
  CHECK(sheet.clips[0].at_s == Length::mm(210));
  CHECK(sheet.clips[0].over == Length::mm(48));
  CHECK(sheet.clips[0].on == "header");
  CHECK(sheet.clips[0].carrier == Carrier::engine);
  CHECK(sheet.clips[0].off == Length::mm(12));
  CHECK(sheet.clips[1].on.empty());
  // The box spans x 220..280, y 70..130, z -30..30; the second leg runs along x = 200: 20 mm less half of 48
  // mm.
  REQUIRE(sheet.sleeves.size() == 1);
  CHECK(sheet.sleeves[0].gap.mm() == Approx(-4));
  CHECK(sheet.sleeves[0].from_s < sheet.sleeves[0].to_s);
  CHECK(row(s.list, ItemKind::sleeve) != nullptr);
  CHECK(std::count_if(sheet.clamps.begin(), sheet.clamps.end(),
                      [](const ClampPlace& p) { return p.count == 2; }) == 1);
}

TEST_CASE("cut lengths have the hose handbook's tolerance, straight hose only") {
  // Trade-association Hose Handbook IP-2 (2003), read second-hand.
  const auto tolerance = [](double mm, PieceKind kind) {
    return cut_tolerance(kind, Length::mm(mm), Length::mm(38));
  };
  CHECK(tolerance(305, PieceKind::straight).both_ways.mm() == 3.2);
  CHECK(tolerance(306, PieceKind::straight).both_ways.mm() == 4.8);
  CHECK(tolerance(900, PieceKind::straight).both_ways.mm() == 6.4);
  CHECK(tolerance(1200, PieceKind::straight).both_ways.mm() == 9.5);
  CHECK(tolerance(1800, PieceKind::straight).both_ways.mm() == 12.7);
  CHECK_FALSE(tolerance(300, PieceKind::straight).provenance.title.empty());
  CHECK(tolerance(300, PieceKind::corrugated).provenance.source == Source::common_practice);
  CHECK(tolerance(2000, PieceKind::straight).provenance.source == Source::common_practice);
  CHECK(cut_tolerance(PieceKind::straight, Length::mm(100), Length::mm(19.05)).squareness.mm() == 1.6);
  CHECK(tolerance(100, PieceKind::straight).squareness.mm() == 3.2);
}
