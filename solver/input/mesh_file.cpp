// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/mesh_file.h"

#include <fmt/format.h>

#include <array>
#include <bit>
#include <optional>

#include "solver/geometry/vertex_welding.h"
#include "solver/input/ply_file.h"
#include "solver/input/text_words.h"

namespace hosefit {
namespace {

constexpr std::size_t kStlHead = 84, kStlTriangle = 50;
using MeshOrWhy = std::variant<TriangleMesh, std::string>;

// Triangles over vertices that stand at each place once.
class Soup {
 public:
  void add(const std::array<Vec3, 3>& corners) {
    mesh_.triangles.push_back(
        {welder_.index_of(corners[0]), welder_.index_of(corners[1]), welder_.index_of(corners[2])});
  }
  void reserve(std::size_t triangles) { mesh_.triangles.reserve(triangles); }
  std::size_t count() const { return mesh_.triangles.size(); }
  TriangleMesh take() {
    mesh_.vertices_mm = welder_.take();
    return std::move(mesh_);
  }

 private:
  TriangleMesh mesh_;
  VertexWelder welder_;
};

std::uint32_t little_endian_32(std::string_view bytes, std::size_t at) {
  std::uint32_t value = 0;
  for (std::size_t i = 4; i-- > 0;) value = value << 8 | static_cast<unsigned char>(bytes[at + i]);
  return value;
}

MeshOrWhy read_stl_binary(std::string_view bytes, double mm_per_unit) {
  const std::size_t count = little_endian_32(bytes, 80);
  if (count == 0) return "the file holds no triangles";
  Soup soup;
  soup.reserve(count);
  for (std::size_t t = 0; t < count; ++t) {
    std::array<Vec3, 3> corners;
    for (std::size_t k = 0; k < 9; ++k) {
      const std::uint32_t raw = little_endian_32(bytes, kStlHead + t * kStlTriangle + 12 + 4 * k);
      corners[k / 3][static_cast<Eigen::Index>(k % 3)] =
          static_cast<double>(std::bit_cast<float>(raw)) * mm_per_unit + 0.0;
    }
    for (const Vec3& p : corners)
      if (!usable(p))
        return fmt::format(
            "triangle {} has a corner that is not a number or more than 20 m off; is the unit right?", t + 1);
    soup.add(corners);
  }
  return soup.take();
}

std::string bad_point(std::size_t line) {
  return fmt::format("line {}: want three numbers, finite and within 20 m", line);
}

MeshOrWhy read_stl_text(std::string_view bytes, double mm_per_unit) {
  TextWords words(bytes);
  Soup soup;
  std::vector<Vec3> corners;
  bool ended = false;
  while (words.next_line()) {
    const std::string_view first = words.next_word();
    if (first == "vertex") {
      const auto p = words.next_point(mm_per_unit);
      if (!p) return bad_point(words.number());
      corners.push_back(*p);
    } else if (first == "endfacet") {
      if (corners.size() != 3)
        return fmt::format("line {}: the facet has {} corners, want 3", words.number(), corners.size());
      if (soup.count() >= kMostTriangles) return too_many_triangles();
      soup.add({corners[0], corners[1], corners[2]});
      corners.clear();
    } else if (first == "endsolid") {
      ended = true;
    } else if (!(first.empty() || first == "solid" || first == "facet" || first == "outer" ||
                 first == "endloop")) {
      return fmt::format("line {}: not a line of an STL text file", words.number());
    }
  }
  if (!ended || !corners.empty()) return "the file is cut short: no endsolid";
  if (soup.count() == 0) return "the file holds no triangles";
  return soup.take();
}

// The index before the first slash of "7/1/3"; counts from 1, negative ones back from the last vertex.
std::optional<std::uint32_t> obj_index(std::string_view word, std::size_t vertices) {
  word = word.substr(0, word.find('/'));
  if (word.starts_with('+')) return std::nullopt;
  const auto value = number_of<long long>(word);
  if (!value || *value == 0) return std::nullopt;
  const long long index = *value < 0 ? static_cast<long long>(vertices) + *value : *value - 1;
  if (index < 0 || index >= static_cast<long long>(vertices)) return std::nullopt;
  return static_cast<std::uint32_t>(index);
}

MeshOrWhy read_obj(std::string_view bytes, double mm_per_unit) {
  TextWords words(bytes);
  std::vector<Vec3> vertices;
  Soup soup;
  while (words.next_line()) {
    const std::string_view first = words.next_word();
    if (first == "v") {
      const auto p = words.next_point(mm_per_unit);
      if (!p) return bad_point(words.number());
      vertices.push_back(*p);
    } else if (first == "f") {
      std::vector<std::uint32_t> corners;
      for (std::string_view w = words.next_word(); !w.empty(); w = words.next_word()) {
        const auto index = obj_index(w, vertices.size());
        if (!index)
          return fmt::format("line {}: \"{}\" names none of the {} vertices before it", words.number(),
                             w.substr(0, 20), vertices.size());
        corners.push_back(*index);
      }
      if (corners.size() < 3)
        return fmt::format("line {}: the face has {} corners, want 3 or more", words.number(),
                           corners.size());
      if (soup.count() + corners.size() - 2 > kMostTriangles) return too_many_triangles();
      for (std::size_t k = 1; k + 1 < corners.size(); ++k)
        soup.add({vertices[corners[0]], vertices[corners[k]], vertices[corners[k + 1]]});
    }
  }
  if (soup.count() == 0) return "the file holds no triangles";
  return soup.take();
}

}  // namespace

std::string too_many_triangles() {
  return fmt::format("more than {} triangles; thin the mesh out", kMostTriangles);
}

MeshOrWhy read_mesh(std::string_view bytes, double mm_per_unit) {
  if (bytes.size() > kMostMeshBytes)
    return fmt::format("larger than the {} MiB that are read", kMostMeshBytes >> 20);
  if (bytes.starts_with("ply\n") || bytes.starts_with("ply\r")) return read_ply(bytes, mm_per_unit);
  if (bytes.size() >= kStlHead) {
    // Binary files may begin with the word solid as well; only the length tells.
    const std::size_t count = little_endian_32(bytes, 80);
    if (bytes.size() == kStlHead + count * kStlTriangle)
      return count > kMostTriangles ? MeshOrWhy(too_many_triangles()) : read_stl_binary(bytes, mm_per_unit);
  }
  if (bytes.find('\0') != std::string_view::npos) {
    if (bytes.size() < kStlHead) return "cut short: a binary STL file has at least 84 bytes";
    const std::size_t count = little_endian_32(bytes, 80);
    return fmt::format("a binary STL file of {} triangles has {} bytes, found {}; save it again", count,
                       kStlHead + count * kStlTriangle, bytes.size());
  }
  TextWords words(bytes);
  while (words.next_line()) {
    const std::string_view first = words.next_word();
    if (first.empty() || first.starts_with('#')) continue;
    return first == "solid" ? read_stl_text(bytes, mm_per_unit) : read_obj(bytes, mm_per_unit);
  }
  return "the file is empty";
}

}  // namespace hosefit
