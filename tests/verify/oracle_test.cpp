// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <iostream>
#include <limits>
#include <optional>

#include "solver/verify/piece_measure.h"
#include "tests/support/rounds.h"
#include "tests/verify/plain_bay.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

// The distance that the oracle believes: closed forms as they are, triangles measured one by one with a
// winding number.
class SlowDistance {
 public:
  explicit SlowDistance(const Bay& bay) : bay_(bay) {
    for (const PlacedBody& body : bay.bodies) {
      meshes_.emplace_back();
      for (const Obstacle& o : body.body->obstacles)
        meshes_.back().push_back(has_closed_form(o.shape) ? TriangleMesh{} : tessellate(o.shape, 0.05));
    }
  }
  double at(ObstacleRef ref, const Vec3& p_mm) const {
    const Vec3 p = bay_.bodies[ref.body].pose.point_inverse(p_mm);
    const Obstacle& o = obstacle(bay_, ref);
    if (has_closed_form(o.shape)) return signed_distance_mm(o.shape, p);
    const TriangleMesh& mesh = meshes_[ref.body][ref.obstacle];
    return o.closed ? slow_signed_distance_mm(mesh, p) : slow_distance_mm(mesh, p);
  }
  double box_distance(ObstacleRef ref, const Vec3& p_mm) const {
    return bounds(obstacle(bay_, ref).shape).exteriorDistance(bay_.bodies[ref.body].pose.point_inverse(p_mm));
  }

 private:
  const Bay& bay_;
  std::vector<std::vector<TriangleMesh>> meshes_;
};

// Least spare gap of the hose's centreline (radius not taken off), sampled every 1 mm and, where it could
// still be the least, every 0.05 mm: at most 0.025 mm above the true least. The hose over the necks is part
// of it.
double slow_least_spare(const Bay& bay, const GapTable& gaps, const SlowDistance& slow, const Route& route,
                        double cap_mm = std::numeric_limits<double>::infinity()) {
  const Vec3 back = start_direction(route.centreline), on = end_direction(route.centreline);
  const double length = length_mm(route.centreline);
  const auto at = [&](double s) -> Vec3 {
    if (s < 0) return start_point(route.centreline) + s * back;
    if (s > length) return end_point(route.centreline) + (s - length) * on;
    return point_at(route.centreline, s);
  };
  double least = cap_mm;
  for (std::size_t b = 0; b < bay.bodies.size(); ++b) {
    for (std::size_t o = 0; o < bay.bodies[b].body->obstacles.size(); ++o) {
      const ObstacleRef ref{b, o};
      const double gap = required_gap(gaps, Runner::hose, bay.lines[route.line].carrier, obstacle(bay, ref),
                                      bay.bodies[b].body->carrier)
                             .gap.mm();
      const double from = -route.engagement_from_mm, to = length + route.engagement_to_mm;
      const auto spare = [&](double s) { return slow.at(ref, at(std::clamp(s, from, to))) - gap; };
      for (double s = from; s <= to + 1; s += 1) {
        if (slow.box_distance(ref, at(std::clamp(s, from, to))) - gap > least + 1) continue;
        const double here = spare(s);
        least = std::min(least, here);
        if (here > least + 0.5) continue;
        for (double fine = s - 0.5; fine <= s + 0.5; fine += 0.05) least = std::min(least, spare(fine));
      }
    }
  }
  return least;
}

// A quick look that throws out most random lines: less than 6 mm around one of a few points.
bool visibly_blocked(const Bay& bay, const GapTable& gaps, const SlowDistance& slow,
                     const Centreline& centreline) {
  for (double s = 0; s < length_mm(centreline); s += 20)
    for (std::size_t b = 0; b < bay.bodies.size(); ++b)
      for (std::size_t o = 0; o < bay.bodies[b].body->obstacles.size(); ++o) {
        const Vec3 p = point_at(centreline, s);
        const double far = 6 + required_gap(gaps, Runner::hose, LineCarrier::chassis, obstacle(bay, {b, o}),
                                            bay.bodies[b].body->carrier)
                                   .gap.mm();
        if (slow.box_distance({b, o}, p) < far && slow.at({b, o}, p) < far) return true;
      }
  return false;
}

struct RandomJob {
  PlainJob job;
  FilletChain chain;
};

// A random line of two bends in a random bay, its hose as thick as its passage allows but for 0.03 mm; empty
// when there is none.
std::optional<RandomJob> random_job(std::uint64_t task) {
  Dice dice(RunSeed{7}, task);
  RandomJob out;
  out.job.bay = random_bay(dice, 3, 3, 250);
  out.job.bay.known_space.push_back({Pose{}, Vec3::Constant(5000)});
  out.chain.points_mm = {random_point(dice, 250), random_point(dice, 250), random_point(dice, 250),
                         random_point(dice, 250)};
  out.chain.radii_mm = {dice.between(30, 60), dice.between(30, 60)};
  const auto centreline = centreline_of(out.chain);
  if (!centreline) return std::nullopt;
  out.job.add_line(*centreline);
  Route& route = out.job.routes[0];
  const SlowDistance slow(out.job.bay);
  if (visibly_blocked(out.job.bay, out.job.gaps, slow, *centreline)) return std::nullopt;
  const double least = slow_least_spare(out.job.bay, out.job.gaps, slow, route, 60);
  if (least < 6 || least >= 60) return std::nullopt;
  const double outside = 2 * (least - 0.03);
  route.sections[0].outside_diameter_mm = outside;
  out.job.stock[0].outside_diameter = Length::mm(outside);
  return out;
}

bool obstacles_clear(const LineProof& proof) {
  return find(proof, RuleId::gap) == nullptr;
}

}  // namespace

TEST_CASE("the distance of prepared bodies agrees with closed forms and with measuring every triangle") {
  for (std::uint64_t task = 0; task < 20; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{3}, task);
    const Bay bay = random_bay(dice, 3, 8, 300);
    const ProofBodies bodies(bay);
    const SlowDistance slow(bay);
    double worst = 0;
    for (std::size_t b = 0; b < bay.bodies.size(); ++b)
      for (std::size_t o = 0; o < bay.bodies[b].body->obstacles.size(); ++o)
        for (int i = 0; i < 60; ++i) {
          const AxisBox& box = bodies.box({b, o});
          const Vec3 p = i % 2 == 0
                             ? random_point(dice, 400)
                             : Vec3(box.center() + 0.5 * random_direction(dice).cwiseProduct(box.sizes()));
          worst = std::max(worst, std::abs(bodies.distance_mm({b, o}, p) - slow.at({b, o}, p)));
        }
    CHECK(worst < 1e-6);
  }
}

TEST_CASE("the proof agrees with dense sampling for thousands of pushed routes") {
  constexpr int kPushed = rounds(2000);
  int judged = 0, violating = 0, caught = 0, clear = 0, accepted = 0, in_band = 0;
  for (std::uint64_t task = 0; judged < kPushed; ++task) {
    if (task >= 4000) FAIL("too few passages");
    const std::optional<RandomJob> base = random_job(task);
    if (!base) continue;
    const ProofBodies bodies(base->job.bay);
    const SlowDistance slow(base->job.bay);
    Dice dice(RunSeed{11}, task);
    for (int k = 0; k < 40 && judged < kPushed; ++k) {
      PlainJob job = base->job;
      FilletChain pushed = base->chain;
      const double push_mm = 0.05 * std::pow(100.0, dice.unit());  // 0.05 to 5 mm
      for (Vec3& point : pushed.points_mm) point += push_mm * random_direction(dice);
      const auto centreline = centreline_of(pushed);
      if (!centreline) continue;
      Route& route = job.routes[0];
      job.set_centreline(*centreline, route.sections[0].outside_diameter_mm);
      job.bay.necks[0].end_mm = start_point(*centreline);
      job.bay.necks[0].outward = start_direction(*centreline);
      job.bay.necks[1].end_mm = end_point(*centreline);
      job.bay.necks[1].outward = -end_direction(*centreline);
      const double spare =
          slow_least_spare(job.bay, job.gaps, slow, route, route.sections[0].outside_diameter_mm / 2 + 1) -
          route.sections[0].outside_diameter_mm / 2;
      const bool refused =
          !obstacles_clear(prove(job.bay, bodies, job.routes, job.gaps, job.stock, {}).lines[0]);
      ++judged;
      CAPTURE(task, k, push_mm, spare);
      if (spare < -0.05) {
        ++violating;
        caught += refused;
        CHECK(refused);
      } else if (spare > 0.025) {
        ++clear;
        accepted += !refused;
        CHECK_FALSE(refused);
      } else {
        ++in_band;
      }
    }
  }
  std::cout << "pushed routes judged: " << judged << "; violating " << violating << ", caught " << caught
            << "; clear " << clear << ", accepted " << accepted << "; within the tolerance band " << in_band
            << '\n';
  CHECK(violating > kPushed / 7);
  CHECK(clear > kPushed / 7);
}

TEST_CASE("found and proved gaps enclose the true least gap") {
  int records = 0;
  for (std::uint64_t task = 0; task < 250; ++task) {
    const std::optional<RandomJob> random = random_job(task);
    if (!random) continue;
    CAPTURE(task);
    const LineProof proof = random->job.proof();
    const SlowDistance slow(random->job.bay);
    const Route& route = random->job.routes[0];
    const double radius = route.sections[0].outside_diameter_mm / 2;
    for (const GapRecord& gap : proof.gaps) {
      double least = std::numeric_limits<double>::infinity();
      for (double s = 0; s <= length_mm(route.centreline); s += 0.5)
        least = std::min(least, slow.at(*gap.ref, point_at(route.centreline, s)) - radius);
      CHECK(gap.proved_mm <= least + 1e-9);
      CHECK(gap.found_mm >= gap.proved_mm);
      CHECK(gap.found_mm - gap.proved_mm <=
            std::max(0.05, 0.1 * std::abs(gap.found_mm - gap.required_mm)) + 1e-9);
      ++records;
    }
    for (std::size_t i = 1; i < proof.gaps.size(); ++i)
      CHECK(proof.gaps[i - 1].found_mm - proof.gaps[i - 1].required_mm <=
            proof.gaps[i].found_mm - proof.gaps[i].required_mm);
  }
  CHECK(records > 30);
}

TEST_CASE("a wider hose never has more clearance") {
  int compared = 0;
  for (std::uint64_t task = 0; task < 250; ++task) {
    std::optional<RandomJob> random = random_job(task);
    if (!random) continue;
    CAPTURE(task);
    const LineProof thin = random->job.proof();
    random->job.routes[0].sections[0].outside_diameter_mm += 1.0;
    const LineProof wide = random->job.proof();
    REQUIRE(!thin.gaps.empty());
    CHECK(wide.gaps.front().proved_mm <= thin.gaps.front().found_mm);
    CHECK_FALSE(obstacles_clear(wide));  // 0.03 mm were spare
    ++compared;
  }
  CHECK(compared > 5);
}

TEST_CASE("moving the whole world changes nothing") {
  int compared = 0;
  for (std::uint64_t task = 0; task < 250; ++task) {
    std::optional<RandomJob> random = random_job(task);
    if (!random) continue;
    CAPTURE(task);
    const LineProof here = random->job.proof();
    Dice dice(RunSeed{5}, task);
    const Pose pose = random_pose(dice, 2000);
    PlainJob moved = random->job;
    for (PlacedBody& body : moved.bay.bodies) body.pose = pose * body.pose;
    for (PlacedNeck& neck : moved.bay.necks) {
      neck.end_mm = pose.point(neck.end_mm);
      neck.outward = pose.direction(neck.outward);
    }
    moved.bay.known_space[0].frame = pose;
    moved.routes[0].centreline = transformed(moved.routes[0].centreline, pose);
    const LineProof there = moved.proof();
    REQUIRE(there.gaps.size() == here.gaps.size());
    for (std::size_t i = 0; i < here.gaps.size(); ++i) {
      CHECK(there.gaps[i].other == here.gaps[i].other);
      CHECK(there.gaps[i].proved_mm <= here.gaps[i].found_mm + 1e-6);
      CHECK(here.gaps[i].proved_mm <= there.gaps[i].found_mm + 1e-6);
    }
    CHECK(obstacles_clear(there) == obstacles_clear(here));
    ++compared;
  }
  CHECK(compared > 5);
}

TEST_CASE("two bent lines have the least distance that dense sampling of both finds") {
  for (std::uint64_t task = 0; task < 40; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{9}, task);
    PlainJob job;
    while (job.routes.size() < 2) {
      const auto line =
          centreline_of({{random_point(dice, 200), random_point(dice, 200), random_point(dice, 200)}, {60}});
      if (line) job.add_line(*line);
    }
    double least = std::numeric_limits<double>::infinity();
    const Centreline& a = job.routes[0].centreline;
    const Centreline& b = job.routes[1].centreline;
    for (double s = -28; s <= length_mm(a) + 28; s += 1)
      for (double t = -28; t <= length_mm(b) + 28; t += 1) {
        const auto on = [](const Centreline& c, double at) -> Vec3 {
          if (at < 0) return start_point(c) + at * start_direction(c);
          return at > length_mm(c) ? Vec3(end_point(c) + (at - length_mm(c)) * end_direction(c))
                                   : point_at(c, at);
        };
        least = std::min(least, (on(a, s) - on(b, t)).norm());
      }
    const LineProof proof = job.proof();
    const double row = job.gaps.row(Runner::hose, Hazard::another_hose, true).at_rest.mm();
    const double spare = least - kHoseOutside_mm - row;
    if (spare > 45) continue;
    REQUIRE(proof.gaps.size() == 1);
    CHECK(proof.gaps[0].proved_mm <= least - kHoseOutside_mm + 1e-9);
    CHECK(proof.gaps[0].found_mm >= least - kHoseOutside_mm - 1.0);  // the samples are 1 mm apart on both
    CHECK(obstacles_clear(proof) == (proof.gaps[0].found_mm >= row));
    if (std::abs(spare) > 1) CHECK(obstacles_clear(proof) == (spare > 0));
  }
}

TEST_CASE("the box of a piece is tight and its nearest point beats every sample") {
  for (std::uint64_t task = 0; task < 300; ++task) {
    CAPTURE(task);
    Dice dice(RunSeed{13}, task);
    const Pose pose = random_pose(dice, 200);
    const Piece piece = transformed(
        Piece(Arc{Vec3(dice.between(20, 300), 0, 0), Vec3::Zero(), Vec3::UnitZ(), dice.between(0.01, 6.28)}),
        pose);
    const Vec3 p = random_point(dice, 400);
    AxisBox sampled;
    double least = std::numeric_limits<double>::infinity();
    for (int i = 0; i <= 2000; ++i) {
      const Vec3 q = point_at(piece, length_mm(piece) * i / 2000);
      sampled.extend(q);
      least = std::min(least, (p - q).norm());
    }
    const AxisBox box = bounds(piece);
    CHECK((box.min() - sampled.min()).maxCoeff() < 1e-9);
    CHECK((sampled.max() - box.max()).maxCoeff() < 1e-9);
    CHECK((sampled.min() - box.min()).maxCoeff() < 0.01);
    CHECK((box.max() - sampled.max()).maxCoeff() < 0.01);
    CHECK(distance_mm(piece, p) <= least + 1e-9);
    CHECK(distance_mm(piece, p) >= least - 0.5);
    CHECK((point_at(piece, nearest_s_mm(piece, p)) - nearest_point(piece, p)).norm() < 1e-9);
  }
}
