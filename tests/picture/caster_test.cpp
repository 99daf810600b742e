// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/picture/caster.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "solver/base/dice.h"
#include "solver/view/tube_mesh.h"
#include "tests/picture/hand_made_scene.h"

using namespace hosefit;

namespace {

constexpr double kOvershoot_mm = 0.01;

Vec3 any_direction(Dice& dice) {
  for (;;) {
    const Vec3 v(dice.between(-1, 1), dice.between(-1, 1), dice.between(-1, 1));
    if (v.norm() > 0.1 && v.norm() < 1) return v.normalized();
  }
}

// Where a ray first meets a body whose signed distance is known, by marching (Hart, The Visual Computer 12
// (1996) 527): a second way that knows no triangles.
std::optional<double> marched(const Shape& shape, const Ray& ray) {
  double t = 0;
  for (int i = 0; i < 4000 && t < 4000; ++i) {
    const double d = signed_distance_mm(shape, ray.origin_mm + t * ray.direction);
    if (d < 1e-7) return t;
    t += d;
  }
  return std::nullopt;
}

void rays_agree(const Shape& shape) {
  Scene scene;
  hand_made::add(scene, "body", shape, kOvershoot_mm);
  const Caster caster(scene, hand_made::all_solid(scene));
  Dice dice(RunSeed{5}, 1);
  int met = 0;
  for (int i = 0; i < 2000; ++i) {
    CAPTURE(i);
    const Vec3 aim = 60 * any_direction(dice);
    Ray ray;
    ray.origin_mm = aim + 900 * any_direction(dice);
    ray.direction = (aim - ray.origin_mm).normalized();
    const auto wanted = marched(shape, ray);
    const auto hit = caster.first_solid(ray, 0, 1e5);
    if (!wanted) continue;  // a graze may meet the triangles, which stand off by the overshoot
    REQUIRE(hit);
    ++met;
    const Vec3 at = ray.origin_mm + hit->along_mm * ray.direction;
    // On the surface up to the overshoot and single precision at 1 m.
    CHECK(std::abs(signed_distance_mm(shape, at)) < kOvershoot_mm + 1e-3);
    CHECK(hit->normal.dot(ray.direction) < 1e-6);
    CHECK(hit->along_mm <= *wanted + 1e-3);
  }
  CHECK(met > 300);
}

}  // namespace

TEST_CASE("a ray meets a sphere where its closed form says") {
  rays_agree(SphereShape{{3, -7, 11}, 50});
}
TEST_CASE("a ray meets a box where its closed form says") {
  rays_agree(hand_made::box({3, -7, 11}, {50, 30, 20}));
}
TEST_CASE("a ray meets a cylinder where its closed form says") {
  rays_agree(CylinderShape{{-40, 0, 5}, {60, 20, -10}, 35});
}

TEST_CASE("a ray that passes a sphere by more than the overshoot meets nothing") {
  Scene scene;
  hand_made::add(scene, "ball", SphereShape{Vec3::Zero(), 50}, kOvershoot_mm);
  const Caster caster(scene, hand_made::all_solid(scene));
  CHECK_FALSE(caster.first_solid({{50.02, 0, 500}, -Vec3::UnitZ()}, 0, 1e5));
  CHECK(caster.first_solid({{49.98, 0, 500}, -Vec3::UnitZ()}, 0, 1e5));
}

TEST_CASE("layers keep glass, solids and hidden items apart") {
  Scene scene;
  hand_made::add(scene, "pane", hand_made::box({0, 0, 100}, {50, 50, 1}));
  hand_made::add(scene, "block", hand_made::box({0, 0, 0}, {50, 50, 10}));
  hand_made::add(scene, "away", hand_made::box({0, 0, 200}, {50, 50, 10}));
  const Caster caster(scene, {Layer::glass, Layer::solid, Layer::hidden});
  const Ray down{{1, 2, 500}, -Vec3::UnitZ()};
  const auto solid = caster.first_solid(down, 0, 1e5);
  const auto glass = caster.first_glass(down, 0, 1e5);
  REQUIRE(solid);
  REQUIRE(glass);
  CHECK(solid->item == 1);
  CHECK(solid->along_mm == Approx(490).margin(1e-3));
  CHECK(glass->item == 0);
  CHECK(glass->along_mm == Approx(399).margin(1e-3));
  CHECK_FALSE(caster.first_line(down, 0, 1e5));
}

TEST_CASE("a tube's corners lie on the tube and its mesh is closed") {
  FilletChain chain;
  chain.points_mm = {{0, 0, 0}, {200, 0, 0}, {200, 150, 0}, {200, 150, 180}};
  chain.radii_mm = {60, 55};
  const Centreline line = *centreline_of(chain);
  constexpr double radius = 20;
  const TriangleMesh mesh = tube_mesh(line, radius, 0.05).mesh;
  CHECK(is_closed(mesh));
  int on_surface = 0;
  for (const Vec3& v : mesh.vertices_mm) {
    double nearest = 1e9;
    for (double s = 0; s <= length_mm(line); s += 0.25)
      nearest = std::min(nearest, (v - point_at(line, s)).norm());
    if (nearest < 1) continue;  // the middles of the two ends
    CHECK(nearest == Approx(radius).margin(0.01));
    ++on_surface;
  }
  CHECK(on_surface + 2 == static_cast<int>(mesh.vertices_mm.size()));
  CHECK(winding_number(mesh, point_at(line, 100)) == Approx(1).margin(1e-6));
  CHECK(tube_mesh(Centreline{}, radius, 0.05).mesh.triangles.empty());
}
