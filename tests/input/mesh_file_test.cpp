// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/mesh_file.h"

#include <algorithm>
#include <bit>
#include <catch2/catch.hpp>
#include <cstring>
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

template <class Number>
void add_number(std::string& bytes, Number value, bool big_endian) {
  char raw[sizeof value];
  std::memcpy(raw, &value, sizeof value);
  if (big_endian) std::reverse(std::begin(raw), std::end(raw));
  bytes.append(raw, sizeof value);
}
constexpr std::string_view kPlyHead =
    "comment made for a test\nelement vertex 3\nproperty double x\nproperty uchar red\nproperty float y\n"
    "property list uchar short others\nproperty float z\nelement camera 1\nproperty list int float view\n"
    "element face 1\nproperty float quality\nproperty list uchar uint vertex_indices\nend_header\n";
std::string ply_binary(bool big_endian, std::uint32_t last_corner = 2, double first_x = 0) {
  std::string bytes = "ply\nformat binary_";
  bytes += big_endian ? "big" : "little";
  bytes += "_endian 1.0\n";
  bytes += kPlyHead;
  const auto add = [&](auto value) { add_number(bytes, value, big_endian); };
  for (int v = 0; v < 3; ++v) {
    add(v == 1 ? 2.0 : first_x);
    add(std::uint8_t{200});
    add(v == 2 ? 3.0F : 0.0F);
    add(std::uint8_t{2});
    add(std::int16_t{-7});
    add(std::int16_t{9});
    add(0.0F);
  }
  add(std::int32_t{1});
  add(4.5F);
  add(1.0F);
  add(std::uint8_t{3});
  for (const std::uint32_t corner : {std::uint32_t{0}, std::uint32_t{1}, last_corner}) add(corner);
  return bytes;
}
const std::string kPlyText = "ply\r\nformat ascii 1.0\r\n" + std::string(kPlyHead) +
                             "0 200 0 2 -7 9 0\n2 200 0 2 -7 9 0\n\n0 200 3.0e0 0 0\r\n1 4.5\n1 3 0 1 2\n";

}  // namespace

TEST_CASE("the same triangle comes out of every kind of mesh file") {
  for (const std::string& bytes :
       {stl_binary({kTriangle}), stl_binary({kTriangle}, "solid, though binary"), kText,
        std::string("# o\nv 0 0 0\r\nv 2 0 0\nv 0 3 0\nvn 0 0 1\nf 1/1/1 2//1 -1\n"), ply_binary(false),
        ply_binary(true), kPlyText}) {
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

TEST_CASE("a PLY file whose size does not match its header is refused before anything is made") {
  const auto spoilt = [](std::string bytes, const std::string& old, const std::string& fresh) {
    return bytes.replace(bytes.find(old), old.size(), fresh);
  };
  for (const bool big_endian : {false, true}) {
    const std::string good = ply_binary(big_endian);
    CHECK(why(good) == "read");
    CHECK(why(good + "x") == "1 bytes too many");
    for (std::size_t cut = good.size() - 1; cut > good.size() - 80; --cut)
      CHECK(why(good.substr(0, cut)).find("cut short") != std::string::npos);
    CHECK(why(spoilt(good, "vertex 3", "vertex 4000000000000000000")).starts_with("cut short: 4000000"));
    CHECK(why(spoilt(good, "face 1", "face 18446744073709551615")).starts_with("cut short: 1844674407"));
    CHECK(why(spoilt(good, "face 1", "face 18446744073709551616")) ==
          "line 12: an element has a name and a count");
  }
  CHECK(why(kPlyText + "1 3 0 1 2\n") == "lines follow after the last element");
  CHECK(why(spoilt(kPlyText, "vertex 3", "vertex 900")).starts_with("cut short: 900 times vertex"));
  CHECK(why(spoilt(kPlyText, "1 3 0 1 2\n", "")) == "cut short at face 1");
  CHECK(why(spoilt(kPlyText, "3 0 1 2", "3 0 1 2 7")) ==
        "face 1: more numbers on its line than the header tells of");
  CHECK(why(spoilt(kPlyText, "2 200 0 2 -7 9 0", "2 200 0 2 -7")).starts_with("vertex 2: "));
}

TEST_CASE("a PLY file that is not understood is refused with what is wrong") {
  const std::string head = "ply\nformat ascii 1.0\n";
  const std::string xyz = "element vertex 3\nproperty float x\nproperty float y\nproperty float z\n";
  const std::string faces = "element face 1\nproperty list uchar int vertex_indices\n";
  const std::string places = "0 0 0\n1 0 0\n0 1 0\n";
  const auto said = [&](const std::string& header, const std::string& body) {
    return why(head + header + "end_header\n" + body);
  };
  CHECK(said(xyz + faces, places + "3 0 1 2") == "read");
  CHECK(said(xyz + faces, places + "3 0 1 3\n") == "face 1 names vertex 3, counted from 0 there are 3");
  CHECK(said(xyz + faces, places + "3 0 1 -1\n") == "face 1 names vertex -1, counted from 0 there are 3");
  CHECK(said(xyz + faces, places + "2 0 1 \n") == "face 1 has 2 corners, want 3 or more");
  CHECK(said(xyz + faces, places + "3 0 1 1.5\n") == "face 1: want a whole number");
  CHECK(said(xyz + faces, places + "-3 0 1 2\n") == "face 1: a list of -3");
  for (const std::string bad : {"nan", "inf", "-inf", "1e300", "30000"})
    CHECK(said(xyz + faces, "0 0 0\n1 " + bad + " 0\n0 1 0\n3 0 1 2\n") ==
          "vertex 2 is not a number or more than 20 m off; is the unit right?");
  CHECK(said(xyz + faces, "0 0 0\n1 1e400 0\n0 1 0\n3 0 1 2\n") == "vertex 2: want a number");
  CHECK(said(xyz + faces, "0 0 0\n1 zero 0\n0 1 0\n3 0 1 2\n") == "vertex 2: want a number");
  CHECK(said(xyz, places) == "the file holds no triangles");
  CHECK(said("element vertex 3\nproperty float x\nproperty float y\n", "0 0\n1 0\n0 1\n") ==
        "the vertices have no z");
  CHECK(said(faces + xyz, "3 0 1 2\n" + places).starts_with("the faces come before the vertices"));
  CHECK(said(xyz + "element tristrips 1\nproperty list int int vertex_indices\n", places + "3 0 1 2\n") ==
        "triangle strips are not read; save it with faces");
  CHECK(said("element vertex 2000000000\nproperty float x\n", "").starts_with("cut short"));
  CHECK(said("element void 5\n" + xyz, places) == "the element void has no properties");
  CHECK(said("property float x\n", "") == "line 3: a property of nothing");
  CHECK(said("element vertex 3\nproperty half x\n", "") == "line 4: no type of number \"half\"");
  CHECK(said("element vertex 3\nproperty list float int x\n", "") ==
        "line 4: the length of a list is a whole number");
  CHECK(said("hello\n", "") == "line 3: \"hello\" is not a line of a PLY header");
  CHECK(why("ply\nformat ascii 2.0\nend_header\n") == "want version 1.0 of the format");
  CHECK(why("ply\nformat binary 1.0\nend_header\n") == "line 2: no format \"binary\"");
  CHECK(why("ply\nelement vertex 0\nend_header\n") == "the header states no format");
  CHECK(why("ply\nformat ascii 1.0\n") == "the file is cut short: no end_header");
  CHECK(why(ply_binary(false, 3)) == "face 1 names vertex 3, counted from 0 there are 3");
  CHECK(why(ply_binary(true, 2, std::numeric_limits<double>::quiet_NaN())).starts_with("vertex 1 is not"));
  CHECK(why(ply_binary(false, 2, 1e300)).starts_with("vertex 1 is not a number or more than 20 m off"));
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
