// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <set>

#include "solver/base/dice.h"
#include "solver/decide/judge.h"
#include "solver/verify/spare_along.h"
#include "solver/view/line_tube.h"
#include "tests/support/box_job.h"
#include "viewer/scene/hose_mesh.h"
#include "viewer/scene/picking.h"

using namespace hosefit;

namespace {

Orbit any_camera(Dice& dice) {
  Orbit c;
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
    const Orbit camera = any_camera(dice);
    const double aspect = dice.between(0.4, 3);
    const Vec3 p_mm =
        camera.target_mm +
        0.1 * camera.distance_mm * Vec3(dice.between(-1, 1), dice.between(-1, 1), dice.between(-1, 1));
    const auto seen = project(camera, aspect, p_mm);
    REQUIRE(seen);
    const Ray ray = ray_through(camera, aspect, *seen);
    CHECK((p_mm - ray.origin_mm).cross(ray.direction).norm() < 1e-6 * camera.distance_mm);
  }
}

TEST_CASE("the matrix puts a point where project says") {
  for (std::uint64_t task = 0; task < 100; ++task) {
    CAPTURE(task);
    Dice dice({12}, task);
    const Orbit camera = any_camera(dice);
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
    const Orbit camera = fitted(any_camera(dice), box, aspect);
    for (int k = 0; k < 8; ++k) {
      const auto seen = project(camera, aspect, box.corner(static_cast<AxisBox::CornerType>(k)));
      REQUIRE(seen);
      CHECK((seen->x >= 0 && seen->x <= 1 && seen->y >= 0 && seen->y <= 1));
    }
  }
}

TEST_CASE("dragging to the right moves what is seen to the right") {
  const Orbit camera;
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

TEST_CASE("every place of a hose stands at its radius from its line") {
  const auto prepared = std::make_shared<const Prepared>(box_job::make());
  const Judgement judged = judge(*prepared, Candidate{0, 0, 0, 0, 0, Length::mm(300)}, {}, {});
  REQUIRE(judged.result.verdict.fit == Fit::fits);
  const Route& route = judged.result.routes[0];
  const HoseMesh hose = hose_mesh(route, judged.bay->lines[route.line], *judged.bay, not_proved_along(route));
  // The line with the hose over its necks.
  Centreline whole = route.centreline;
  const Vec3 start = start_point(whole), end = end_point(whole);
  whole.pieces.insert(whole.pieces.begin(),
                      Straight{start - route.engagement_from_mm * start_direction(whole), start});
  whole.pieces.push_back(Straight{end, end + route.engagement_to_mm * end_direction(route.centreline)});
  std::size_t on_hose = 0, on_band = 0;
  for (const PaintedVertex& v : hose.vertices) {
    const Vec3 p(v.at_mm[0], v.at_mm[1], v.at_mm[2]);
    double nearest_mm = 1e9;
    for (double s = 0; s <= length_mm(whole); s += 0.25)
      nearest_mm = std::min(nearest_mm, (p - point_at(whole, s)).norm());
    on_hose += std::abs(nearest_mm - 24) < 0.05 ? 1 : 0;
    on_band += std::abs(nearest_mm - 26) < 0.05 ? 1 : 0;
    CHECK((nearest_mm < 0.3 || std::abs(nearest_mm - 24) < 0.05 || std::abs(nearest_mm - 26) < 0.05));
    CHECK(Vec3(v.normal[0], v.normal[1], v.normal[2]).norm() == Approx(1).margin(1e-4));
  }
  CHECK(on_hose > 100);
  CHECK(on_band > 100);
  CHECK(hose.indices.size() % 3 == 0);
}

TEST_CASE("window and picture paint a hose with the same colours") {
  const Prepared prepared(box_job::make());
  const Judgement judged = judge(prepared, Candidate{0, 0, 0, 0, 0, Length::mm(300)}, {}, {});
  REQUIRE(judged.result.verdict.fit == Fit::fits);
  const Bay& bay = *judged.bay;
  const ProofBodies bodies(bay, prepared.proofs());
  for (std::size_t i = 0; i < judged.result.routes.size(); ++i) {
    const Route& route = judged.result.routes[i];
    const LineProof& proof = judged.result.proof.lines[i];
    const auto classes = classes_along(
        spare_along(bay, bodies, judged.result.routes, i, prepared.job().gaps, prepared.job().stock, &proof),
        true);
    std::set<Point3f> window, picture;
    for (const PaintedVertex& v : hose_mesh(route, bay.lines[route.line], bay, classes).vertices)
      window.insert(v.colour);
    for (const Colour& c : line_tube(route, classes, 0.05).colours)
      picture.insert({static_cast<float>(c.red), static_cast<float>(c.green), static_cast<float>(c.blue)});
    for (const Point3f& colour : picture) CHECK(window.contains(colour));
    CHECK(window.size() == picture.size() + 1);  // and the clamps' bands
    // Never kinder than the proof's least.
    SpareClass tightest = SpareClass::over_ten;
    for (const ClassStretch& stretch : classes) tightest = std::min(tightest, stretch.spare);
    double least_mm = 50;
    for (const GapRecord& gap : proof.gaps) least_mm = std::min(least_mm, gap.found_mm - gap.required_mm);
    CHECK(tightest <= spare_class(least_mm));
    CHECK(tightest > SpareClass::is_short);
  }
}

TEST_CASE("a hose without a proof has the grey of what is not proved, and no colour of a gap") {
  Route route;
  route.centreline = *centreline_of({{Vec3::Zero(), Vec3(300, 0, 0)}, {}});
  route.sections = {{0, 300, 48, Runner::hose}};
  route.engagement_from_mm = route.engagement_to_mm = 28;
  const auto grey = colour_of(SpareClass::not_proved), ring = ring_colour_of(SpareClass::not_proved);
  for (const Colour& c : line_tube(route, not_proved_along(route), 0.35).colours)
    CHECK((c == grey || c == ring));
}
