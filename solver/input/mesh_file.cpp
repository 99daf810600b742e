// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/mesh_file.h"

#include <fmt/format.h>

#include <array>
#include <bit>
#include <charconv>
#include <cmath>
#include <optional>
#include <unordered_map>

namespace hosefit {
namespace {

constexpr double kFarthestMm = 2e4;
constexpr std::size_t kStlHead = 84, kStlTriangle = 50;
using MeshOrWhy = std::variant<TriangleMesh, std::string>;

// Vertices of triangle soup, each place once.
class Welder {
 public:
  std::uint32_t index_of(const Vec3& p_mm) {
    const auto [it, fresh] = at_.try_emplace(std::array{p_mm.x(), p_mm.y(), p_mm.z()},
                                             static_cast<std::uint32_t>(mesh_.vertices_mm.size()));
    if (fresh) mesh_.vertices_mm.push_back(p_mm);
    return it->second;
  }
  void add(const std::array<Vec3, 3>& corners) {
    mesh_.triangles.push_back({index_of(corners[0]), index_of(corners[1]), index_of(corners[2])});
  }
  std::size_t count() const { return mesh_.triangles.size(); }
  TriangleMesh take() { return std::move(mesh_); }

 private:
  TriangleMesh mesh_;
  struct Hash {
    std::size_t operator()(const std::array<double, 3>& p) const {
      std::uint64_t h = 0;
      for (const double v : p)
        h = (h ^ std::bit_cast<std::uint64_t>(v)) * 0x9e3779b97f4a7c15ULL, h ^= h >> 29;
      return static_cast<std::size_t>(h);
    }
  };
  std::unordered_map<std::array<double, 3>, std::uint32_t, Hash> at_;
};

bool usable(const Vec3& p_mm) {
  return p_mm.allFinite() && p_mm.cwiseAbs().maxCoeff() <= kFarthestMm;
}

std::uint32_t little_endian_32(std::string_view bytes, std::size_t at) {
  std::uint32_t value = 0;
  for (std::size_t i = 4; i-- > 0;) value = value << 8 | static_cast<unsigned char>(bytes[at + i]);
  return value;
}

MeshOrWhy read_stl_binary(std::string_view bytes, double mm_per_unit) {
  const std::size_t count = little_endian_32(bytes, 80);
  if (count == 0) return "the file holds no triangles";
  Welder welder;
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
    welder.add(corners);
  }
  return welder.take();
}

// One line of words, taken from the front of a text.
class Words {
 public:
  explicit Words(std::string_view text) : text_(text) {}
  bool next_line() {
    if (rest_ >= text_.size()) return false;
    const std::size_t end = std::min(text_.find('\n', rest_), text_.size());
    line_ = text_.substr(rest_, end - rest_);
    rest_ = end + 1;
    ++number_;
    return true;
  }
  std::string_view next_word() {
    const std::size_t begin = line_.find_first_not_of(" \t\r");
    if (begin == std::string_view::npos) return {};
    const std::size_t end = std::min(line_.find_first_of(" \t\r", begin), line_.size());
    const std::string_view word = line_.substr(begin, end - begin);
    line_.remove_prefix(end);
    return word;
  }
  std::optional<Vec3> next_point(double mm_per_unit) {
    Vec3 p;
    for (Eigen::Index i = 0; i < 3; ++i) {
      std::string_view word = next_word();
      if (word.starts_with('+')) word.remove_prefix(1);
      double value = 0;
      const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
      if (word.empty() || error != std::errc{} || end != word.data() + word.size()) return std::nullopt;
      p[i] = value * mm_per_unit + 0.0;
    }
    if (!usable(p)) return std::nullopt;
    return p;
  }
  std::size_t number() const { return number_; }

 private:
  std::string_view text_, line_;
  std::size_t rest_ = 0, number_ = 0;
};

std::string too_many() {
  return fmt::format("more than {} triangles; thin the mesh out", kMostTriangles);
}
std::string bad_point(std::size_t line) {
  return fmt::format("line {}: want three numbers, finite and within 20 m", line);
}

MeshOrWhy read_stl_text(std::string_view bytes, double mm_per_unit) {
  Words words(bytes);
  Welder welder;
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
      if (welder.count() >= kMostTriangles) return too_many();
      welder.add({corners[0], corners[1], corners[2]});
      corners.clear();
    } else if (first == "endsolid") {
      ended = true;
    } else if (!(first.empty() || first == "solid" || first == "facet" || first == "outer" ||
                 first == "endloop")) {
      return fmt::format("line {}: not a line of an STL text file", words.number());
    }
  }
  if (!ended || !corners.empty()) return "the file is cut short: no endsolid";
  if (welder.count() == 0) return "the file holds no triangles";
  return welder.take();
}

// The index before the first slash of "7/1/3"; counts from 1, negative ones back from the last vertex.
std::optional<std::uint32_t> obj_index(std::string_view word, std::size_t vertices) {
  word = word.substr(0, word.find('/'));
  long long value = 0;
  const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
  if (word.empty() || error != std::errc{} || end != word.data() + word.size()) return std::nullopt;
  const long long index = value < 0 ? static_cast<long long>(vertices) + value : value - 1;
  if (value == 0 || index < 0 || index >= static_cast<long long>(vertices)) return std::nullopt;
  return static_cast<std::uint32_t>(index);
}

MeshOrWhy read_obj(std::string_view bytes, double mm_per_unit) {
  Words words(bytes);
  std::vector<Vec3> vertices;
  Welder welder;
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
      if (welder.count() + corners.size() - 2 > kMostTriangles) return too_many();
      for (std::size_t k = 1; k + 1 < corners.size(); ++k)
        welder.add({vertices[corners[0]], vertices[corners[k]], vertices[corners[k + 1]]});
    }
  }
  if (welder.count() == 0) return "the file holds no triangles";
  return welder.take();
}

}  // namespace

MeshOrWhy read_mesh(std::string_view bytes, double mm_per_unit) {
  if (bytes.size() > kMostMeshBytes)
    return fmt::format("larger than the {} MiB that are read", kMostMeshBytes >> 20);
  if (bytes.size() >= kStlHead) {
    // Binary files may begin with the word solid as well; only the length tells.
    const std::size_t count = little_endian_32(bytes, 80);
    if (bytes.size() == kStlHead + count * kStlTriangle)
      return count > kMostTriangles ? MeshOrWhy(too_many()) : read_stl_binary(bytes, mm_per_unit);
  }
  if (bytes.find('\0') != std::string_view::npos) {
    if (bytes.size() < kStlHead) return "cut short: a binary STL file has at least 84 bytes";
    const std::size_t count = little_endian_32(bytes, 80);
    return fmt::format("a binary STL file of {} triangles has {} bytes, found {}; save it again", count,
                       kStlHead + count * kStlTriangle, bytes.size());
  }
  Words words(bytes);
  while (words.next_line()) {
    const std::string_view first = words.next_word();
    if (first.empty() || first.starts_with('#')) continue;
    return first == "solid" ? read_stl_text(bytes, mm_per_unit) : read_obj(bytes, mm_per_unit);
  }
  return "the file is empty";
}

}  // namespace hosefit
