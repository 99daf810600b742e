// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <bit>
#include <charconv>
#include <cmath>
#include <cstring>
#include <optional>

#include "solver/recheck/triangles.h"

namespace hosefit::recheck {
namespace {

constexpr double kFarthest_mm = 20000;
constexpr std::size_t kMost = 4000000;
constexpr std::size_t kMostCorners = 64;

struct Property {
  std::string type, counted_by;  // counted_by: of a list
  std::string name;
};
struct Element {
  std::string name;
  std::size_t count = 0;
  std::vector<Property> properties;
};
enum class Order { text, little, big };
struct Head {
  Order order = Order::text;
  std::vector<Element> elements;
  std::size_t size = 0;
};

std::size_t width_of(const std::string& type) {
  if (type == "char" || type == "uchar" || type == "int8" || type == "uint8") return 1;
  if (type == "short" || type == "ushort" || type == "int16" || type == "uint16") return 2;
  if (type == "int" || type == "uint" || type == "int32" || type == "uint32" || type == "float" ||
      type == "float32")
    return 4;
  return type == "double" || type == "float64" ? 8 : 0;
}

std::vector<std::string> words_of(std::string_view line) {
  std::vector<std::string> out;
  for (std::size_t at = 0; at < line.size();) {
    const std::size_t from = line.find_first_not_of(" \t\r", at);
    if (from == std::string_view::npos) break;
    const std::size_t to = std::min(line.find_first_of(" \t\r", from), line.size());
    out.emplace_back(line.substr(from, to - from));
    at = to;
  }
  return out;
}

std::optional<Head> head_of(std::string_view bytes) {
  Head head;
  bool format = false;
  for (std::size_t at = 0;;) {
    const std::size_t end = bytes.find('\n', at);
    if (end == std::string_view::npos || end > 65536) return std::nullopt;
    const std::vector<std::string> w = words_of(bytes.substr(at, end - at));
    at = end + 1;
    if (w.empty() || w[0] == "ply" || w[0] == "comment" || w[0] == "obj_info") continue;
    if (w[0] == "end_header") {
      head.size = at;
      return format ? std::optional(head) : std::nullopt;
    }
    if (w[0] == "format" && w.size() == 3) {
      format =
          w[2] == "1.0" && (w[1] == "ascii" || w[1] == "binary_little_endian" || w[1] == "binary_big_endian");
      head.order = w[1] == "ascii" ? Order::text : w[1] == "binary_big_endian" ? Order::big : Order::little;
    } else if (w[0] == "element" && w.size() == 3) {
      std::size_t count = 0;
      const auto [stop, error] = std::from_chars(w[2].data(), w[2].data() + w[2].size(), count);
      if (error != std::errc{} || stop != w[2].data() + w[2].size() || count > kMost) return std::nullopt;
      head.elements.push_back({w[1], count, {}});
    } else if (w[0] == "property" && !head.elements.empty() && (w.size() == 3 || w.size() == 5)) {
      const bool list = w.size() == 5;
      if (list != (w[1] == "list") || width_of(w[list ? 3 : 1]) == 0 || (list && width_of(w[2]) == 0))
        return std::nullopt;
      head.elements.back().properties.push_back({w[list ? 3 : 1], list ? w[2] : "", w.back()});
    } else {
      return std::nullopt;
    }
  }
}

// One value after the other, as the header says. Once something is missing or no number, `fine` is false.
class Values {
 public:
  Values(std::string_view bytes, Order order) : rest_(bytes), order_(order) {}
  bool fine() const { return fine_; }
  bool at_end() const { return rest_.find_first_not_of(" \t\r\n") == std::string_view::npos; }
  double next(const std::string& type) { return order_ == Order::text ? from_text() : from_bytes(type); }

 private:
  double from_text() {
    const std::size_t from = rest_.find_first_not_of(" \t\r\n");
    if (from == std::string_view::npos) return missing();
    rest_.remove_prefix(from);
    std::string_view word = rest_.substr(0, rest_.find_first_of(" \t\r\n"));
    rest_.remove_prefix(word.size());
    if (word.starts_with('+')) word.remove_prefix(1);
    double value = 0;
    const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
    return error == std::errc{} && end == word.data() + word.size() ? value : missing();
  }
  double from_bytes(const std::string& type) {
    const std::size_t width = width_of(type);
    if (rest_.size() < width) return missing();
    std::uint64_t raw = 0;
    for (std::size_t i = 0; i < width; ++i)
      raw = raw << 8 | static_cast<unsigned char>(rest_[order_ == Order::big ? i : width - 1 - i]);
    rest_.remove_prefix(width);
    if (type.starts_with("f"))
      return static_cast<double>(std::bit_cast<float>(static_cast<std::uint32_t>(raw)));
    if (type.starts_with("d")) return std::bit_cast<double>(raw);
    if (type.starts_with("u")) return static_cast<double>(raw);
    const std::uint64_t sign = std::uint64_t{1} << (8 * width - 1);
    return static_cast<double>(static_cast<std::int64_t>((raw ^ sign)) - static_cast<std::int64_t>(sign));
  }
  double missing() {
    fine_ = false;
    return 0;
  }

  std::string_view rest_;
  Order order_;
  bool fine_ = true;
};

// Empty: all of it was read.
std::string vertices(const Element& element, Values& values, double scale, std::vector<V3>& out) {
  for (std::size_t i = 0; i < element.count; ++i) {
    V3 p = V3::Constant(std::nan(""));
    for (const Property& property : element.properties) {
      if (!property.counted_by.empty()) return "a list in its vertices";
      const double value = values.next(property.type);
      if (property.name.size() == 1 && property.name[0] >= 'x' && property.name[0] <= 'z')
        p[property.name[0] - 'x'] = value * scale + 0.0;
    }
    if (!values.fine()) return "cut short";
    if (!p.allFinite() || p.lpNorm<Eigen::Infinity>() > kFarthest_mm)
      return fmt::format("vertex {}: no place", i + 1);
    out.push_back(p);
  }
  return "";
}

std::string faces(const Element& element, Values& values, const std::vector<V3>& places,
                  std::vector<Corners>& out) {
  for (std::size_t i = 0; i < element.count; ++i)
    for (const Property& property : element.properties) {
      const bool corners = property.name == "vertex_indices" || property.name == "vertex_index";
      const double count = property.counted_by.empty() ? 1 : values.next(property.counted_by);
      if (!values.fine()) return "cut short";
      if (count < 0 || count > static_cast<double>(kMostCorners))
        return fmt::format("face {}: too many corners", i + 1);
      std::vector<V3> polygon;
      for (std::size_t k = 0; k < static_cast<std::size_t>(count); ++k) {
        const double at = values.next(property.type);
        if (!values.fine()) return "cut short";
        if (!corners) continue;
        if (!(at >= 0) || at >= static_cast<double>(places.size()) || at != std::floor(at))
          return fmt::format("face {}: no such corner", i + 1);
        polygon.push_back(places[static_cast<std::size_t>(at)]);
      }
      if (corners && polygon.size() < 3) return fmt::format("face {}: too few corners", i + 1);
      for (std::size_t k = 2; k < polygon.size(); ++k)
        out.push_back({polygon[0], polygon[k - 1], polygon[k]});
      if (out.size() > kMost) return "too many triangles";
    }
  return "";
}

}  // namespace

std::variant<std::vector<Corners>, std::string> read_ply_triangles(std::string_view bytes,
                                                                   double mm_per_unit) {
  const auto head = head_of(bytes);
  if (!head) return "its head is not one of a PLY file, version 1.0";
  Values values(bytes.substr(head->size), head->order);
  std::vector<V3> places;
  std::vector<Corners> out;
  for (const Element& element : head->elements) {
    std::string why;
    if (element.name == "vertex") {
      why = vertices(element, values, mm_per_unit, places);
    } else if (element.name == "face") {
      why = faces(element, values, places, out);
    } else {
      why = "an element that the recheck does not know: " + element.name;
    }
    if (!why.empty()) return why;
  }
  if (out.empty()) return "no triangles";
  if (!values.at_end()) return "more follows than its head says";
  return out;
}

}  // namespace hosefit::recheck
