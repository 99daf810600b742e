// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "solver/base/dice.h"
#include "solver/decide/judge.h"
#include "tests/support/box_job.h"
#include "viewer/scene/picking.h"
#include "viewer/scene/spare_gap.h"

using namespace hosefit;

namespace {

Camera any_camera(Dice& dice) {
  Camera c;
  c.target_mm = {dice.between(-500, 500), dice.between(-500, 500), dice.between(-500, 500)};
  c.turn_rad = dice.between(-3, 3);
  c.rise_rad = dice.between(-1.5, 1.5);
  c.distance_mm = dice.between(200, 6000);
  return c;
}

std::shared_ptr<const SolidMesh> box_mesh(const Vec3& half_mm) {
  Body body;
  body.obstacles = {box_job::box("box", Vec3::Zero(), half_mm)};
  return std::make_shared<const SolidMesh>(solid_mesh(body));
}

PaneScene one_box(const Vec3& at_mm, BodyLook look = BodyLook::solid) {
  PaneScene scene;
  scene.bodies = {{box_mesh({10, 20, 30}), Pose::translation(at_mm), 3, look, false}};
  return scene;
}

}  // namespace

TEST_CASE("the ray through the place where a point appears passes through that point") {
  for (std::uint64_t task = 0; task < 200; ++task) {
    CAPTURE(task);
    Dice dice({11}, task);
    const Camera camera = any_camera(dice);
    const double aspect = dice.between(0.4, 3);
    const Vec3 p_mm =
        camera.target_mm +
        0.1 * camera.distance_mm * Vec3(dice.between(-1, 1), dice.between(-1, 1), dice.between(-1, 1));
    const auto seen = project(camera, aspect, p_mm);
    REQUIRE(seen);
    const Ray ray = ray_through(camera, aspect, *seen);
    CHECK((p_mm - ray.from_mm).cross(ray.along).norm() < 1e-6 * camera.distance_mm);
  }
}

TEST_CASE("the matrix puts a point where project says") {
  for (std::uint64_t task = 0; task < 100; ++task) {
    CAPTURE(task);
    Dice dice({12}, task);
    const Camera camera = any_camera(dice);
    const double aspect = dice.between(0.4, 3);
    const Vec3 p = camera.target_mm + 0.1 * camera.distance_mm *
                                          Vec3(dice.between(-1, 1), dice.between(-1, 1), dice.between(-1, 1));
    const auto m = clip_matrix(camera, aspect);
    const auto row = [&](std::size_t r) {
      return m[r] * p.x() + m[4 + r] * p.y() + m[8 + r] * p.z() + m[12 + r];
    };
    const auto seen = project(camera, aspect, p);
    REQUIRE(seen);
    REQUIRE(row(3) > 0);
    CHECK(0.5 + 0.5 * row(0) / row(3) == Approx(seen->x).margin(2e-3));
    CHECK(0.5 - 0.5 * row(1) / row(3) == Approx(seen->y).margin(2e-3));
    CHECK(std::abs(row(2)) <= row(3));  // between near and far
  }
}

TEST_CASE("what a camera was fitted to is wholly in its picture") {
  for (std::uint64_t task = 0; task < 100; ++task) {
    CAPTURE(task);
    Dice dice({13}, task);
    AxisBox box;
    box.extend(Vec3(dice.between(-900, 0), dice.between(-900, 0), dice.between(-900, 0)));
    box.extend(Vec3(dice.between(1, 900), dice.between(1, 900), dice.between(1, 900)));
    const double aspect = dice.between(0.5, 2);
    const Camera camera = fitted(any_camera(dice), box, aspect);
    for (int k = 0; k < 8; ++k) {
      const auto seen = project(camera, aspect, box.corner(static_cast<AxisBox::CornerType>(k)));
      REQUIRE(seen);
      CHECK((seen->x >= 0 && seen->x <= 1 && seen->y >= 0 && seen->y <= 1));
    }
  }
}

TEST_CASE("dragging to the right moves what is seen to the right") {
  const Camera camera;
  const auto before = project(camera, 1, camera.target_mm);
  const auto after = project(shifted(camera, 0.1, 0), 1, camera.target_mm);
  CHECK(after->x - before->x == Approx(0.1).margin(1e-9));
  CHECK(project(shifted(camera, 0, 0.1), 1, camera.target_mm)->y - before->y == Approx(0.1).margin(1e-9));
}

TEST_CASE("a ray meets a box at the face it is aimed at") {
  const PaneScene scene = one_box({100, 0, 0});
  const auto hit = pick(scene, Ray{{-50, 3, 4}, Vec3::UnitX()});
  REQUIRE(hit);
  CHECK(hit->distance_mm == Approx(140));
  CHECK(hit->at_mm.isApprox(Vec3(90, 3, 4)));
  CHECK(std::get<ObstacleRef>(hit->what) == ObstacleRef{3, 0});
  CHECK_FALSE(pick(scene, Ray{{-50, 25, 0}, Vec3::UnitX()}));
  CHECK_FALSE(pick(scene, Ray{{-50, 0, 0}, -Vec3::UnitX()}));
}

TEST_CASE("only what is shown as solid can be picked") {
  const Ray ray{{-50, 0, 0}, Vec3::UnitX()};
  CHECK(pick(one_box({100, 0, 0}), ray));
  CHECK_FALSE(pick(one_box({100, 0, 0}, BodyLook::dim), ray));
  CHECK_FALSE(pick(one_box({100, 0, 0}, BodyLook::outline), ray));
  CHECK_FALSE(pick(one_box({100, 0, 0}, BodyLook::hidden), ray));
}

TEST_CASE("what a section cuts away can not be picked, and what stands behind it can") {
  PaneScene scene = one_box({0, 0, 0});
  scene.section = {true, 2, 5, false};  // nothing above z = 5 is shown
  const auto hit = pick(scene, Ray{{0, 0, 100}, -Vec3::UnitZ()});
  REQUIRE(hit);
  CHECK(hit->at_mm.z() == Approx(-30));
}

TEST_CASE("a section cuts away the side it is told to, through what the choice is about") {
  const PaneScene scene = one_box({100, 0, 0});
  Section section = in_the_middle({true, 0, 0, false}, scene);
  CHECK(section.at_mm == Approx(100));
  CHECK(is_shown(section, {99, 0, 0}));
  CHECK_FALSE(is_shown(section, {101, 0, 0}));
  section.cuts_less = true;
  CHECK_FALSE(is_shown(section, {99, 0, 0}));
  CHECK(is_shown(section, {101, 0, 0}));
  section.on = false;
  CHECK(is_shown(section, {99, 0, 0}));
}

// Backs of solids are left away and their cut faces filled; with a sheet or an inside-out mesh that would be
// wrong.
TEST_CASE("closed shapes turned outward are solid, sheets and meshes turned inside out are not") {
  CHECK(box_mesh({1, 2, 3})->obstacles[0].solid);
  const TriangleMesh box = tessellate(BoxShape{Pose{}, {1, 2, 3}}, 1);
  TriangleMesh inside_out = box;
  for (auto& t : inside_out.triangles) std::swap(t[0], t[1]);
  SolidMesh out;
  append_mesh(box, true, out);
  append_mesh(inside_out, true, out);
  append_mesh(box, false, out);
  CHECK(out.obstacles[0].solid);
  CHECK_FALSE(out.obstacles[1].solid);
  CHECK_FALSE(out.obstacles[2].solid);
}

TEST_CASE("the nearer of two things is picked") {
  PaneScene scene = one_box({100, 0, 0});
  scene.bodies.push_back({box_mesh({5, 5, 5}), Pose::translation({50, 0, 0}), 6, BodyLook::solid, false});
  const auto hit = pick(scene, Ray{{-50, 0, 0}, Vec3::UnitX()});
  REQUIRE(hit);
  CHECK(std::get<ObstacleRef>(hit->what).body == 6);
}

TEST_CASE("a box has twelve feature edges and a cylinder two rims") {
  CHECK(box_mesh({1, 2, 3})->edges.size() == 24);
  Body body;
  Obstacle o;
  o.shape = CylinderShape{{0, 0, 0}, {0, 0, 50}, 20};
  body.obstacles = {o};
  const SolidMesh mesh = solid_mesh(body);
  REQUIRE_FALSE(mesh.edges.empty());
  for (const Point3f& p : mesh.edges) CHECK((p[2] < 0.5F || p[2] > 49.5F));
}

TEST_CASE("normals are unit, point outward, and are smooth round a cylinder's side") {
  Body body;
  Obstacle o;
  o.shape = CylinderShape{{0, 0, 0}, {0, 0, 50}, 20};
  body.obstacles = {o};
  const SolidMesh mesh = solid_mesh(body);
  for (const SurfaceVertex& v : mesh.vertices) {
    const Vec3 n(v.normal[0], v.normal[1], v.normal[2]), p(v.at_mm[0], v.at_mm[1], v.at_mm[2]);
    CHECK(n.norm() == Approx(1).margin(1e-5));
    CHECK(n.dot(p - Vec3(0, 0, 25)) > 0);
    if (std::abs(n.z()) < 0.5) CHECK(n.dot(Vec3(p.x(), p.y(), 0).normalized()) > 0.995);
  }
}

TEST_CASE("every place of a tube stands at its radius from the centreline") {
  const auto prepared = std::make_shared<const Prepared>(box_job::make());
  const Judgement judged = judge(*prepared, Candidate{0, 0, 0, 0, 0, Length::mm(300)}, {}, {});
  REQUIRE(judged.result.verdict.fit == Fit::fits);
  const Route& route = judged.result.routes[0];
  const TubeMesh tube = tube_mesh(route, judged.bay->lines[route.line], *judged.bay, {});
  const double length = length_mm(route.centreline);
  std::size_t on_run = 0;
  for (const PaintedVertex& v : tube.vertices) {
    const Vec3 p(v.at_mm[0], v.at_mm[1], v.at_mm[2]);
    double nearest_mm = 1e9;
    for (double s = 0; s <= length; s += 0.5)
      nearest_mm = std::min(nearest_mm, (p - point_at(route.centreline, s)).norm());
    on_run += nearest_mm > 23.9 && nearest_mm < 24.05 ? 1 : 0;
  }
  CHECK(on_run > tube.vertices.size() / 2);
  CHECK(tube.indices.size() % 3 == 0);
}

TEST_CASE("spare gap classes meet at their limits and what is below the proof's tolerance is short") {
  CHECK(spare_class(-0.06) == SpareClass::below_required);
  CHECK(spare_class(-0.04) == SpareClass::under_2);
  CHECK(spare_class(1.999) == SpareClass::under_2);
  CHECK(spare_class(2) == SpareClass::under_5);
  CHECK(spare_class(5) == SpareClass::under_10);
  CHECK(spare_class(10) == SpareClass::over_10);
  CHECK(spare_class(std::numeric_limits<double>::infinity()) == SpareClass::over_10);
  CHECK(spare_class(std::nan("")) == SpareClass::below_required);
}

TEST_CASE("the spare gap along a proved line is nowhere short, and as tight as the proof found it") {
  const Prepared prepared(box_job::make());
  const Judgement judged = judge(prepared, Candidate{0, 0, 0, 0, 0, Length::mm(300)}, {}, {});
  REQUIRE(judged.result.verdict.fit == Fit::fits);
  for (std::size_t i = 0; i < judged.result.routes.size(); ++i) {
    const auto stations = spare_along(prepared, *judged.bay, judged.result, i);
    const auto& gaps = judged.result.proof.lines[i].gaps;
    double least_mm = 1e9, recorded_mm = 1e9;
    for (const SpareStation& s : stations) least_mm = std::min(least_mm, s.spare_mm);
    const double length = length_mm(judged.result.routes[i].centreline);
    for (const GapRecord& gap : gaps)
      if (gap.s_mm > 0 && gap.s_mm < length)
        recorded_mm = std::min(recorded_mm, gap.found_mm - gap.required_mm);
    CHECK(spare_class(least_mm) != SpareClass::below_required);
    if (recorded_mm < 1e8) CHECK(least_mm <= recorded_mm + 0.01);
    CHECK(stations.front().s_mm == 0);
    CHECK(stations.back().s_mm == Approx(length));
    for (std::size_t k = 1; k < stations.size(); ++k)
      CHECK(stations[k].s_mm - stations[k - 1].s_mm <= 4.0 + 1e-9);
  }
}
