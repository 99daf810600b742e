// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/picture/render.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <set>

#include "tests/picture/hand_made_scene.h"

using namespace hosefit;

namespace {

const Size kSize{301, 201};

std::vector<int> row_of(const Rendering& r, int y, std::int32_t item) {
  std::vector<int> out;
  for (int x = 0; x < r.image.size.width; ++x)
    if (r.solid_at[static_cast<std::size_t>(y * r.image.size.width + x)] == item) out.push_back(x);
  return out;
}

// Largest and mean difference of two pictures, in steps of 255.
struct Apart {
  int most = 0;
  double mean = 0;
};
Apart apart(const Image& a, const Image& b) {
  REQUIRE(a.rgb.size() == b.rgb.size());
  Apart out;
  for (std::size_t i = 0; i < a.rgb.size(); ++i) {
    const int d = std::abs(int(a.rgb[i]) - int(b.rgb[i]));
    out.most = std::max(out.most, d);
    out.mean += d / double(a.rgb.size());
  }
  return out;
}

Scene mixed_scene(const Pose& pose) {
  Scene scene;
  const auto put = [&](const char* name, const Shape& shape) {
    hand_made::add(scene, name, transformed(shape, pose), 0.1);
  };
  put("ball", SphereShape{{0, 0, 0}, 40});
  put("block", hand_made::box({80, 30, 10}, {20, 60, 25}));
  put("post", CylinderShape{{-70, -20, -50}, {-50, 20, 60}, 14});
  scene.items[1].colour = {0.8, 0.5, 0.4};
  return scene;
}

}  // namespace

TEST_CASE("a sphere's silhouette has the projected radius within a pixel") {
  Scene scene;
  hand_made::add(scene, "ball", SphereShape{{100, 20, 300}, 50});
  for (const double scale : {0.5, 1.0, 1.7})
    for (const Side side : {Side::front, Side::rear, Side::left, Side::right, Side::top, Side::bottom}) {
      CAPTURE(scale, word(side));
      const View view = hand_made::view(scene, side, kSize, scale, {100, 20, 300});
      const Rendering r = render(scene, view, kSize, Threads{1});
      int pixels = 0;
      for (const std::int32_t item : r.solid_at) pixels += item == 0;
      CHECK(std::abs(double(row_of(r, kSize.height / 2, 0).size()) - 2 * 50 * scale) <= 2);
      CHECK(std::abs(std::sqrt(pixels / 3.14159265358979) - 50 * scale) < 0.5);
    }
}

TEST_CASE("in perspective a sphere's silhouette is that of its tangent cone") {
  Scene scene;
  hand_made::add(scene, "ball", SphereShape{Vec3::Zero(), 50});
  View view = hand_made::view(scene, Side::front, kSize, 1.5, Vec3::Zero());
  view.camera.projection = Projection::perspective;
  view.camera.distance_mm = 200;
  const Rendering r = render(scene, view, kSize, Threads{1});
  // A cone that touches the sphere from distance d cuts the plane through its centre at d r / sqrt(d^2 -
  // r^2).
  const double radius = 200.0 * 50 / std::sqrt(200.0 * 200 - 50 * 50);
  CHECK(std::abs(double(row_of(r, kSize.height / 2, 0).size()) - 2 * radius * 1.5) <= 2);
}

TEST_CASE("moving the world and the camera together changes nothing beyond rounding") {
  const Scene here = mixed_scene(Pose{});
  Pose away;
  away.rotation = Eigen::AngleAxisd(0.7, Vec3(1, 2, -0.5).normalized()).toRotationMatrix();
  away.origin_mm = {1200, -700, 350};
  const Scene there = mixed_scene(away);
  View view = hand_made::view(here, Side::left, kSize, 1, Vec3::Zero());
  const Image before = render(here, view, kSize, Threads{1}).image;
  Camera& camera = view.camera;
  camera.target_mm = away.point(camera.target_mm);
  for (Vec3* axis : {&camera.right, &camera.up, &camera.towards}) *axis = away.direction(*axis);
  const Image after = render(there, view, kSize, Threads{1}).image;
  // Single precision may turn a ray that grazes an edge; then one of a pixel's four samples differs.
  CHECK(apart(before, after).mean < 0.15);
  camera.target_mm += 1.0 * camera.right;
  CHECK(apart(before, render(there, view, kSize, Threads{1}).image).mean > 0.5);
}

TEST_CASE("one thread and four give the same picture, byte for byte") {
  const Scene scene = mixed_scene(Pose{});
  View view = hand_made::view(scene, Side::three_quarter, kSize, 1, Vec3::Zero());
  view.layers[1] = Layer::glass;
  const Rendering one = render(scene, view, kSize, Threads{1});
  for (const unsigned threads : {2U, 4U}) {
    const Rendering many = render(scene, view, kSize, Threads{threads});
    CHECK((many.image.rgb == one.image.rgb));
    CHECK((many.solid_at == one.solid_at));
    CHECK((many.glass_at == one.glass_at));
  }
}

TEST_CASE("edges are darker than the faces beside them, and faces that bend gently have none") {
  Scene scene;
  hand_made::add(scene, "block", hand_made::box(Vec3::Zero(), {60, 60, 60}));
  View view = hand_made::view(scene, Side::three_quarter, kSize, 1, Vec3::Zero());
  view.camera.projection = Projection::orthographic;
  const Rendering r = render(scene, view, kSize, Threads{1});
  const auto grey = [&](int x, int y) {
    const auto i = 3 * static_cast<std::size_t>(y * kSize.width + x);
    return int(r.image.rgb[i]) + r.image.rgb[i + 1] + r.image.rgb[i + 2];
  };
  // The corner towards the viewer, (-60, -60, 60), and a place on the edge that falls from it.
  const Vec3 on_edge = project(view.camera, {-60, -60, 20});
  int darkest = 765;
  for (int x = -1; x <= 1; ++x) darkest = std::min(darkest, grey(int(on_edge.x()) + x, int(on_edge.y())));
  CHECK(darkest + 60 < grey(int(on_edge.x()) - 8, int(on_edge.y())));
  CHECK(darkest + 60 < grey(int(on_edge.x()) + 8, int(on_edge.y())));

  Scene round;
  hand_made::add(round, "post", CylinderShape{{0, 0, -80}, {0, 0, 80}, 60}, 0.1);
  const View side = hand_made::view(round, Side::front, kSize, 1, Vec3::Zero());
  const Rendering p = render(round, side, kSize, Threads{1});
  for (int x = kSize.width / 2 - 40; x < kSize.width / 2 + 40; ++x) {
    const auto i = 3 * static_cast<std::size_t>(kSize.height / 2 * kSize.width + x);
    CHECK(std::abs(int(p.image.rgb[i]) - int(p.image.rgb[i + 3])) < 8);
  }
}

TEST_CASE("a cut takes away what stands before it and shows the solid's face") {
  Scene scene;
  hand_made::add(scene, "lid", hand_made::box({0, 0, 100}, {60, 60, 5}));
  hand_made::add(scene, "block", hand_made::box({0, 0, 0}, {50, 50, 40}));
  View view = hand_made::view(scene, Side::top, kSize, 1, Vec3::Zero());
  const auto middle = static_cast<std::size_t>(kSize.height / 2 * kSize.width + kSize.width / 2);
  const Rendering whole = render(scene, view, kSize, Threads{1});
  CHECK(whole.solid_at[middle] == 0);
  view.cut = Cut{{0, 0, 60}, Vec3::UnitZ()};  // between lid and block
  const Rendering between = render(scene, view, kSize, Threads{1});
  CHECK(between.solid_at[middle] == 1);
  view.cut = Cut{{0, 0, 10}, Vec3::UnitZ()};  // through the block
  const Rendering through = render(scene, view, kSize, Threads{1});
  CHECK(through.solid_at[middle] == 1);
  CHECK(apart(between.image, through.image).mean > 1);  // hatched
  // Hatching: along a row of the cut face there are dark strokes and light ground.
  int dark = 0, light = 0;
  for (int x = kSize.width / 2 - 40; x < kSize.width / 2 + 40; ++x) {
    const int value = through.image.rgb[3 * static_cast<std::size_t>(kSize.height / 2 * kSize.width + x)];
    dark += value < 190;
    light += value > 205;
  }
  CHECK(dark > 5);
  CHECK(light > 40);
  scene.items[1].closed = false;  // a sheet has no inside: its far side is seen, not a face
  CHECK(apart(render(scene, view, kSize, Threads{1}).image, through.image).mean > 1);
}

TEST_CASE("glass lets what is behind it show, and a line shines through what hides it") {
  Scene scene;
  hand_made::add(scene, "lid", hand_made::box({0, 0, 100}, {60, 60, 5}));
  hand_made::add(scene, "hose", CylinderShape{{-40, 0, 0}, {40, 0, 0}, 15});
  scene.items[1].kind = SceneKind::line;
  scene.items[1].colour = {0, 0.45, 0.7};
  View view = hand_made::view(scene, Side::top, kSize, 1, Vec3::Zero());
  const auto middle = static_cast<std::size_t>(kSize.height / 2 * kSize.width + kSize.width / 2);
  const Rendering hidden = render(scene, view, kSize, Threads{1});
  view.layers[1] = Layer::hidden;
  const Rendering without = render(scene, view, kSize, Threads{1});
  view.layers = {Layer::glass, Layer::solid};
  const Rendering glass = render(scene, view, kSize, Threads{1});
  CHECK(hidden.solid_at[middle] == 0);
  CHECK(glass.solid_at[middle] == 1);
  CHECK(glass.glass_at[middle] == 0);
  const auto red = [&](const Rendering& r) { return int(r.image.rgb[3 * middle]); };
  CHECK(red(hidden) < red(without) - 20);
  CHECK(red(glass) < red(hidden) - 40);
}

TEST_CASE("a cut through solids that overlap, touch or hold one another shows one clear face") {
  Scene scene;
  hand_made::add(scene, "block", hand_made::box({0, 0, 0}, {60, 60, 40}));
  hand_made::add(scene, "core", hand_made::box({10, 0, 0}, {25, 25, 20}));    // wholly inside
  hand_made::add(scene, "beside", hand_made::box({80, 0, 0}, {20, 60, 40}));  // touches the block
  hand_made::add(scene, "across", hand_made::box({0, 50, 0}, {90, 20, 40}));  // overlaps both
  View view = hand_made::view(scene, Side::top, kSize, 1, Vec3::Zero());
  for (const double height :
       {0.0, 20.0, 13.7, 40.0}) {  // 20: in the core's upper face; 40: in the block's own
    CAPTURE(height);
    view.cut = Cut{{0, 0, height}, Vec3::UnitZ()};
    const Rendering r = render(scene, view, kSize, Threads{1});
    // The vehicle's front is up on the picture, its right at the right. Beyond hatching no ink lies inside:
    // one colour is one face.
    int worst = 0;
    for (int y = -95; y <= 55; ++y) {
      int dark = 0;
      for (int x = -55; x <= 55; ++x) {
        const int column = kSize.width / 2 + x, row = kSize.height / 2 - y;
        dark += r.image.rgb[3 * static_cast<std::size_t>(row * kSize.width + column)] < 170;
      }
      worst = std::max(worst, dark);
    }
    CHECK(worst <= 40);  // strokes 10 px apart, up to 3 px wide; a band would be 110
    for (int x = -55; x <= 55; ++x)
      CHECK(r.solid_at[static_cast<std::size_t>(kSize.height / 2 * kSize.width + kSize.width / 2 + x)] == 0);
  }
}

TEST_CASE("silhouettes are smooth: their pixels hold many tones, not two") {
  Scene scene;
  hand_made::add(scene, "ball", SphereShape{{0, 0, 0}, 60});
  const View view = hand_made::view(scene, Side::top, kSize, 1, Vec3::Zero());
  const Rendering r = render(scene, view, kSize, Threads{1});
  std::set<int> greys;
  for (int x = 0; x < kSize.width; ++x)
    for (int y = 0; y < kSize.height; ++y) {
      const double d = std::hypot(x + 0.5 - kSize.width / 2.0, y + 0.5 - kSize.height / 2.0);
      if (std::abs(d - 60) < 1.5)
        greys.insert(r.image.rgb[3 * static_cast<std::size_t>(y * kSize.width + x)] / 8);
    }
  CHECK(greys.size() > 8);
}
