// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/input/ply_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <limits>
#include <optional>
#include <utility>
#include <vector>

#include "solver/geometry/vertex_welding.h"
#include "solver/input/mesh_file.h"
#include "solver/input/text_words.h"

namespace hosefit {
namespace {

enum class Coding { text, little_endian, big_endian };
enum class NumberKind { signed_whole, unsigned_whole, floating };
struct NumberType {
  NumberKind kind = NumberKind::floating;
  std::size_t bytes = 4;
};

struct Property {
  std::string name;
  NumberType type;
  std::optional<NumberType> count = std::nullopt;  // of a list
};
struct Element {
  std::string name;
  std::size_t count = 0;
  std::vector<Property> properties;
};
struct Header {
  Coding coding = Coding::text;
  std::vector<Element> elements;
  std::size_t body = 0;  // where it begins
};

std::string shown(std::string_view word) {
  std::string out(word.substr(0, 30));
  std::replace_if(
      out.begin(), out.end(), [](char c) { return c < ' ' || c > '~'; }, '?');
  return out;
}

std::optional<NumberType> number_type(std::string_view word) {
  struct Named {
    std::string_view old_name, name;
    NumberType type;
  };
  static constexpr std::array kTypes{Named{"char", "int8", {NumberKind::signed_whole, 1}},
                                     Named{"uchar", "uint8", {NumberKind::unsigned_whole, 1}},
                                     Named{"short", "int16", {NumberKind::signed_whole, 2}},
                                     Named{"ushort", "uint16", {NumberKind::unsigned_whole, 2}},
                                     Named{"int", "int32", {NumberKind::signed_whole, 4}},
                                     Named{"uint", "uint32", {NumberKind::unsigned_whole, 4}},
                                     Named{"float", "float32", {NumberKind::floating, 4}},
                                     Named{"double", "float64", {NumberKind::floating, 8}}};
  for (const Named& named : kTypes)
    if (word == named.old_name || word == named.name) return named.type;
  return std::nullopt;
}

// Throws the reason as text; caught in read_ply.
struct Refused {
  std::string why;
};
[[noreturn]] void refuse(std::string why) {
  throw Refused{std::move(why)};
}

Property read_property(TextWords& words) {
  const auto type = [&](std::string_view word) {
    const auto known = number_type(word);
    if (!known) refuse(fmt::format("line {}: no type of number \"{}\"", words.number(), shown(word)));
    return *known;
  };
  Property property;
  std::string_view word = words.next_word();
  if (word == "list") {
    property.count = type(words.next_word());
    if (property.count->kind == NumberKind::floating)
      refuse(fmt::format("line {}: the length of a list is a whole number", words.number()));
    word = words.next_word();
  }
  property.type = type(word);
  property.name = words.next_word();
  if (property.name.empty()) refuse(fmt::format("line {}: a property has a name", words.number()));
  return property;
}

Coding read_coding(TextWords& words) {
  const std::string_view coding = words.next_word();
  if (words.next_word() != "1.0") refuse("want version 1.0 of the format");
  if (coding == "ascii") return Coding::text;
  if (coding == "binary_little_endian") return Coding::little_endian;
  if (coding == "binary_big_endian") return Coding::big_endian;
  refuse(fmt::format("line {}: no format \"{}\"", words.number(), shown(coding)));
}

Header read_header(std::string_view bytes) {
  Header header;
  TextWords words(bytes);
  bool format_said = false;
  while (words.next_line()) {
    const std::string_view first = words.next_word();
    if (words.number() == 1 || first.empty() || first == "comment" || first == "obj_info") continue;
    if (first == "format") {
      if (format_said) refuse(fmt::format("line {}: a second format", words.number()));
      header.coding = read_coding(words);
      format_said = true;
    } else if (first == "element") {
      Element element{std::string(words.next_word()), 0, {}};
      const auto count = number_of<std::size_t>(words.next_word());
      if (!count) refuse(fmt::format("line {}: an element has a name and a count", words.number()));
      element.count = *count;
      header.elements.push_back(std::move(element));
    } else if (first == "property") {
      if (header.elements.empty()) refuse(fmt::format("line {}: a property of nothing", words.number()));
      header.elements.back().properties.push_back(read_property(words));
    } else if (first == "end_header") {
      if (!format_said) refuse("the header states no format");
      header.body = words.rest();
      return header;
    } else {
      refuse(fmt::format("line {}: \"{}\" is not a line of a PLY header", words.number(), shown(first)));
    }
  }
  refuse("the file is cut short: no end_header");
}

// Least bytes of one element: every list empty, every number one digit with its blank.
std::size_t least_bytes(const Element& element, Coding coding) {
  std::size_t sum = 0;
  for (const Property& p : element.properties)
    sum += coding == Coding::text ? 2 : p.count ? p.count->bytes : p.type.bytes;
  return sum;
}

void check_size(const Header& header, std::size_t file_size) {
  // The last line of a text need not end.
  std::size_t rest = file_size - header.body + (header.coding == Coding::text ? 1 : 0);
  for (const Element& element : header.elements) {
    if (element.count == 0) continue;
    const std::size_t least = least_bytes(element, header.coding);
    if (least == 0) refuse(fmt::format("the element {} has no properties", shown(element.name)));
    if (element.count > rest / least)
      refuse(fmt::format("cut short: {} times {} need at least {} bytes each, {} are left of the file's {}",
                         element.count, shown(element.name), least, rest, file_size));
    rest -= element.count * least;
  }
}

// The numbers of the body in order. Every demand is checked against the end of the file.
class Body {
 public:
  Body(std::string_view bytes, const Header& header)
      : bytes_(bytes), coding_(header.coding), at_(header.body), words_(bytes.substr(header.body)) {}

  void begin(std::string_view what, std::size_t number) {
    what_ = what;
    number_ = number;
    if (coding_ != Coding::text) return;
    do {
      if (!words_.next_line()) refuse(fmt::format("cut short at {} {}", what_, number_));
      ahead_ = words_.next_word();
    } while (ahead_.empty());
  }
  void end() {
    if (coding_ == Coding::text && !ahead_.empty())
      refuse(fmt::format("{} {}: more numbers on its line than the header tells of", what_, number_));
  }
  double number(NumberType type) {
    if (coding_ != Coding::text) return decoded(type);
    const auto value = number_of<double>(word());
    // Whether it is finite and near is asked where it matters.
    if (!value) refuse(fmt::format("{} {}: want a number", what_, number_));
    return *value;
  }
  long long whole(NumberType type) {
    if (coding_ != Coding::text) return static_cast<long long>(decoded(type));
    const auto value = number_of<long long>(word());
    if (!value) refuse(fmt::format("{} {}: want a whole number", what_, number_));
    return *value;
  }
  void skip(const Property& property) {
    const long long n = property.count ? list_length(property) : 1;
    if (coding_ != Coding::text) {
      need(static_cast<std::size_t>(n) * property.type.bytes);
      at_ += static_cast<std::size_t>(n) * property.type.bytes;
      return;
    }
    for (long long i = 0; i < n; ++i)
      if (word().empty()) refuse(fmt::format("{} {}: too few numbers on its line", what_, number_));
  }
  long long list_length(const Property& list) {
    const long long n = whole(*list.count);
    if (n < 0 || n > static_cast<long long>(bytes_.size()))
      refuse(fmt::format("{} {}: a list of {}", what_, number_, n));
    return n;
  }
  void finish() {
    if (coding_ != Coding::text) {
      if (at_ != bytes_.size()) refuse(fmt::format("{} bytes too many", bytes_.size() - at_));
      return;
    }
    while (words_.next_line())
      if (!words_.next_word().empty()) refuse("lines follow after the last element");
  }

 private:
  std::string_view word() { return std::exchange(ahead_, words_.next_word()); }
  void need(std::size_t n) const {
    if (n > bytes_.size() - at_) refuse(fmt::format("cut short at {} {}", what_, number_));
  }
  double decoded(NumberType type) {
    need(type.bytes);
    std::uint64_t raw = 0;
    for (std::size_t i = 0; i < type.bytes; ++i) {
      const std::size_t from = coding_ == Coding::big_endian ? i : type.bytes - 1 - i;
      raw = raw << 8 | static_cast<unsigned char>(bytes_[at_ + from]);
    }
    at_ += type.bytes;
    switch (type.kind) {
      case NumberKind::floating:
        return type.bytes == 8 ? std::bit_cast<double>(raw)
                               : static_cast<double>(std::bit_cast<float>(static_cast<std::uint32_t>(raw)));
      case NumberKind::unsigned_whole:
        return static_cast<double>(raw);
      case NumberKind::signed_whole:
        break;
    }
    const int unused = static_cast<int>(64 - 8 * type.bytes);
    return static_cast<double>(static_cast<std::int64_t>(raw << unused) >> unused);
  }

  std::string_view bytes_;
  Coding coding_;
  std::size_t at_;
  TextWords words_;
  std::string_view ahead_;  // the next word of the line
  std::string_view what_;
  std::size_t number_ = 0;
};

std::size_t place_of(const Element& element, std::string_view name) {
  for (std::size_t i = 0; i < element.properties.size(); ++i)
    if (element.properties[i].name == name) return i;
  return element.properties.size();
}

std::vector<Vec3> read_vertices(const Element& element, Body& body, double mm_per_unit) {
  std::array<std::size_t, 3> axis{};
  for (std::size_t k = 0; k < 3; ++k) {
    axis[k] = place_of(element, std::string(1, "xyz"[k]));
    if (axis[k] == element.properties.size() || element.properties[axis[k]].count)
      refuse(fmt::format("the vertices have no {}", "xyz"[k]));
  }
  std::vector<Vec3> out;
  out.reserve(element.count);
  for (std::size_t i = 0; i < element.count; ++i) {
    body.begin("vertex", i + 1);
    Vec3 p = Vec3::Zero();
    for (std::size_t k = 0; k < element.properties.size(); ++k) {
      const auto which = std::find(axis.begin(), axis.end(), k);
      if (which == axis.end())
        body.skip(element.properties[k]);
      else
        p[which - axis.begin()] = body.number(element.properties[k].type) * mm_per_unit + 0.0;
    }
    body.end();
    if (!usable(p))
      refuse(fmt::format("vertex {} is not a number or more than 20 m off; is the unit right?", i + 1));
    out.push_back(p);
  }
  return out;
}

// Triangles over welded vertices; a vertex is welded when the first face names it.
class Faces {
 public:
  explicit Faces(const std::vector<Vec3>& vertices) : vertices_(vertices), welded_(vertices.size(), kNone) {}
  void add(const std::vector<std::size_t>& corners) {
    for (std::size_t k = 1; k + 1 < corners.size(); ++k)
      triangles_.push_back({index(corners[0]), index(corners[k]), index(corners[k + 1])});
  }
  std::size_t count() const { return triangles_.size(); }
  TriangleMesh take() { return {welder_.take(), std::move(triangles_)}; }

 private:
  static constexpr std::uint32_t kNone = std::numeric_limits<std::uint32_t>::max();
  std::uint32_t index(std::size_t vertex) {
    if (welded_[vertex] == kNone) welded_[vertex] = welder_.index_of(vertices_[vertex]);
    return welded_[vertex];
  }
  const std::vector<Vec3>& vertices_;
  std::vector<std::uint32_t> welded_;
  VertexWelder welder_;
  std::vector<std::array<std::uint32_t, 3>> triangles_;
};

TriangleMesh read_faces(const Element& element, Body& body, const std::vector<Vec3>& vertices) {
  std::size_t list = place_of(element, "vertex_indices");
  if (list == element.properties.size()) list = place_of(element, "vertex_index");
  if (list == element.properties.size() || !element.properties[list].count ||
      element.properties[list].type.kind == NumberKind::floating)
    refuse("the faces have no list vertex_indices of whole numbers");
  Faces faces(vertices);
  std::vector<std::size_t> corners;
  for (std::size_t i = 0; i < element.count; ++i) {
    body.begin("face", i + 1);
    for (std::size_t k = 0; k < element.properties.size(); ++k) {
      const Property& property = element.properties[k];
      if (k != list) {
        body.skip(property);
        continue;
      }
      corners.clear();
      const long long n = body.list_length(property);
      if (n < 3) refuse(fmt::format("face {} has {} corners, want 3 or more", i + 1, n));
      for (long long c = 0; c < n; ++c) {
        const long long corner = body.whole(property.type);
        if (corner < 0 || corner >= static_cast<long long>(vertices.size()))
          refuse(fmt::format("face {} names vertex {}, counted from 0 there are {}", i + 1, corner,
                             vertices.size()));
        corners.push_back(static_cast<std::size_t>(corner));
      }
    }
    body.end();
    if (faces.count() + corners.size() - 2 > kMostTriangles) refuse(too_many_triangles());
    faces.add(corners);
  }
  return faces.take();
}

TriangleMesh read_all(std::string_view bytes, double mm_per_unit) {
  const Header header = read_header(bytes);
  check_size(header, bytes.size());
  Body body(bytes, header);
  std::optional<std::vector<Vec3>> vertices;
  std::optional<TriangleMesh> mesh;
  for (const Element& element : header.elements) {
    if (element.name == "tristrips") refuse("triangle strips are not read; save it with faces");
    if (element.name == "vertex" && !vertices) {
      vertices = read_vertices(element, body, mm_per_unit);
    } else if (element.name == "face" && !mesh) {
      if (!vertices) refuse("the faces come before the vertices; save it with the vertices first");
      mesh = read_faces(element, body, *vertices);
    } else {
      for (std::size_t i = 0; i < element.count; ++i) {
        body.begin(element.name, i + 1);
        for (const Property& property : element.properties) body.skip(property);
        body.end();
      }
    }
  }
  body.finish();
  if (!mesh || mesh->triangles.empty()) refuse("the file holds no triangles");
  return *std::move(mesh);
}

}  // namespace

std::variant<TriangleMesh, std::string> read_ply(std::string_view bytes, double mm_per_unit) {
  try {
    return read_all(bytes, mm_per_unit);
  } catch (const Refused& refused) {
    return refused.why;
  }
}

}  // namespace hosefit
