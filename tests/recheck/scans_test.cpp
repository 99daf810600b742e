// SPDX-License-Identifier: GPL-3.0-or-later
#include <bit>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstring>
#include <string>
#include <variant>

#include "solver/base/dice.h"
#include "solver/input/mesh_file.h"
#include "solver/recheck/put_in_place.h"
#include "solver/recheck/triangles.h"

using namespace hosefit;
using recheck::Corners;

namespace {

template <class Number>
void add_raw(std::string& out, Number value, std::endian order) {
  char raw[sizeof value];
  std::memcpy(raw, &value, sizeof value);
  for (std::size_t i = 0; i < sizeof value; ++i)
    out += raw[order == std::endian::native ? i : sizeof value - 1 - i];
}

// Four corners with a colour between the coordinates, a triangle and a quad; x of the last corner is said
// twice as large as `x_of_last`.
std::string ply(const std::string& format, float x_of_last = 4) {
  std::string out =
      "ply\nformat " + format +
      " 1.0\ncomment two faces\nelement vertex 4\nproperty float x\nproperty uchar red\nproperty float "
      "y\nproperty double z\nelement face 2\nproperty list uchar int vertex_indices\nproperty short "
      "patch\nend_header\n";
  const float xy[4][2] = {{0, 0}, {4, 0}, {x_of_last, 3}, {0, 3}};
  if (format == "ascii") {
    for (const auto& p : xy) out += std::to_string(p[0]) + " 7 " + std::to_string(p[1]) + " -2.5\n";
    return out + "3 0 1 2 -1\n4 0 1 2 3 9\n";
  }
  const std::endian order = format == "binary_big_endian" ? std::endian::big : std::endian::little;
  for (const auto& p : xy) {
    add_raw(out, p[0], order);
    add_raw(out, std::uint8_t{7}, order);
    add_raw(out, p[1], order);
    add_raw(out, -2.5, order);
  }
  for (const std::vector<int>& face : {std::vector<int>{0, 1, 2}, {0, 1, 2, 3}}) {
    add_raw(out, static_cast<std::uint8_t>(face.size()), order);
    for (const int corner : face) add_raw(out, static_cast<std::int32_t>(corner), order);
    add_raw(out, std::int16_t{-1}, order);
  }
  return out;
}

std::vector<Corners> read(const std::string& bytes, double scale = 1) {
  auto found = recheck::read_triangles(bytes, scale);
  if (const auto* why = std::get_if<std::string>(&found)) FAIL(*why);
  return std::get<std::vector<Corners>>(found);
}

std::string refused(const std::string& bytes) {
  auto found = recheck::read_triangles(bytes, 1);
  const auto* why = std::get_if<std::string>(&found);
  return why ? *why : std::string("read");
}

std::string changed(std::string text, const std::string& from, const std::string& to) {
  const auto at = text.find(from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

}  // namespace

TEST_CASE("the recheck reads a PLY file in text and both byte orders as the first reader does") {
  for (const char* format : {"ascii", "binary_little_endian", "binary_big_endian"}) {
    CAPTURE(format);
    const std::string bytes = ply(format);
    const std::vector<Corners> own = read(bytes, 10);
    REQUIRE(own.size() == 3);
    CHECK(own[0][2] == recheck::V3(40, 30, -25));
    CHECK(own[2] == Corners{recheck::V3(0, 0, -25), recheck::V3(40, 30, -25), recheck::V3(0, 30, -25)});
    const auto first = read_mesh(bytes, 10);
    REQUIRE(std::holds_alternative<TriangleMesh>(first));
    const TriangleMesh& mesh = std::get<TriangleMesh>(first);
    REQUIRE(mesh.triangles.size() == own.size());
    for (std::size_t t = 0; t < own.size(); ++t)
      for (std::size_t k = 0; k < 3; ++k) CHECK(mesh.vertices_mm[mesh.triangles[t][k]] == own[t][k]);
  }
}

TEST_CASE("whole numbers below zero are read as such from a binary PLY file") {
  std::string bytes =
      "ply\nformat binary_little_endian 1.0\nelement vertex 3\nproperty short x\nproperty char y\nproperty "
      "int z\nelement face 1\nproperty list uchar uchar vertex_index\nend_header\n";
  for (const int k : {-300, 0, 300}) {
    add_raw(bytes, static_cast<std::int16_t>(k), std::endian::little);
    add_raw(bytes, static_cast<std::int8_t>(k / 10), std::endian::little);
    add_raw(bytes, static_cast<std::int32_t>(10 * std::abs(k) - 5), std::endian::little);
  }
  bytes += std::string("\3\0\1\2", 4);
  const std::vector<Corners> own = read(bytes);
  REQUIRE(own.size() == 1);
  CHECK(own[0] == Corners{recheck::V3(-300, -30, 2995), recheck::V3(0, 0, -5), recheck::V3(300, 30, 2995)});
}

TEST_CASE("the recheck refuses a broken PLY file with its reason") {
  const std::string text = ply("ascii");
  CHECK(refused(text.substr(0, text.size() - 9)) == "cut short");
  CHECK(refused(text + "1 ") == "more follows than its head says");
  CHECK(refused(changed(text, "element vertex 4", "element vertex 5")) != "read");
  CHECK(refused(changed(text, "element vertex 4", "element vertex 4000001")) ==
        "its head is not one of a PLY file, version 1.0");
  CHECK(refused(changed(text, "ascii 1.0", "ascii 2.0")) == "its head is not one of a PLY file, version 1.0");
  CHECK(refused(changed(text, "property double z", "property size z")) ==
        "its head is not one of a PLY file, version 1.0");
  CHECK(refused(changed(text, "property double z", "property double w")) == "vertex 1: no place");
  CHECK(refused(changed(text, "3 0 1 2", "3 0 1 4")) == "face 1: no such corner");
  CHECK(refused(changed(text, "3 0 1 2", "3 0 1 -1")) == "face 1: no such corner");
  CHECK(refused(changed(text, "3 0 1 2", "3 0 1 1.5")) == "face 1: no such corner");
  CHECK(refused(changed(text, "3 0 1 2", "2 0 1")) == "face 1: too few corners");
  CHECK(refused(changed(text, "3 0 1 2", "65 0 1 2")) == "face 1: too many corners");
  CHECK(refused(changed(text, "element face", "element edge")) ==
        "an element that the recheck does not know: edge");
  const std::string raw = ply("binary_little_endian");
  CHECK(refused(raw.substr(0, raw.size() - 1)) == "cut short");
  CHECK(refused(ply("binary_little_endian", std::nanf(""))) == "vertex 3: no place");
  CHECK(refused(ply("binary_big_endian", 1e30F)) == "vertex 3: no place");
  CHECK(refused("ply\nformat ascii 1.0\n") == "its head is not one of a PLY file, version 1.0");
}

TEST_CASE("spots put a scan back where it was taken from, with its scale, and say nothing when in one line") {
  Dice dice(RunSeed{12}, 0);
  for (int round = 0; round < 200; ++round) {
    CAPTURE(round);
    const recheck::V3 axis =
        recheck::V3(dice.between(-1, 1), dice.between(-1, 1), dice.between(-1, 1)).normalized();
    const Eigen::Matrix3d turn = Eigen::AngleAxisd(dice.between(-3.1, 3.1), axis).toRotationMatrix();
    const double scale = dice.between(0.01, 500);
    const recheck::V3 shift(dice.between(-900, 900), dice.between(-900, 900), dice.between(-900, 900));
    std::vector<recheck::Spot> spots;
    for (std::size_t k = 0; k < 3 + dice.below(4); ++k) {
      const recheck::V3 p(dice.between(-3, 3), dice.between(-3, 3), dice.between(-3, 3));
      spots.push_back({p, scale * (turn * p) + shift});
    }
    const auto found = recheck::placing_of(spots, std::nullopt);
    REQUIRE(found);
    CHECK(found->scale == Approx(scale).epsilon(1e-9));
    CHECK((found->turn - turn).norm() < 1e-7);
    const recheck::V3 elsewhere(1, -2, 0.5);
    CHECK((found->point(elsewhere) - (scale * (turn * elsewhere) + shift)).norm() < 1e-6 * (1 + scale));
    // With the scale given only turn and shift are found, and the middle of the spots stays where it is.
    const auto fixed = recheck::placing_of(spots, 2 * scale);
    REQUIRE(fixed);
    CHECK(fixed->scale == 2 * scale);
    CHECK((fixed->turn - turn).norm() < 1e-7);
  }
  std::vector<recheck::Spot> in_line;
  for (const double t : {0.0, 1.0, 2.0, 5.0}) in_line.push_back({{t, 2 * t, -t}, {10 * t, 20 * t, -10 * t}});
  CHECK_FALSE(recheck::placing_of(in_line, std::nullopt));
  in_line.resize(2);
  CHECK_FALSE(recheck::placing_of(in_line, std::nullopt));
}
