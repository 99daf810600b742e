// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/mesh_file.h"

#include <bit>
#include <catch2/catch.hpp>
#include <limits>
#include <vector>

namespace hosefit {
namespace {

void add_32(std::string& bytes, std::uint32_t value) {
  for (int i = 0; i < 4; ++i) bytes.push_back(static_cast<char>(value >> (8 * i) & 0xFF));
}
std::string stl_binary(const std::vector<std::array<float, 9>>& triangles,
                       std::string_view head = "made for a test") {
  std::string bytes(head);
  bytes.resize(80, ' ');
  add_32(bytes, static_cast<std::uint32_t>(triangles.size()));
  for (const auto& t : triangles) {
    for (int i = 0; i < 3; ++i) add_32(bytes, 0);
    for (const float v : t) add_32(bytes, std::bit_cast<std::uint32_t>(v));
    bytes.append(2, '\0');
  }
  return bytes;
}
constexpr std::array<float, 9> kTriangle{0, 0, 0, 2, 0, 0, 0, 3, 0};
constexpr std::array<float, 9> kNeighbour{2, 0, 0, 2, 3, 0, 0, 3, 0};

std::string why(std::string_view bytes) {
  const auto mesh = read_mesh(bytes, 1.0);
  return std::holds_alternative<std::string>(mesh) ? std::get<std::string>(mesh) : "read";
}
const std::string kText =
    "solid x\n facet normal 0 0 1\n  outer loop\n   vertex 0 0 0\n   vertex 2 0 0\n   vertex 0 3.0e0 0\n  "
    "endloop\n endfacet\nendsolid x\n";

}  // namespace

TEST_CASE("the same triangle comes out of binary STL, text STL and OBJ") {
  for (const std::string& bytes :
       {stl_binary({kTriangle}), stl_binary({kTriangle}, "solid, though binary"), kText,
        std::string("# o\nv 0 0 0\r\nv 2 0 0\nv 0 3 0\nvn 0 0 1\nf 1/1/1 2//1 -1\n")}) {
    const auto read = read_mesh(bytes, 25.4);
    REQUIRE(std::holds_alternative<TriangleMesh>(read));
    const auto& mesh = std::get<TriangleMesh>(read);
    REQUIRE(mesh.triangles.size() == 1);
    REQUIRE(mesh.vertices_mm.size() == 3);
    CHECK(mesh.vertices_mm[mesh.triangles[0][1]] == Vec3(50.8, 0, 0));
    CHECK(mesh.vertices_mm[mesh.triangles[0][2]] == Vec3(0, 3 * 25.4, 0));
  }
}

TEST_CASE("corners at the same place become one vertex") {
  const auto read = read_mesh(stl_binary({kTriangle, kNeighbour}), 1.0);
  CHECK(std::get<TriangleMesh>(read).vertices_mm.size() == 4);
  CHECK(std::get<TriangleMesh>(read).triangles.size() == 2);
}

TEST_CASE("a face of more corners becomes a fan") {
  const auto read = read_mesh("v 0 0 0\nv 1 0 0\nv 1 1 0\nv 0 1 0\nf 1 2 3 4\n", 1.0);
  CHECK(std::get<TriangleMesh>(read).triangles.size() == 2);
}

TEST_CASE("a mesh file whose length does not match its count is refused before anything is made") {
  std::string bytes = stl_binary({kTriangle});
  bytes.pop_back();
  CHECK(why(bytes) == "a binary STL file of 1 triangles has 134 bytes, found 133; save it again");
  bytes[83] = '\x7f';  // about two thousand million triangles
  CHECK(why(bytes).starts_with("a binary STL file of 2130706433 triangles"));
  CHECK(why(kText.substr(0, kText.find("endsolid"))) == "the file is cut short: no endsolid");
}

TEST_CASE("numbers that are no place are refused with the triangle's number or line") {
  for (const float bad :
       {std::numeric_limits<float>::quiet_NaN(), std::numeric_limits<float>::infinity(), 1e30F}) {
    auto second = kNeighbour;
    second[4] = bad;
    CHECK(why(stl_binary({kTriangle, second})).starts_with("triangle 2 has a corner that is not a number"));
  }
  CHECK(why("v 0 0 nan\n").starts_with("line 1: want three numbers"));
  CHECK(why("v 0 0 1e400\n").starts_with("line 1: want three numbers"));
  CHECK(why("v 0 0\n").starts_with("line 1: want three numbers"));
}

TEST_CASE("a mesh that says nothing or points nowhere is refused") {
  CHECK(why("") == "the file is empty");
  CHECK(why(stl_binary({})) == "the file holds no triangles");
  CHECK(why("v 0 0 0\n") == "the file holds no triangles");
  CHECK(why("v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 4\n") ==
        "line 4: \"4\" names none of the 3 vertices before it");
  CHECK(why("v 0 0 0\nf 1 -2 0\n") == "line 2: \"-2\" names none of the 1 vertices before it");
  CHECK(why("v 0 0 0\nv 1 0 0\nf 1 2\n") == "line 3: the face has 2 corners, want 3 or more");
  CHECK(why("solid x\n facet\n vertex 0 0 0\n endfacet\nendsolid\n") ==
        "line 4: the facet has 1 corners, want 3");
  CHECK(why("solid x\nhello\n") == "line 2: not a line of an STL text file");
}

}  // namespace hosefit
