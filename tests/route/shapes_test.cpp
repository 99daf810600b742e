// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/route/shapes.h"

#include <catch2/catch.hpp>
#include <set>

#include "tests/route/bays.h"
#include "tests/support/moulded_shapes.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

constexpr double kLead = 24, kOver = 28;

ShapeEnds ends_between(const Heading& start, const Heading& goal) {
  return {start, goal, kLead, kLead, kOver, kOver};
}
ShapeEnds ends_of(const Centreline& line) {
  return ends_between({start_point(line), start_direction(line)}, {end_point(line), end_direction(line)});
}
std::vector<ShapeMatch> matches(const std::vector<MouldedShape>& shapes, const ShapeEnds& ends) {
  Work work(1'000'000, {});
  return shape_matches(ShapeTable(shapes), shapes, ends, work);
}

double bends_begin_mm(const MouldedShape& shape, std::size_t bend) {
  double s = 0;
  for (std::size_t i = 0; i < bend; ++i)
    s += shape.straights[i].mm() + shape.radii[i].mm() * shape.angles[i].rad();
  return s + shape.straights[bend].mm();
}

// Of the same run and way round as the spring.
bool is_run(const ShapeMatch& match, const MouldedShape& shape, const Sprung& s) {
  const double begin = bends_begin_mm(shape, s.first);
  const std::size_t last = s.first + s.bends - 1;
  const double end = bends_begin_mm(shape, last) + shape.radii[last].mm() * shape.angles[last].rad();
  return match.cut.reversed == s.backwards && match.bends == s.bends && match.cut.from_mm <= begin &&
         match.cut.from_mm >= begin - shape.straights[s.first].mm() - 1e-6 && match.cut.to_mm >= end &&
         match.cut.to_mm <= end + shape.straights[last + 1].mm() + 1e-6;
}

// By the bend table, against the lists of the shape; nothing of the search.
void check_made_of(const ShapeMatch& match, const MouldedShape& shape, const ShapeEnds& ends) {
  CHECK((start_point(match.centreline) - ends.start.at_mm).norm() < 1e-8);
  CHECK((end_point(match.centreline) - ends.goal.at_mm).norm() < 1e-8);
  CHECK((start_direction(match.centreline) - ends.start.along).norm() < 1e-8);
  CHECK((end_direction(match.centreline) - ends.goal.along).norm() < 1e-8);
  const BendTable table = bend_table(match.centreline);
  REQUIRE(table.rows.size() == match.bends);
  std::size_t first = 0;
  while (bends_begin_mm(shape, first) < match.cut.from_mm) ++first;
  const double gives = Angle::deg(5).rad() + 1e-9;
  for (std::size_t k = 0; k < table.rows.size(); ++k) {
    const std::size_t bend = match.cut.reversed ? first + match.bends - 1 - k : first + k;
    CHECK(table.rows[k].radius_mm == Approx(shape.radii[bend].mm()));
    CHECK(std::abs(table.rows[k].bend_rad - shape.angles[bend].rad()) <= gives);
    if (k == 0) continue;
    const std::size_t between = match.cut.reversed ? bend + 1 : bend;
    CHECK(table.rows[k].feed_mm == Approx(shape.straights[between].mm()).margin(1e-7));
    CHECK(std::abs(std::remainder(table.rows[k].rotate_rad - shape.turns[between - 1].rad(),
                                  2 * std::numbers::pi)) <= gives);
  }
  const double before = table.rows.front().feed_mm + kOver, behind = table.last_straight_mm + kOver;
  CHECK(table.rows.front().feed_mm >= kLead - 1e-9);
  CHECK(table.last_straight_mm >= kLead - 1e-9);
  const std::size_t last = first + match.bends - 1;
  const double begin = bends_begin_mm(shape, first);
  const double end = bends_begin_mm(shape, last) + shape.radii[last].mm() * shape.angles[last].rad();
  CHECK(begin - match.cut.from_mm == Approx(match.cut.reversed ? behind : before));
  CHECK(match.cut.to_mm - end == Approx(match.cut.reversed ? before : behind));
  CHECK(match.cut.from_mm >= -1e-9);
  CHECK(match.cut.to_mm <= whole_length(shape).mm() + 1e-9);
}

}  // namespace

TEST_CASE("one bend joins two necks square to each other where their lines meet, cut where they are") {
  const std::vector<MouldedShape> elbow{shape_of("elbow", {120, 150}, {50}, {90})};
  const double arc = 50 * std::numbers::pi / 2;
  // Straights of 60 and 70 mm besides the hose over the necks.
  const ShapeEnds ends = ends_between({{0, 0, 0}, Vec3::UnitX()}, {{110, 120, 0}, Vec3::UnitY()});
  const std::vector<ShapeMatch> found = matches(elbow, ends);
  REQUIRE(found.size() == 2);  // either way round
  for (const ShapeMatch& match : found) {
    check_made_of(match, elbow[0], ends);
    CHECK(match.sprung_rad < 1e-9);
    CHECK(match.length_mm == Approx(60 + arc + 70));
    CHECK(match.cut.from_mm == Approx(match.cut.reversed ? 120 - 98 : 120 - 88));
    CHECK(match.cut.to_mm == Approx(120 + arc + (match.cut.reversed ? 88 : 98)));
  }
  // 100 mm of the longer leg are left only the one way round; 130 mm of none.
  const auto one = matches(elbow, ends_between({{0, 0, 0}, Vec3::UnitX()}, {{110, 150, 0}, Vec3::UnitY()}));
  REQUIRE(one.size() == 1);
  CHECK_FALSE(one[0].cut.reversed);
  CHECK(matches(elbow, ends_between({{0, 0, 0}, Vec3::UnitX()}, {{110, 180, 0}, Vec3::UnitY()})).empty());
  // Less than the lead.
  CHECK(matches(elbow, ends_between({{0, 0, 0}, Vec3::UnitX()}, {{73, 120, 0}, Vec3::UnitY()})).empty());
  // Lines that pass each other at 1 mm.
  CHECK(matches(elbow, ends_between({{0, 0, 0}, Vec3::UnitX()}, {{110, 120, 1}, Vec3::UnitY()})).empty());
}

TEST_CASE("one bend gives five degrees either way and no more") {
  const std::vector<MouldedShape> elbow{shape_of("elbow", {200, 200}, {50}, {60})};
  for (const auto& [turn_deg, joins] :
       {std::pair(64.99, true), {65.01, false}, {55.01, true}, {54.99, false}}) {
    CAPTURE(turn_deg);
    const double turn = Angle::deg(turn_deg).rad(), tangent = 50 * std::tan(turn / 2);
    const Vec3 along(std::cos(turn), std::sin(turn), 0);
    const Vec3 goal = Vec3(80 + tangent, 0, 0) + (90 + tangent) * along;
    CHECK(matches(elbow, ends_between({Vec3::Zero(), Vec3::UnitX()}, {goal, along})).empty() != joins);
  }
}

TEST_CASE(
    "a U joins necks side by side, an offset necks that face each other aside, unsprung at their own width") {
  const std::vector<MouldedShape> u{shape_of("U", {150, 60, 150}, {50, 50}, {90, 90}, {0})};
  for (const Vec3& side : {Vec3(0, 1, 0), Vec3(0, 0.6, -0.8)}) {
    const ShapeEnds ends = ends_between({Vec3::Zero(), Vec3::UnitX()}, {160 * side, -Vec3::UnitX()});
    const auto found = matches(u, ends);
    REQUIRE(found.size() == 2);
    for (const ShapeMatch& match : found) {
      check_made_of(match, u[0], ends);
      CHECK(match.sprung_rad < 1e-6);
    }
  }
  // 250 mm apart: the bends would have to open by far more than they give.
  CHECK(matches(u, ends_between({Vec3::Zero(), Vec3::UnitX()}, {{0, 250, 0}, -Vec3::UnitX()})).empty());

  const std::vector<MouldedShape> offset{shape_of("offset", {150, 80, 150}, {60, 60}, {45, 45}, {180})};
  const double h = std::sqrt(0.5);
  const double aside = 2 * 60 * (1 - h) + 80 * h, ahead = 2 * 60 * h + 80 * h + 70 + 90;
  const ShapeEnds ends = ends_between({Vec3::Zero(), Vec3::UnitX()}, {{ahead, 0, -aside}, Vec3::UnitX()});
  const auto found = matches(offset, ends);
  REQUIRE(found.size() == 2);
  for (const ShapeMatch& match : found) {
    check_made_of(match, offset[0], ends);
    CHECK(match.sprung_rad < 1e-6);
  }
}

TEST_CASE("a hose cut from a shape anywhere and sprung is found again, among others") {
  int planted = 0, again = 0;
  for (std::uint64_t task = 0; task < 400; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{51}, task);
    std::vector<MouldedShape> shapes;
    for (int i = 0; i < 6; ++i) shapes.push_back(random_shape(dice, "shape " + std::to_string(i)));
    const MouldedShape& shape = shapes[dice.below(shapes.size())];
    const Sprung sprung = random_spring(dice, shape, 3.0, kLead + 1);
    if (shape.straights[sprung.first].mm() < kLead + kOver + 2 ||
        shape.straights[sprung.first + sprung.bends].mm() < kLead + kOver + 2)
      continue;
    Sprung cut = sprung;  // what goes over the necks is cut from the same straights
    double before = shape.straights[cut.first].mm(), behind = shape.straights[cut.first + cut.bends].mm();
    if (cut.backwards) std::swap(before, behind);
    cut.first_mm = std::min(cut.first_mm, before - kOver);
    cut.last_mm = std::min(cut.last_mm, behind - kOver);
    ++planted;
    const Centreline line = transformed(laid(shape, cut), any_pose(dice, 500));
    const ShapeEnds ends = ends_of(line);
    bool found = false;
    for (const ShapeMatch& match : matches(shapes, ends)) {
      check_made_of(match, shapes[match.shape], ends);
      found = found || (&shapes[match.shape] == &shape && is_run(match, shape, cut));
    }
    CHECK(found);
    again += found ? 1 : 0;
  }
  CHECK(planted > 300);
  CHECK(again == planted);
}

TEST_CASE("the quick rejection lets through every run that may be sprung to the ends") {
  int looked = 0;
  for (std::uint64_t task = 0; task < 4000; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{52}, task);
    const std::vector<MouldedShape> shapes{random_shape(dice, "shape", 1, 6)};
    Sprung sprung = random_spring(dice, shapes[0], 5.0, kLead);
    if (task % 4 == 0)  // at the corners of what it gives
      for (std::vector<double>* list : {&sprung.bend_rad, &sprung.turn_rad})
        for (double& by : *list) by = Angle::deg(by > 0 ? 5 : -5).rad();
    double before = shapes[0].straights[sprung.first].mm(),
           behind = shapes[0].straights[sprung.first + sprung.bends].mm();
    if (sprung.backwards) std::swap(before, behind);
    sprung.first_mm = dice.below(3) == 0 ? kLead : std::min(sprung.first_mm, before - kOver);
    sprung.last_mm = dice.below(3) == 0 ? kLead : std::min(sprung.last_mm, behind - kOver);
    if (sprung.first_mm < kLead || sprung.last_mm < kLead || before < kLead + kOver || behind < kLead + kOver)
      continue;
    ++looked;
    const ShapeEnds ends = ends_of(transformed(laid(shapes[0], sprung), any_pose(dice, 500)));
    const EndsInvariants wanted = invariants_of(ends);
    const ShapeTable table(shapes);
    for (const ShapeRun& run : table.runs())
      if (run.first == sprung.first && run.bends == sprung.bends)
        CHECK(may_join(run, wanted, ends, sprung.backwards));
  }
  CHECK(looked > 3000);
}

TEST_CASE("with the quick rejection the same shapes match as without") {
  int matched = 0;
  for (std::uint64_t task = 0; task < 12; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{53}, task);
    std::vector<MouldedShape> shapes;
    for (int i = 0; i < 300; ++i) shapes.push_back(random_shape(dice, "shape " + std::to_string(i)));
    const MouldedShape& shape = shapes[dice.below(shapes.size())];
    Sprung sprung = random_spring(dice, shape, 4, kLead);
    sprung.first_mm = sprung.last_mm = kLead;
    const ShapeEnds ends = ends_of(transformed(laid(shape, sprung), any_pose(dice, 500)));
    std::multiset<std::tuple<std::size_t, std::size_t, bool>> quick, plain;
    for (const ShapeMatch& match : matches(shapes, ends))
      quick.insert({match.shape, match.bends, match.cut.reversed});
    const ShapeTable table(shapes);
    for (const ShapeRun& run : table.runs())
      for (const bool backwards : {false, true})
        if (fit_chain(chain_of(shapes[run.shape], run.first, run.bends, backwards), ends))
          plain.insert({run.shape, run.bends, backwards});
    CHECK(quick == plain);
    matched += static_cast<int>(plain.size());
  }
  CHECK(matched >= 12);
}

TEST_CASE("what matches unsprung is what a grid of clockings finds") {
  int both = 0;
  for (std::uint64_t task = 0; task < 60; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{54}, task);
    std::vector<MouldedShape> shapes;
    for (int i = 0; i < 5; ++i) shapes.push_back(random_shape(dice, "shape " + std::to_string(i), 1, 3));
    const MouldedShape& shape = shapes[dice.below(shapes.size())];
    Sprung sprung = random_spring(dice, shape, 0, kLead);
    sprung.first_mm = sprung.last_mm = 30;
    const Centreline line = laid(shape, sprung);  // start at the origin along X
    const ShapeEnds ends = ends_of(line);
    // Every run, turned about X by degrees; the two cuts that come nearest, by least squares of two lines.
    std::set<std::tuple<std::size_t, std::size_t, std::size_t, bool>> near;
    for (std::size_t i = 0; i < shapes.size(); ++i)
      for (std::size_t first = 0; first < shapes[i].radii.size(); ++first)
        for (std::size_t n = 1; first + n <= shapes[i].radii.size(); ++n)
          for (const bool backwards : {false, true}) {
            Sprung as_moulded{first, n, backwards, 1.0, 1.0, std::vector<double>(n), std::vector<double>(n)};
            const Centreline inner = laid(shapes[i], as_moulded);
            for (int deg = 0; deg < 360; ++deg) {
              const Eigen::AngleAxisd clock(Angle::deg(deg).rad(), Vec3::UnitX());
              const Vec3 along = clock * end_direction(inner);
              if (angle_between(along, ends.goal.along) > Angle::deg(0.8).rad()) continue;
              const Vec3 left = ends.goal.at_mm - clock * end_point(inner);
              const double c = along.x(), x = left.x(), y = left.dot(along), det = 1 - c * c;
              const double t = det > 1e-6 ? (x - c * y) / det : x / 2,
                           u = det > 1e-6 ? (y - c * x) / det : y / 2;
              if ((left - t * Vec3::UnitX() - u * along).norm() < 4) near.insert({i, first, n, backwards});
            }
          }
    for (const ShapeMatch& match : matches(shapes, ends)) {
      if (match.sprung_rad > 1e-7) continue;
      std::size_t first = 0;
      while (bends_begin_mm(shapes[match.shape], first) < match.cut.from_mm) ++first;
      CHECK(near.count({match.shape, first, match.bends, match.cut.reversed}) == 1);
      ++both;
    }
  }
  CHECK(both >= 55);  // each bay's own at least, but where a leg is shorter than lead and neck
}

TEST_CASE("a mirrored shape is another shape unless it lies in one plane") {
  int twisted = 0;
  for (std::uint64_t task = 0; task < 200; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{55}, task);
    const bool flat = task % 2 == 0;
    MouldedShape shape = random_shape(dice, "shape", 2, 2);
    shape.straights.front() = shape.straights.back() = Length::mm(200);
    shape.turns[0] = flat ? Angle::deg(dice.below(2) * 180.0) : Angle::deg(dice.between(30, 150));
    const Sprung whole{0, 2, false, 60, 80, {0, 0}, {0}};
    const Centreline line = laid(shape, whole);
    const auto mirrored = [](Vec3 v) {
      v.z() = -v.z();
      return v;
    };
    const ShapeEnds ends = ends_between({mirrored(start_point(line)), mirrored(start_direction(line))},
                                        {mirrored(end_point(line)), mirrored(end_direction(line))});
    const auto found = matches({shape}, ends);
    const bool whole_found = std::any_of(found.begin(), found.end(),
                                         [](const ShapeMatch& m) { return m.bends == 2 && !m.cut.reversed; });
    CHECK(whole_found == flat);
    twisted += flat ? 0 : 1;
  }
  CHECK(twisted == 100);
}

TEST_CASE("from the other neck the same shapes are cut at the same places") {
  int matched = 0;
  for (std::uint64_t task = 0; task < 40; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{56}, task);
    std::vector<MouldedShape> shapes;
    for (int i = 0; i < 40; ++i) shapes.push_back(random_shape(dice, "shape " + std::to_string(i)));
    Sprung sprung = random_spring(dice, shapes[0], 2, kLead);
    sprung.first_mm = sprung.last_mm = kLead + 10;
    const Centreline line = laid(shapes[0], sprung);
    std::multiset<std::tuple<std::size_t, std::size_t, bool>> there, back;
    for (const ShapeMatch& m : matches(shapes, ends_of(line)))
      there.insert({m.shape, m.bends, m.cut.reversed});
    for (const ShapeMatch& m : matches(shapes, ends_of(reversed(line))))
      back.insert({m.shape, m.bends, !m.cut.reversed});
    CHECK(there == back);
    matched += static_cast<int>(there.size());
  }
  CHECK(matched > 30);
}

TEST_CASE("a line of a moulded shape is one piece with two clamps that keeps its gaps") {
  const std::vector<MouldedShape> shapes{shape_of("elbow", {150, 150}, {60}, {90}),
                                         shape_of("step", {120, 100, 140}, {60, 60}, {90, 90}, {90})};
  const Stock stock = moulded_stock(shapes);
  const Sprung sprung{0, 2, false, 50, 60, {0.02, -0.03}, {0.04}};
  const Centreline line = laid(shapes[1], sprung);
  const PlacedNeck from = neck("a", start_point(line), start_direction(line)),
                   to = neck("b", end_point(line), -end_direction(line));
  const Bay open = bay_of({box("far", {900, 900, 900}, {950, 950, 950})}, from, to, Make::moulded_shape);
  const LineSearch search = route_one(open, stock);
  REQUIRE(search.route);
  const Route& route = *search.route;
  CHECK(route.make == Make::moulded_shape);
  CHECK(route.joints == 2);
  REQUIRE(route.pieces.size() == 1);
  CHECK(route.pieces[0].what == "moulded shape");
  REQUIRE(route.pieces[0].shape);
  CHECK(route.pieces[0].shape->name == "step");
  CHECK(route.pieces[0].bought_length_mm == Approx(whole_length(shapes[1]).mm()));
  CHECK(route.pieces[0].cut_length_mm == Approx(length_mm(route.centreline) + 2 * kOver));

  // A ball beside it: kept off, or in the way and told.
  const Vec3 beside = point_at(route.centreline, length_mm(route.centreline) / 2);
  const Vec3 side = any_perpendicular(direction_at(route.centreline, length_mm(route.centreline) / 2));
  const Bay near =
      bay_of({solid("ball", SphereShape{beside + 70 * side, 30})}, from, to, Make::moulded_shape);
  const LineSearch kept = route_one(near, stock, 10);
  REQUIRE(kept.route);
  CHECK(brute_force_spare_mm(near, *kept.route, 10) > 0);
  const Bay blocked =
      bay_of({solid("ball", SphereShape{beside + 55 * side, 30})}, from, to, Make::moulded_shape);
  const LineSearch none = route_one(blocked, stock, 10);
  CHECK_FALSE(none.route);
  CHECK(none.outcome == SearchOutcome::budget_spent);
  REQUIRE(none.nearest_miss);
  CHECK(none.nearest_miss->obstacle == "ball");
}

TEST_CASE("where no shape reaches it is told, and nothing is ruled out") {
  const Stock stock = moulded_stock({shape_of("elbow", {150, 150}, {60}, {90})});
  const Bay bay = bay_of({box("far", {900, 900, 900}, {950, 950, 950})}, neck("a", {0, 0, 0}, {1, 0, 0}),
                         neck("b", {300, 20, 0}, {-1, 0, 0}), Make::moulded_shape);
  const LineSearch search = route_one(bay, stock);
  CHECK_FALSE(search.route);
  CHECK(search.outcome == SearchOutcome::budget_spent);
  REQUIRE(search.attempts.size() == 1);
  CHECK(search.attempts[0].breaks == "no_moulded_shape");
}

TEST_CASE("of shapes that are sprung alike the shortest with room is taken") {
  // Round the same corner at (170, 0, 0): the wide bend cuts it by 46 mm and is shorter, the tight one by 21
  // mm.
  const std::vector<MouldedShape> shapes{shape_of("tight", {200, 200}, {50}, {90}),
                                         shape_of("wide", {200, 200}, {110}, {90})};
  const PlacedNeck from = neck("a", {0, 0, 0}, {1, 0, 0}), to = neck("b", {170, 170, 0}, {0, -1, 0});
  const auto taken = [&](const Vec3& post) {
    const Bay bay =
        bay_of({solid("post", CapsuleShape{post, post + Vec3(0, 0, 1), 5})}, from, to, Make::moulded_shape);
    const LineSearch search = route_one(bay, moulded_stock(shapes), 6);
    REQUIRE(search.route);
    return search.route->pieces[0].shape->name;
  };
  CHECK(taken({500, 500, 0}) == "wide");
  CHECK(taken({116, 54, 0}) == "tight");
}
