// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/geometry/mesh_mending.h"

#include <catch2/catch.hpp>
#include <set>

#include "tests/support/random_shapes.h"

using namespace hosefit;
using namespace hosefit::test;

namespace {

TriangleMesh plate() {
  TriangleMesh mesh;
  for (int y = 0; y < 4; ++y)
    for (int x = 0; x < 4; ++x) mesh.vertices_mm.emplace_back(x, y, 0);
  for (std::uint32_t y = 0; y < 3; ++y)
    for (std::uint32_t x = 0; x < 3; ++x) {
      const std::uint32_t a = 4 * y + x;
      mesh.triangles.push_back({a, a + 1, a + 5});
      mesh.triangles.push_back({a, a + 5, a + 4});
    }
  return mesh;
}

}  // namespace

TEST_CASE("a sound mesh is left as it is") {
  for (const TriangleMesh& mesh : {tessellate(BoxShape{Pose{}, {10, 20, 30}}, 0.1), plate()}) {
    const MendedMesh mended = mend(mesh);
    CHECK(mended.mesh.triangles == mesh.triangles);
    CHECK(mended.closed == is_closed(mesh));
    MeshFaults faults = mended.faults;
    faults.open_edges = 0;
    CHECK(faults == MeshFaults{});
  }
  CHECK(mend(plate()).faults.open_edges == 12);
}

TEST_CASE("triangles turned round, doubled and without area are found and the surface is as before") {
  for (std::uint64_t task = 0; task < 20; ++task) {
    CAPTURE(task);
    Dice dice({13}, task);
    const TriangleMesh sound = bumpy_ball(dice, Vec3::Zero(), 50, 12);
    TriangleMesh spoilt = sound;
    std::set<std::size_t> turned;
    while (turned.size() < sound.triangles.size() / 20) turned.insert(dice.below(sound.triangles.size()));
    for (const std::size_t t : turned) std::swap(spoilt.triangles[t][0], spoilt.triangles[t][1]);
    std::set<std::size_t> doubled;
    while (doubled.size() < sound.triangles.size() / 10) doubled.insert(dice.below(sound.triangles.size()));
    for (const std::size_t t : doubled) spoilt.triangles.push_back(spoilt.triangles[t]);
    spoilt.triangles.push_back({3, 7, 7});
    REQUIRE_FALSE(is_closed(spoilt));
    const MendedMesh mended = mend(spoilt);
    CHECK(mended.closed);
    CHECK(is_closed(mended.mesh));
    CHECK(mended.faults.turned == turned.size());
    CHECK(mended.faults.duplicates == doubled.size());
    CHECK(mended.faults.zero_area == 1);
    CHECK_FALSE(mended.faults.inside_out);
    for (int i = 0; i < 10; ++i) {
      const Vec3 p = random_point(dice, 80);
      CHECK(winding_number(mended.mesh, p) == Approx(winding_number(sound, p)).epsilon(0).margin(1e-9));
    }
  }
}

TEST_CASE("a closed mesh inside out is turned as a whole") {
  TriangleMesh mesh = tessellate(BoxShape{Pose{}, {10, 20, 30}}, 0.1);
  for (auto& t : mesh.triangles) std::swap(t[0], t[1]);
  const MendedMesh mended = mend(mesh);
  CHECK(mended.faults.inside_out);
  CHECK(mended.faults.turned == 0);
  CHECK(winding_number(mended.mesh, Vec3::Zero()) == Approx(1));
}

TEST_CASE("corners repeated as in STL files hang together, and a hole stays a hole") {
  TriangleMesh soup;
  for (const auto& t : plate().triangles)
    for (const std::uint32_t v : t) soup.vertices_mm.push_back(plate().vertices_mm[v]);
  for (std::uint32_t i = 0; i + 2 < soup.vertices_mm.size(); i += 3)
    soup.triangles.push_back({i, i + 1, i + 2});
  std::swap(soup.triangles[4][0], soup.triangles[4][1]);
  const MendedMesh mended = mend(soup);
  CHECK(mended.faults.turned == 1);
  CHECK(mended.faults.open_edges == 12);
  CHECK_FALSE(mended.closed);
}

TEST_CASE("triangles with corners in one line are counted and stay, since they close a seam") {
  TriangleMesh mesh = plate();
  mesh.triangles.push_back({0, 1, 2});
  const MendedMesh mended = mend(mesh);
  CHECK(mended.faults.zero_area == 1);
  CHECK(mended.mesh.triangles.size() == mesh.triangles.size());
}

TEST_CASE("a surface with one side only stays as it is") {
  // A band of three quads joined with half a twist.
  TriangleMesh band;
  for (int i = 0; i < 6; ++i)
    for (const double side : {-1.0, 1.0}) {
      const double turn = i * 3.14159265358979 / 3;
      const Vec3 out(std::cos(turn), std::sin(turn), 0);
      band.vertices_mm.emplace_back(5 * out +
                                    side * (std::cos(turn / 2) * out + std::sin(turn / 2) * Vec3::UnitZ()));
    }
  for (std::uint32_t i = 0; i < 6; ++i) {
    const std::uint32_t a = 2 * i, b = a + 1;
    const std::uint32_t c = i < 5 ? a + 2 : 1, d = i < 5 ? a + 3 : 0;  // crossed over at the seam
    band.triangles.push_back({a, c, b});
    band.triangles.push_back({b, c, d});
  }
  const MendedMesh mended = mend(band);
  CHECK(mended.faults.turned == 0);
  CHECK(mended.mesh.triangles == band.triangles);
}

TEST_CASE("an empty mesh is not closed") {
  CHECK_FALSE(mend({}).closed);
}
