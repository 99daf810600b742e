// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <numeric>

#include "solver/verify/mesh_distance.h"
#include "solver/verify/place_rules.h"
#include "solver/verify/scan_skin.h"
#include "tests/support/scan_mesh.h"
#include "tests/verify/plain_bay.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

// A line along X from 0 to 400 and one scan beside it.
struct ScanJob : PlainJob {
  explicit ScanJob(const Centreline& line = straight_run()) { add_line(line); }
  ScanJob& scan(TriangleMesh mesh, bool closed = false, SeenFrom seen_from = SeenFrom::front) {
    Body body = *bay.bodies[0].body;
    Obstacle o = obstacle_of("scan", Hazard::smooth_metal,
                             MeshShape{"scan.ply", std::make_shared<const TriangleMesh>(std::move(mesh))});
    o.closed = closed;
    o.seen_from = seen_from;
    body.obstacles.push_back(std::move(o));
    bay.bodies[0].body = std::make_shared<const Body>(std::move(body));
    return *this;
  }
};

double number(const Finding& finding, const char* key) {
  return std::stod(finding.parameters.at(key));
}

// The stretches of unseen space, all undecided and told with the scan's name.
std::vector<std::pair<double, double>> unseen(const LineProof& proof) {
  std::vector<std::pair<double, double>> out;
  for (const Finding& f : proof.findings) {
    if (f.rule != RuleId::unseen_space) continue;
    CHECK(f.undecided);
    CHECK(f.severity == Severity::stop);
    CHECK(f.other == "scan");
    CHECK(f.where_mm);
    out.emplace_back(number(f, "from_s_mm"), number(f, "to_s_mm"));
  }
  return out;
}

// A floor under the line, 40 mm below its middle; front up.
TriangleMesh floor_from(double x_low, double x_high, double z = -40) {
  TriangleMesh mesh;
  add_plate(mesh, {x_low, -500, z}, {x_high - x_low, 0, 0}, {0, 1000, 0}, 8);
  return mesh;
}

// A bay open at the top, seen from inside: 1000 long, 800 wide, 500 deep, in faces of 15 mm.
TriangleMesh open_bay() {
  TriangleMesh mesh = turned(small_faced_box({-300, -400, -300}, {700, 400, 200}, 15));
  std::erase_if(mesh.triangles, [&](const auto& t) { return middle_of(mesh, t).z() > 199; });
  return mesh;
}

ScanSkin skin_of(const TriangleMesh& mesh) {
  return ScanSkin(std::make_shared<const MeshDistance>(std::make_shared<const TriangleMesh>(mesh),
                                                       MeshDistance::Inside::empty));
}

}  // namespace

TEST_CASE("a line in front of a scanned floor and far from its edge is proved") {
  for (const double shake : {0.0, 1.5}) {
    const LineProof proof = ScanJob().scan(shaken(floor_from(-600, 1000), shake, 5)).proof();
    CHECK(proof.proved);
    CHECK(unseen(proof).empty());
  }
}

TEST_CASE("a line in a scanned bay is proved, noise and small holes notwithstanding") {
  for (std::uint64_t task = 0; task < 6; ++task) {
    CAPTURE(task);
    Dice dice({31}, task);
    TriangleMesh mesh = shaken(open_bay(), 1.0, task);
    for (int hole = 0; hole < 25; ++hole) {
      const auto t = mesh.triangles[dice.below(mesh.triangles.size())];
      mesh = with_hole(mesh, middle_of(mesh, t), dice.between(8, 22));
    }
    const double z = dice.between(-230, 60);
    const Vec3 from(dice.between(-200, -100), dice.between(-300, 300), z);
    const Vec3 to(dice.between(400, 600), dice.between(-300, 300), z);
    const LineProof proof = ScanJob(chain({from, to}, 0)).scan(mesh).proof();
    CHECK(unseen(proof).empty());
    CHECK(proof.proved);
  }
}

TEST_CASE("a line through a hole into a hollow block is never proved, and its inner part is named") {
  for (const bool closed : {false, true})
    for (const double hole : {45.0, 90.0, 140.0}) {
      CAPTURE(closed, hole);
      const TriangleMesh block =
          with_hole(small_faced_box({150, -150, -150}, {700, 150, 150}, 10), {150, 0, 0}, hole);
      const LineProof proof = ScanJob().scan(block, closed).proof();
      CHECK_FALSE(proof.proved);
      const auto parts = unseen(proof);
      REQUIRE_FALSE(parts.empty());
      CHECK(parts.front().first < 150);
      CHECK(parts.back().second >= 400);
    }
}

TEST_CASE("a line past the hole of a hollow block, well in front of it, is proved") {
  const TriangleMesh block =
      with_hole(small_faced_box({0, -100, -400}, {400, 100, -150}, 10), {200, 0, -150}, 30);
  const LineProof proof = ScanJob().scan(block).proof();
  CHECK(unseen(proof).empty());
  CHECK(proof.proved);
}

TEST_CASE("a line behind a scanned skin is undecided all along") {
  for (const double far : {-40.0, -150.0, -400.0}) {
    CAPTURE(far);
    const LineProof proof = ScanJob().scan(turned(floor_from(-600, 1000, far))).proof();
    CHECK(only_stop(proof, RuleId::unseen_space));
    const auto parts = unseen(proof);
    REQUIRE(parts.size() == 1);
    CHECK(parts[0].first <= 0);
    CHECK(parts[0].second >= 400);
    CHECK(find(proof, RuleId::unseen_space)->parameters.at("reason") == "behind_scan");
  }
}

TEST_CASE("a line behind the wall of a scanned bay is undecided") {
  for (const double y : {-430.0, -470.0, 520.0}) {
    CAPTURE(y);
    const LineProof proof = ScanJob(chain({{0, y, -60}, {400, y, -60}}, 0)).scan(open_bay()).proof();
    CHECK(only_stop(proof, RuleId::unseen_space));
  }
}

TEST_CASE("a line past the edge of a scan is undecided from about the edge on") {
  for (const double shake : {0.0, 1.5}) {
    const LineProof proof = ScanJob().scan(shaken(floor_from(-600, 200), shake, 9)).proof();
    CHECK(only_stop(proof, RuleId::unseen_space));
    const auto parts = unseen(proof);
    REQUIRE_FALSE(parts.empty());
    CHECK(parts.front().first > 100);
    CHECK(parts.front().first < 200 + 2 * kScanStep_mm);
    CHECK(parts.back().second >= 400);
  }
}

TEST_CASE("a line past the edge of a scanned bay is undecided") {
  // Over the wall and out.
  const LineProof proof = ScanJob(chain({{200, 200, 240}, {200, 700, 240}}, 0)).scan(open_bay()).proof();
  CHECK(only_stop(proof, RuleId::unseen_space));
  CHECK(unseen(proof).back().second >= 500);
}

TEST_CASE("a line close over a wide hole of a scan is undecided there, over a small one it is not") {
  const LineProof wide = ScanJob().scan(with_hole(floor_from(-600, 1000), {200, 0, -40}, 90)).proof();
  CHECK(only_stop(wide, RuleId::unseen_space));
  const auto parts = unseen(wide);
  REQUIRE_FALSE(parts.empty());
  CHECK(parts.front().first > 90);
  CHECK(parts.back().second < 310);
  const LineProof small = ScanJob().scan(with_hole(floor_from(-600, 1000), {200, 0, -40}, 11)).proof();
  CHECK(small.proved);
}

TEST_CASE("a line inside a body that was half scanned in a scanned bay is undecided") {
  // Top and two sides were scanned; the bay goes on all around. Low down the floor is nearest and seen from
  // its front, and the bay's fronts outweigh the body's backs: only lines of sight tell.
  TriangleMesh body = small_faced_box({0, -150, -295}, {400, 150, 100}, 15);
  std::erase_if(body.triangles, [&](const auto& t) {
    const Vec3 p = middle_of(body, t);
    return p.z() < -294 || p.x() < 1 || p.y() < -149;
  });
  const TriangleMesh mesh = joined(open_bay(), body);
  for (const double z : {-100.0, -240.0}) {
    CAPTURE(z);
    const LineProof proof = ScanJob(chain({{60, -60, z}, {320, -60, z}}, 0)).scan(mesh).proof();
    CHECK(only_stop(proof, RuleId::unseen_space));
  }
  const ScanSkin skin = skin_of(mesh);
  CHECK(skin.between({150, -60, -240}) == Sight::seen);
  CHECK(skin.at({150, -60, -240}) == Sight::behind);
}

TEST_CASE("beside a part that shows its front inside a hollow block, a place is still inside") {
  const TriangleMesh block =
      with_hole(small_faced_box({-300, -300, -300}, {300, 300, 300}, 20), {300, 0, 0}, 60);
  const ScanSkin skin = skin_of(joined(block, small_faced_box({-40, -40, -40}, {40, 40, 40}, 20)));
  CHECK(skin.beside({0, 0, 70}) == Sight::seen);  // by the nearest point alone
  CHECK(skin.between({0, 0, 70}) == Sight::behind);
}

TEST_CASE("a line that passes the back of a small patch is undecided there") {
  TriangleMesh patch;
  add_plate(patch, {160, -40, -100}, {80, 0, 0}, {0, 80, 0}, 8);
  const auto behind = [](const LineProof& proof) {
    return std::count_if(proof.findings.begin(), proof.findings.end(), [](const Finding& f) {
      return f.rule == RuleId::unseen_space && f.parameters.at("reason") == "behind_scan";
    });
  };
  CHECK(behind(ScanJob().scan(patch).proof()) == 0);
  const LineProof proof = ScanJob().scan(turned(patch)).proof();
  CHECK(behind(proof) > 0);
  CHECK(only_stop(proof, RuleId::unseen_space));
}

TEST_CASE("a line whose side is past the edge of a scan is undecided though its middle is not") {
  TriangleMesh floor;
  add_plate(floor, {-600, -12, -40}, {1600, 0, 0}, {0, 900, 0}, 8);
  CHECK(skin_of(floor).at({200, 0, 0}) == Sight::seen);
  CHECK(only_stop(ScanJob().scan(floor).proof(), RuleId::unseen_space));
}

TEST_CASE("a line with a clamp whose housing lies behind a scanned skin on every side is undecided") {
  // Somebody looked where the hose runs, and no farther around it.
  ScanJob job;
  job.scan(turned(floor_from(-600, 1000)));
  job.bay.looked_behind.push_back({Pose{}, {5000, kHoseOutside_mm / 2 + 0.1, kHoseOutside_mm / 2 + 0.1}});
  const LineProof proof = job.proof();
  CHECK(only_stop(proof, RuleId::unseen_space));
  const Finding* told = find(proof, RuleId::unseen_space);
  REQUIRE(told != nullptr);
  CHECK(told->undecided);
  CHECK(told->parameters.at("reason") == "clamp_behind_scan");
  CHECK(number(*told, "from_s_mm") < 0);  // over the neck
}

TEST_CASE("a clamp turns to where the scan has seen") {
  // Only above the hose somebody looked: of the 24 clocks those upward are left.
  ScanJob job;
  job.scan(turned(floor_from(-600, 1000)));
  job.bay.looked_behind.push_back({Pose{}, {5000, kHoseOutside_mm / 2 + 0.1, kHoseOutside_mm / 2 + 0.1}});
  job.bay.looked_behind.push_back({Pose::translation({0, 0, 60}), {5000, 60, 60}});
  const LineProof proof = job.proof();
  CHECK(proof.proved);
  for (const ClampRecord& clamp : proof.clamps)
    CHECK((0.5 * (clamp.housing.from_mm + clamp.housing.to_mm)).z() > kHoseOutside_mm / 2);
}

TEST_CASE("a scan says nothing about places farther off than it is long across") {
  TriangleMesh small;
  add_plate(small, {180, -20, -200}, {40, 0, 0}, {0, 40, 0}, 8);
  CHECK(ScanJob().scan(small).proof().proved);
  CHECK(ScanJob().scan(turned(small)).proof().proved);
  CHECK(skin_of(turned(small)).at({200, 0, 0}) == Sight::seen);
  CHECK(skin_of(turned(small)).at({200, 0, -160}) == Sight::behind);
}

TEST_CASE("a sheet known from both sides, and a space that was looked into, leave nothing unseen") {
  const TriangleMesh from_behind = turned(floor_from(-600, 1000));
  CHECK(ScanJob().scan(from_behind, false, SeenFrom::both).proof().proved);
  ScanJob job;
  job.scan(from_behind);
  job.bay.looked_behind.push_back({Pose{}, {5000, 60, 60}});
  CHECK(job.proof().proved);
  job.bay.looked_behind[0].half_size_mm.x() = 100;
  const auto parts = unseen(job.proof());
  REQUIRE(parts.size() == 1);
  CHECK(parts[0].first == Approx(100).margin(kHoseOutside_mm));
}

TEST_CASE("inside of a closed body with faces turned round and doubled is refused") {
  // The line is farther from every wall than its gap wants.
  const TriangleMesh sound = small_faced_box({-200, -200, -200}, {600, 200, 200}, 20);
  REQUIRE(is_closed(sound));
  for (std::uint64_t task = 0; task < 10; ++task) {
    CAPTURE(task);
    Dice dice({37}, task);
    TriangleMesh mesh = sound;
    // Here and there, or all in one place: a wall that is inside out there looks like a way out.
    const bool in_one_place = task % 2 == 1;
    const Vec3 about = middle_of(mesh, mesh.triangles[dice.below(mesh.triangles.size())]);
    std::vector<std::size_t> order(mesh.triangles.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    if (in_one_place)
      std::sort(order.begin(), order.end(), [&](std::size_t i, std::size_t j) {
        return (middle_of(mesh, mesh.triangles[i]) - about).norm() <
               (middle_of(mesh, mesh.triangles[j]) - about).norm();
      });
    else
      for (std::size_t i = order.size() - 1; i > 0; --i) std::swap(order[i], order[dice.below(i + 1)]);
    for (std::size_t i = 0; i < order.size() / 20; ++i)
      std::swap(mesh.triangles[order[i]][0], mesh.triangles[order[i]][1]);
    const std::size_t n = mesh.triangles.size();
    for (std::size_t i = 0; i < n / 10; ++i) mesh.triangles.push_back(mesh.triangles[dice.below(n)]);
    REQUIRE_FALSE(is_closed(mesh));
    const LineProof proof = ScanJob().scan(mesh, true).proof();
    CHECK_FALSE(proof.proved);
    const Finding* gap = find(proof, RuleId::gap);
    REQUIRE(gap != nullptr);
    CHECK(*gap->measured < -100);
    CHECK_FALSE(gap->undecided);
    // As a sheet it says the same in its own way.
    CHECK_FALSE(ScanJob().scan(mesh, false).proof().proved);
    const MeshDistance distance(std::make_shared<const TriangleMesh>(mesh), MeshDistance::Inside::solid);
    for (int i = 0; i < 100; ++i) {
      const Vec3 p = Vec3(200, 0, 0) + random_point(dice, 500);
      const bool inside = (p - Vec3(200, 0, 0)).cwiseAbs().cwiseQuotient(Vec3(400, 200, 200)).maxCoeff() < 1;
      CHECK((distance.signed_distance_mm(p) < 0) == inside);
    }
    const Vec3 inward = (Vec3(200, 0, 0) - about).normalized();
    for (const double depth : {5.0, 20.0, 60.0})
      CHECK(distance.signed_distance_mm(about + depth * inward) < 0);
  }
}

TEST_CASE("what is seen does not depend on where the bay stands") {
  Dice dice({41}, 0);
  const Pose pose = random_pose(dice, 800);
  const TriangleMesh mesh = with_hole(shaken(open_bay(), 1.0, 3), {0, 0, -300}, 80);
  TriangleMesh moved = mesh;
  for (Vec3& v : moved.vertices_mm) v = pose.point(v);
  const ScanSkin here = skin_of(mesh);
  const ScanSkin there = skin_of(moved);
  int same = 0, seen = 0;
  constexpr int kPlaces = 400;
  for (int i = 0; i < kPlaces; ++i) {
    const Vec3 p = Vec3(200, 0, -50) + random_point(dice, 700);
    const Sight sight = here.at(p);
    seen += sight == Sight::seen ? 1 : 0;
    same += sight == there.at(pose.point(p)) ? 1 : 0;
  }
  CHECK(same >= kPlaces * 9 / 10);  // the lines of sight are turned with the frame, not with the bay
  CHECK(seen > kPlaces / 20);
  CHECK(seen < kPlaces * 9 / 10);
}
