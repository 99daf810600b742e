// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/geometry/tape_network.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <iostream>

#include "solver/base/dice.h"
#include "solver/geometry/pose.h"

namespace hosefit {
namespace {

constexpr double kExact = 1e-3;  // accuracy of datums and tapes that are to be taken as exact

double normal(Dice& dice) {
  double sum = -6;
  for (int i = 0; i < 12; ++i) sum += dice.unit();
  return sum;
}

TapeReading tape(std::size_t datum, double reads_mm, double accuracy_mm, std::size_t point = 0) {
  return {TapeKind::distance, point, {true, datum}, reads_mm, accuracy_mm};
}

struct Bay {
  TapeNetwork net;
  Vec3 truth;
};

// A point among datums thrown by dice, measured from each with errors of the accuracies stated.
Bay thrown_bay(std::uint64_t task, std::size_t datums, double accuracy_mm, double datum_accuracy_mm) {
  Dice dice({7}, task);
  const auto point = [&] {
    return Vec3{dice.between(-500, 500), dice.between(-350, 350), dice.between(-250, 250)};
  };
  Bay bay{{}, 0.5 * point()};
  const Vec3 about = bay.truth + 60 * Vec3{normal(dice), normal(dice), normal(dice)}.normalized();
  bay.net.points.push_back({"neck", about});
  for (std::size_t i = 0; i < datums; ++i) {
    const Vec3 at = point();
    const Vec3 error = datum_accuracy_mm / 2 * Vec3{normal(dice), normal(dice), normal(dice)};
    bay.net.datums.push_back({"D" + std::to_string(i), at + error, datum_accuracy_mm});
    bay.net.readings.push_back(
        tape(i, (bay.truth - at).norm() + accuracy_mm / 2 * normal(dice), accuracy_mm));
  }
  return bay;
}

// Squares of the misfits of tapes at a place, each over its variance and its datum's, brought down by a plain
// search from there.
double least_squares_near(const TapeNetwork& net, Vec3 place) {
  const auto squares = [&](const Vec3& p) {
    double sum = 0;
    for (const TapeReading& r : net.readings) {
      const TapeDatum& datum = net.datums[r.to.index];
      const double sigma = std::hypot(r.accuracy_mm / 2, datum.accuracy_mm / 2);
      sum += std::pow((r.reads_mm - (p - datum.at_mm).norm()) / sigma, 2);
    }
    return sum;
  };
  for (double step = 8; step > 1e-4; step /= 2)
    for (bool better = true; better;) {
      better = false;
      for (const Vec3& way : {Vec3(1, 0, 0), Vec3(0, 1, 0), Vec3(0, 0, 1), Vec3(1, 1, 0), Vec3(1, 0, 1),
                              Vec3(0, 1, 1), Vec3(1, -1, 0), Vec3(1, 0, -1), Vec3(0, 1, -1)})
        for (const double sign : {1.0, -1.0})
          if (squares(place + sign * step * way) < squares(place)) {
            place += sign * step * way;
            better = true;
          }
    }
  return squares(place);
}

bool only(const TapeSolution& found, TapeFault fault) {
  return found.refusals.size() == 1 && found.refusals.front().fault == fault;
}

// Three datums in the plane z = 0 and a point 240 above it.
TapeNetwork tripod(double accuracy_mm) {
  TapeNetwork net;
  net.datums = {
      {"A", {0, 0, 0}, accuracy_mm}, {"B", {600, 0, 0}, accuracy_mm}, {"C", {100, 500, 0}, accuracy_mm}};
  net.points = {{"neck", Vec3(300, 200, 100)}};
  const Vec3 truth(250, 180, 240);
  for (std::size_t i = 0; i < 3; ++i)
    net.readings.push_back(tape(i, (truth - net.datums[i].at_mm).norm(), accuracy_mm));
  return net;
}

}  // namespace

TEST_CASE("three tapes give the place that three spheres share in closed form") {
  // Spheres about (0,0,0), (d,0,0), (i,j,0): x = (r1^2 - r2^2 + d^2) / 2d,
  // y = (r1^2 - r3^2 + i^2 + j^2) / 2j - x i / j, z^2 = r1^2 - x^2 - y^2 (elementary geometry).
  const double d = 640, i = 210, j = 455, r1 = 412, r2 = 470, r3 = 380;
  const double x = (r1 * r1 - r2 * r2 + d * d) / (2 * d);
  const double y = (r1 * r1 - r3 * r3 + i * i + j * j) / (2 * j) - x * i / j;
  const double z = std::sqrt(r1 * r1 - x * x - y * y);
  TapeNetwork net;
  net.datums = {{"A", {0, 0, 0}, 1}, {"B", {d, 0, 0}, 1}, {"C", {i, j, 0}, 1}};
  net.readings = {tape(0, r1, 3), tape(1, r2, 3), tape(2, r3, 3)};
  for (const double side : {1.0, -1.0}) {
    net.points = {{"neck", Vec3(300, 100, 150 * side)}};
    const TapeSolution found = solve(net);
    REQUIRE(found.refusals.empty());
    CHECK((found.places[0].at_mm - Vec3(x, y, side * z)).norm() < 1e-3);
    for (const TapeResidual& r : found.residuals) {
      CHECK(std::abs(r.off_mm) < 1e-6);
      CHECK(!r.studentised);  // three tapes check nothing
    }
  }
}

TEST_CASE("the distances of a published adjustment are fitted as a search without slopes fits them") {
  // Control stations and observed distances in feet: Ghilani, Adjustment Computations, chapter 14, example
  // 14.2. The place is not the book's but that of a plain search over the plane for the least sum of squares.
  const Vec3 stations[] = {{865.40, 4527.15, 0}, {2432.55, 2047.25, 0}, {2865.22, 27.15, 0}};
  const double observed[] = {6049.00, 4736.83, 5446.49};
  TapeNetwork net;
  net.points = {{"U", Vec3(6800, 3700, 0)}};
  for (std::size_t i = 0; i < 3; ++i) {
    net.datums.push_back({std::string(1, static_cast<char>('A' + i)), stations[i], 1e-4});
    net.readings.push_back(tape(i, observed[i], 0.5));
  }
  net.readings.push_back({TapeKind::drop, 0, {true, 0}, 0, 0.5});
  const auto squares = [&](const Vec3& p) {
    double sum = 0;
    for (std::size_t i = 0; i < 3; ++i) sum += std::pow(observed[i] - (p - stations[i]).norm(), 2);
    return sum;
  };
  Vec3 best(6800, 3700, 0);
  for (double step = 64; step > 1e-5; step /= 2)
    for (bool better = true; better;) {
      better = false;
      for (const Vec3& way : {Vec3(1, 0, 0), Vec3(-1, 0, 0), Vec3(0, 1, 0), Vec3(0, -1, 0)})
        if (squares(best + step * way) < squares(best)) {
          best += step * way;
          better = true;
        }
    }
  const TapeSolution found = solve(net);
  REQUIRE(found.refusals.empty());
  CHECK((found.places[0].at_mm - best).norm() < 0.002);
  for (std::size_t i = 0; i < 3; ++i)
    CHECK(found.residuals[i].off_mm == Approx(observed[i] - (best - stations[i]).norm()).margin(0.002));
}

TEST_CASE("the chi-square limits are those of the tables") {
  // Abramowitz and Stegun, table 26.8, Q = 0.001 (from memory).
  const std::pair<std::size_t, double> table[] = {{1, 10.828}, {2, 13.816},  {3, 16.266},
                                                  {5, 20.515}, {10, 29.588}, {30, 59.703}};
  for (const auto& [degrees, value] : table)
    CHECK(chi_square_limit(degrees) == Approx(value).epsilon(degrees == 1 ? 0.031 : 0.024));
}

TEST_CASE("moving the world moves the place with it") {
  for (std::uint64_t task = 0; task < 200; ++task) {
    CAPTURE(task);
    Bay bay = thrown_bay(task, 5, 3, 1);
    const TapeSolution before = solve(bay.net);
    Pose world;
    world.rotation = Eigen::AngleAxisd(1.1, Vec3(1, -2, 0.5).normalized()).toRotationMatrix();
    world.origin_mm = {300, -120, 90};
    for (TapeDatum& d : bay.net.datums) d.at_mm = world.point(d.at_mm);
    bay.net.points[0].near_mm = world.point(*bay.net.points[0].near_mm);
    const TapeSolution after = solve(bay.net);
    REQUIRE(after.refusals.size() == before.refusals.size());
    if (!before.refusals.empty()) {
      CHECK(after.refusals[0].fault == before.refusals[0].fault);
      continue;
    }
    CHECK((after.places[0].at_mm - world.point(before.places[0].at_mm)).norm() < 0.003);
    CHECK(after.places[0].accuracy_mm == Approx(before.places[0].accuracy_mm).epsilon(1e-5));
  }
}

// Where four tapes leave a long flat valley the fifth may cut it twice; then the other place is asked about,
// and it lies within three sigma of the first one (the accuracy told is two).
TEST_CASE("a further tape that reads what is found moves nothing and makes nothing worse") {
  int cut_twice = 0;
  for (std::uint64_t task = 0; task < 200; ++task) {
    CAPTURE(task);
    Bay bay = thrown_bay(task, 4, 3, 1);
    const TapeSolution before = solve(bay.net);
    if (!before.refusals.empty()) continue;
    const Vec3 datum(420, -310, 260);
    bay.net.datums.push_back({"further", datum, 1});
    bay.net.readings.push_back(tape(4, (before.places[0].at_mm - datum).norm(), 3));
    const TapeSolution after = solve(bay.net);
    if (!after.refusals.empty()) {
      REQUIRE(only(after, TapeFault::near_between));
      CHECK((after.refusals[0].places[1] - before.places[0].at_mm).norm() <=
            1.5 * before.places[0].accuracy_mm);
      ++cut_twice;
      continue;
    }
    CHECK((after.places[0].at_mm - before.places[0].at_mm).norm() < 0.003);
    CHECK(after.places[0].accuracy_mm <= before.places[0].accuracy_mm * (1 + 1e-5));
  }
  CHECK(cut_twice <= 2);
}

// Four tapes, the fourth from a datum a little off the plane of the others and read a little wrong. The image
// of the place in that plane is left open where it passes the test by itself, or where the readings speak
// less than twenty times more strongly for the place.
TEST_CASE("a mirror image is left open exactly as long as the readings do not exclude it") {
  const double limit = chi_square_limit(1);
  int by_the_test = 0, by_the_ratio = 0, excluded = 0;
  for (double off = 2; off <= 30; off += 2)
    for (double wrong = -21; wrong <= 21; wrong += 1.5) {
      CAPTURE(off);
      CAPTURE(wrong);
      TapeNetwork net = tripod(4);
      net.points[0].near_mm.reset();
      const Vec3 truth(250, 180, 240);
      net.datums.push_back({"D", {310, 230, off}, 4});
      net.readings.push_back(tape(3, (truth - net.datums[3].at_mm).norm() - wrong, 4));
      const double here = least_squares_near(net, truth);
      const double image = least_squares_near(net, {truth.x(), truth.y(), -truth.z()});
      const double best = std::min(here, image), other = std::max(here, image);
      if (best > limit) continue;
      const bool passes = other <= limit, alike = other <= best + kAlike;
      if (std::abs(other - limit) < 0.05 || std::abs(other - best - kAlike) < 0.05) continue;
      CHECK(only(solve(net), TapeFault::two_places) == (passes || alike));
      by_the_test += passes && !alike ? 1 : 0;
      by_the_ratio += alike && !passes ? 1 : 0;
      excluded += passes || alike ? 0 : 1;
    }
  CHECK(by_the_test > 5);
  CHECK(by_the_ratio > 5);
  CHECK(excluded > 5);
}

TEST_CASE("a rough place beside an image that the readings exclude is told, however near it is") {
  TapeNetwork net = tripod(2);
  const Vec3 truth(250, 180, 100);
  net.datums.push_back({"D", {310, 230, 30}, 2});
  net.readings.clear();
  for (std::size_t i = 0; i < net.datums.size(); ++i)
    net.readings.push_back(tape(i, (truth - net.datums[i].at_mm).norm(), 2));
  for (const double z : {-100.0, -60.0, 60.0, 140.0}) {  // 200 mm off at the most
    CAPTURE(z);
    net.points[0].near_mm = Vec3(250, 180, z);
    const TapeSolution found = solve(net);
    if (z > 0) CHECK(found.refusals.empty());
    if (z < 0) CHECK(only(found, TapeFault::near_excluded));
  }
}

// With six tapes, one of them 60 mm off, those left may be off in sum as far as chance lets them.
TEST_CASE("a tape without which the others agree is blamed, not all of them") {
  int told = 0;
  for (std::uint64_t task = 0; task < 400; ++task) {
    CAPTURE(task);
    Bay bay = thrown_bay(task, 6, 3, 1);
    bay.net.readings[2].reads_mm += 60;
    TapeNetwork rest = bay.net;
    rest.readings.erase(rest.readings.begin() + 2);
    const double left = least_squares_near(rest, bay.truth);
    if (left < kAlike + 0.1 || left > chi_square_limit(2) - 0.1) continue;
    const TapeSolution found = solve(bay.net);
    if (found.refusals.empty() || found.refusals[0].readings.empty()) continue;  // not seen, or no place
    CHECK(found.refusals[0].fault != TapeFault::no_agreement);
    ++told;
  }
  CHECK(told > 5);
}

TEST_CASE("the place is known as well as tapes and datums are") {
  double last = 0;
  for (const double accuracy : {0.5, 1.0, 2.0, 4.0}) {
    const TapeSolution found = solve(tripod(accuracy));
    REQUIRE(found.refusals.empty());
    CHECK(found.places[0].accuracy_mm > accuracy);  // the worst direction; three tapes do not average
    if (last > 0) CHECK(found.places[0].accuracy_mm == Approx(2 * last).epsilon(1e-6));
    last = found.places[0].accuracy_mm;
  }
  // A tape to each of three datums along the axes: each coordinate has the error of tape and datum alone.
  TapeNetwork square;
  square.datums = {{"A", {-400, 0, 0}, 3}, {"B", {0, -500, 0}, 3}, {"C", {0, 0, -300}, 3}};
  square.points = {{"neck", Vec3(10, 10, 10)}};
  square.readings = {tape(0, 400, 4), tape(1, 500, 4), tape(2, 300, 4)};
  const TapeSolution found = solve(square);
  REQUIRE(found.refusals.empty());
  CHECK(found.places[0].at_mm.norm() < 1e-3);
  CHECK(found.places[0].accuracy_mm == Approx(5).epsilon(1e-6));  // 3-4-5
}

TEST_CASE("the accuracy holds as often as it says, and sound tapes are seldom blamed") {
  std::size_t places = 0, blamed = 0, coordinates_within = 0;
  for (std::uint64_t task = 0; task < 4000; ++task) {
    const Bay bay = thrown_bay(task, 5, 3, 1);
    const TapeSolution found = solve(bay.net);
    if (!found.refusals.empty()) {
      const TapeFault fault = found.refusals[0].fault;
      blamed += fault == TapeFault::bad_reading || fault == TapeFault::bad_among ||
                fault == TapeFault::no_agreement;
      continue;
    }
    ++places;
    const Vec3 off = (found.places[0].at_mm - bay.truth).cwiseAbs();
    coordinates_within += static_cast<std::size_t>((off.array() <= found.places[0].accuracy_mm).count());
  }
  std::cout << "tape: of " << places << " places each coordinate lies within the accuracy told in "
            << 100.0 * static_cast<double>(coordinates_within) / static_cast<double>(3 * places)
            << " %; sound tapes blamed in " << blamed << " of 4000 bays\n";
  CHECK(places > 3200);
  // Two standard deviations in the worst direction hold 95.4 % of the errors of a normal law, more in others.
  CHECK(static_cast<double>(coordinates_within) > 0.954 * static_cast<double>(3 * places));
  CHECK(blamed < 40);
}

TEST_CASE("of five tapes the one that is 30 mm off is the one named") {
  std::size_t thrown = 0, named = 0, among = 0, wrong = 0, unseen = 0, should_show = 0, shown = 0;
  for (std::uint64_t task = 0; task < 4000; ++task) {
    Bay bay = thrown_bay(task, 5, 3, 1);
    const TapeSolution sound = solve(bay.net);
    if (!sound.refusals.empty()) continue;
    const std::size_t bad = task % 5;
    bay.net.readings[bad].reads_mm += task % 2 == 0 ? 30 : -30;
    const TapeSolution found = solve(bay.net);
    ++thrown;
    const bool promised = sound.residuals[bad].studentised && sound.residuals[bad].seen_from_mm <= 30;
    should_show += promised;
    if (found.refusals.empty()) {
      ++unseen;
      continue;
    }
    shown += promised;
    const TapeRefusal& refusal = found.refusals[0];
    const auto& list = refusal.readings;
    if (refusal.fault == TapeFault::bad_reading)
      (list.front() == bad ? named : wrong) += 1;
    else if (std::find(list.begin(), list.end(), bad) != list.end())
      ++among;
    else
      ++wrong;
  }
  const auto percent = [&](std::size_t n) {
    return 100.0 * static_cast<double>(n) / static_cast<double>(thrown);
  };
  std::cout << "tape: 30 mm off in one of five, " << thrown << " bays: named " << percent(named)
            << " %, among those named " << percent(among) << " %, another named " << percent(wrong)
            << " %, unseen " << percent(unseen) << " %; of " << should_show
            << " promised to show at 80 %, shown " << shown << "\n";
  CHECK(thrown > 3000);
  CHECK(percent(wrong) < 3);
  CHECK(percent(named) + percent(among) > 80);
  CHECK(static_cast<double>(shown) > 0.8 * static_cast<double>(should_show));
}

TEST_CASE("of four tapes one that is off is seen, and all that it may be are named") {
  TapeNetwork net = tripod(2);
  const Vec3 truth(250, 180, 240);
  net.datums.push_back({"D", {300, -100, 400}, 2});
  net.readings.push_back(tape(3, (truth - net.datums[3].at_mm).norm(), 2));
  REQUIRE(solve(net).refusals.empty());
  net.readings[3].reads_mm += 40;
  const TapeSolution found = solve(net);
  REQUIRE(only(found, TapeFault::bad_among));
  const std::vector<std::size_t>& suspects = found.refusals[0].readings;
  CHECK(suspects.size() >= 3);  // one tape to spare tells that one is wrong and no more
  CHECK(std::find(suspects.begin(), suspects.end(), std::size_t{3}) != suspects.end());
}

TEST_CASE("how large a slip must be to show is told, and smaller ones may not") {
  TapeNetwork net = tripod(2);
  net.datums.push_back({"D", {300, -100, 400}, 2});  // with A and C nearly in one plane through the point
  net.readings.push_back(tape(3, (Vec3(250, 180, 240) - net.datums[3].at_mm).norm(), 2));
  const TapeSolution sound = solve(net);
  REQUIRE(sound.refusals.empty());
  CHECK(sound.residuals[1].seen_from_mm > 40);
  net.readings[1].reads_mm += 40;
  CHECK(solve(net).refusals.empty());
}

namespace {

// A point whose x and y two tapes along the axes fix, and as many plumb drops as readings are given; what the
// drops stand on is exact.
TapeNetwork hung(const std::vector<double>& drops_mm, double accuracy_mm) {
  TapeNetwork net;
  net.datums = {{"A", {-400, 0, 100}, kExact}, {"B", {0, -500, 100}, kExact}};
  net.points = {{"neck", Vec3(5, 5, 100)}};
  net.readings = {tape(0, 400, accuracy_mm), tape(1, 500, accuracy_mm)};
  for (const double reads : drops_mm) {
    net.readings.push_back({TapeKind::drop, 0, {true, net.datums.size()}, reads, accuracy_mm});
    net.datums.push_back({"floor " + std::to_string(net.datums.size()), {0, 0, 0}, kExact});
  }
  return net;
}

}  // namespace

TEST_CASE("of two drops that check each other a slip shows from 4.13 sqrt(2) standard deviations on") {
  const TapeSolution found = solve(hung({100, 100}, 4));
  REQUIRE(found.refusals.empty());
  for (const std::size_t drop : {std::size_t{2}, std::size_t{3}}) {
    REQUIRE(found.residuals[drop].studentised);
    // Half of each is checked by the other; 4.13 after Baarda 1968, from memory.
    CHECK(found.residuals[drop].seen_from_mm == Approx(4.13 * 2 * std::sqrt(2.0)).epsilon(1e-4));
  }
  CHECK_FALSE(found.residuals[0].studentised);  // nothing checks a tape along X
}

TEST_CASE("drops none of which is far off are refused where together they scatter too much") {
  // Six drops, one height: five to spare; the 0.1 % limit of chi-square is 20.5 there. Each off by f standard
  // deviations, in turn up and down: 6 f^2, and f / sqrt(5 / 6) is below the 3.29 of a single one.
  const auto scattered = [](double sigmas) {
    std::vector<double> drops;
    for (int i = 0; i < 6; ++i) drops.push_back(100 + (i % 2 == 0 ? 1 : -1) * sigmas * 2);
    return solve(hung(drops, 4));
  };
  CHECK(scattered(1.8).refusals.empty());        // 19.4
  CHECK_FALSE(scattered(2.0).refusals.empty());  // 24; with a limit for eight to spare, 26.1, it would pass
}

TEST_CASE("a height between two points moves both as the normal equations of three equal readings say") {
  TapeNetwork net = hung({100}, 4);
  net.datums.push_back({"C", {-700, 0, 50}, kExact});
  net.datums.push_back({"D", {-300, -600, 50}, kExact});
  net.datums.push_back({"low floor", {0, 0, 0}, kExact});
  net.points.push_back({"far", Vec3(-295, 5, 50)});
  net.readings.push_back(tape(3, 400, 4, 1));
  net.readings.push_back(tape(4, 600, 4, 1));
  net.readings.push_back({TapeKind::drop, 1, {true, 5}, 50, 4});
  net.readings.push_back({TapeKind::drop, 0, {false, 1}, 53, 4});  // 3 more than 100 - 50
  const TapeSolution found = solve(net);
  REQUIRE(found.refusals.empty());
  // z0 = 100 + 3/3, z1 = 50 - 3/3.
  CHECK(found.places[0].at_mm.z() == Approx(101).margin(0.002));
  CHECK(found.places[1].at_mm.z() == Approx(49).margin(0.002));
}

TEST_CASE(
    "one drop of many that is off too far for itself is named with its slip, however well the rest agree") {
  std::vector<double> drops(20, 100);
  drops[7] += 3.2 * 2;
  CHECK(solve(hung(drops, 4)).refusals.empty());
  // 4 standard deviations: squares of 15 in all, and 19 to spare let 43.8 pass; one reading may have 3.29.
  drops[7] = 100 + 4 * 2;
  const TapeSolution found = solve(hung(drops, 4));
  REQUIRE(only(found, TapeFault::bad_reading));
  CHECK(found.refusals[0].readings == std::vector<std::size_t>{2 + 7});
  CHECK(found.residuals[2 + 7].slip_mm == Approx(8).margin(0.01));
}

TEST_CASE("a point hung from one that is barely known is known no better") {
  // Each drop alone is good enough; the second stands on the first.
  TapeNetwork net = hung({100}, 4);
  net.readings[2].accuracy_mm = 0.8 * kLoosest_mm;
  net.datums.push_back({"C", {-700, 0, 50}, kExact});
  net.datums.push_back({"D", {-300, -600, 50}, kExact});
  net.points.push_back({"far", Vec3(-295, 5, 50)});
  net.readings.push_back(tape(3, 400, 4, 1));
  net.readings.push_back(tape(4, 600, 4, 1));
  net.readings.push_back({TapeKind::drop, 0, {false, 1}, 50, 0.8 * kLoosest_mm});
  const TapeSolution found = solve(net);
  REQUIRE(only(found, TapeFault::not_fixed));
  CHECK(found.refusals[0].point == 1);
  CHECK(found.places[0].accuracy_mm == Approx(0.8 * kLoosest_mm).epsilon(1e-3));
  CHECK(found.places[1].accuracy_mm == Approx(0.8 * std::sqrt(2.0) * kLoosest_mm).epsilon(1e-3));
}

TEST_CASE("a point below another is found from the height that was measured down to it") {
  TapeNetwork net = hung({100}, 4);
  net.datums.push_back({"C", {-700, 0, -250}, kExact});
  net.datums.push_back({"D", {-300, -600, -250}, kExact});
  net.points.push_back({"low", Vec3(-295, 5, -240)});
  net.readings.push_back(tape(3, 400, 4, 1));
  net.readings.push_back(tape(4, 600, 4, 1));
  net.readings.push_back({TapeKind::drop, 0, {false, 1}, 350, 4});
  const TapeSolution found = solve(net);
  REQUIRE(found.refusals.empty());
  CHECK((found.places[1].at_mm - Vec3(-300, 0, -250)).norm() < 0.002);
}

TEST_CASE("two bad tapes among six are not laid to one") {
  Bay bay = thrown_bay(3, 7, 2, 1);
  REQUIRE(solve(bay.net).refusals.empty());
  bay.net.readings[1].reads_mm += 60;
  bay.net.readings[4].reads_mm -= 80;
  const TapeSolution found = solve(bay.net);
  CHECK(only(found, TapeFault::no_agreement));
}

TEST_CASE("datums in one line fix no place") {
  TapeNetwork net;
  net.points = {{"neck", Vec3(200, 150, 100)}};
  const Vec3 truth(220, 160, 120);
  for (std::size_t i = 0; i < 4; ++i) {
    net.datums.push_back({"D" + std::to_string(i), {200.0 * static_cast<double>(i), 10, 20}, 1});
    net.readings.push_back(tape(i, (truth - net.datums[i].at_mm).norm(), 2));
  }
  CHECK(only(solve(net), TapeFault::not_fixed));
}

TEST_CASE("a point in the plane of its datums is not fixed across it") {
  TapeNetwork net = tripod(2);
  const Vec3 truth(250, 180, 4);
  for (std::size_t i = 0; i < 3; ++i) net.readings[i].reads_mm = (truth - net.datums[i].at_mm).norm();
  const TapeSolution found = solve(net);
  REQUIRE(only(found, TapeFault::not_fixed));
  CHECK(std::abs(found.refusals[0].direction.z()) > 0.99);
  net.readings.push_back({TapeKind::drop, 0, {true, 0}, 4, 2});
  net.points[0].near_mm.reset();
  CHECK(solve(net).refusals.empty());  // a drop does that, and no rough place is wanted
}

TEST_CASE("of two mirror images the rough place chooses, and without one neither is taken") {
  TapeNetwork net = tripod(2);
  net.points[0].near_mm.reset();
  const TapeSolution open = solve(net);
  REQUIRE(only(open, TapeFault::two_places));
  CHECK(open.refusals[0].places[0].z() * open.refusals[0].places[1].z() < 0);
  net.points[0].near_mm = Vec3(300, 100, 5);
  CHECK(only(solve(net), TapeFault::near_between));
  net.points[0].near_mm = Vec3(300, 100, -300);
  const TapeSolution below = solve(net);
  REQUIRE(below.refusals.empty());
  CHECK(below.places[0].at_mm.z() == Approx(-240).margin(0.01));
}

TEST_CASE("a rough place on a side that the tapes exclude is refused") {
  TapeNetwork net = tripod(2);
  net.datums.push_back({"D", {300, -100, 300}, 2});
  net.readings.push_back(tape(3, (Vec3(250, 180, 240) - net.datums[3].at_mm).norm(), 2));
  net.points[0].near_mm.reset();
  REQUIRE(solve(net).refusals.empty());
  net.points[0].near_mm = Vec3(250, 180, -300);
  CHECK(only(solve(net), TapeFault::near_excluded));
}

TEST_CASE("distances that meet nowhere are told with how far they miss") {
  TapeNetwork net = tripod(2);
  for (TapeReading& r : net.readings) r.reads_mm = 200;
  const TapeSolution found = solve(net);
  REQUIRE(only(found, TapeFault::do_not_meet));
  CHECK(found.refusals[0].figure > 50);
}

TEST_CASE("points measured from points are solved with them, and rings that nothing holds are refused") {
  TapeNetwork net = tripod(kExact);
  const Vec3 neck(250, 180, 240), far(700, 400, 150);
  net.points.push_back({"far", Vec3(650, 420, 120)});
  const auto apart = [](const Vec3& a, const Vec3& b) { return (a - b).norm(); };
  net.readings.push_back({TapeKind::distance, 1, {false, 0}, apart(far, neck), kExact});
  net.readings.push_back(tape(1, apart(far, {600, 0, 0}), kExact, 1));
  net.readings.push_back({TapeKind::drop, 1, {true, 0}, 150, kExact});
  const TapeSolution found = solve(net);
  REQUIRE(found.refusals.empty());
  CHECK((found.places[0].at_mm - neck).norm() < 0.002);
  CHECK((found.places[1].at_mm - far).norm() < 0.002);

  TapeNetwork ring = net;
  ring.readings = {tape(0, 300, 2),
                   tape(1, 300, 2),  // two datums each, and each other
                   {TapeKind::distance, 0, {false, 1}, 400, 2},
                   tape(1, 300, 2, 1),
                   tape(2, 300, 2, 1)};
  const TapeSolution loose = solve(ring);
  REQUIRE(loose.refusals.size() == 2);
  for (const TapeRefusal& r : loose.refusals) CHECK(r.fault == TapeFault::too_few);
}

TEST_CASE("a diagonal makes both of its points better known") {
  TapeNetwork net = tripod(3);
  net.points.push_back({"far", Vec3(500, 380, 200)});
  const Vec3 neck(250, 180, 240), far(520, 400, 210);
  for (std::size_t i = 0; i < 3; ++i)
    net.readings.push_back(tape(i, (far - net.datums[i].at_mm).norm(), 3, 1));
  const TapeSolution apart = solve(net);
  net.readings.push_back({TapeKind::distance, 0, {false, 1}, (far - neck).norm(), 3});
  const TapeSolution joined = solve(net);
  REQUIRE(apart.refusals.empty());
  REQUIRE(joined.refusals.empty());
  for (std::size_t p = 0; p < 2; ++p) CHECK(joined.places[p].accuracy_mm < apart.places[p].accuracy_mm);
  net.readings.back().reads_mm += 60;
  CHECK(!solve(net).refusals.empty());
}

}  // namespace hosefit
