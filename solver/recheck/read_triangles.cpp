// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <cstring>

#include "solver/recheck/triangles.h"

namespace hosefit::recheck {
namespace {

constexpr double kFarthest_mm = 20000;
constexpr std::size_t kMost = 4000000;
using Read = std::variant<std::vector<Corners>, std::string>;

bool sound(const V3& p) {
  return p.allFinite() && p.lpNorm<Eigen::Infinity>() <= kFarthest_mm;
}

std::uint32_t count_of(std::string_view bytes) {
  std::uint32_t count = 0;
  for (std::size_t i = 84; i-- > 80;) count = count * 256 + static_cast<unsigned char>(bytes[i]);
  return count;
}

float float_at(std::string_view bytes, std::size_t at) {
  std::uint32_t raw = 0;
  for (std::size_t i = 4; i-- > 0;) raw = raw * 256 + static_cast<unsigned char>(bytes[at + i]);
  float value = 0;
  std::memcpy(&value, &raw, sizeof value);
  return value;
}

Read binary_stl(std::string_view bytes, double scale) {
  std::vector<Corners> out;
  out.reserve(count_of(bytes));
  for (std::size_t at = 84; at + 50 <= bytes.size(); at += 50) {
    Corners t;
    for (std::size_t k = 0; k < 3; ++k)
      for (std::size_t axis = 0; axis < 3; ++axis)
        t[k][static_cast<Eigen::Index>(axis)] =
            static_cast<double>(float_at(bytes, at + 12 + 12 * k + 4 * axis)) * scale + 0.0;
    for (const V3& corner : t)
      if (!sound(corner)) return fmt::format("triangle {}: a corner is no place", out.size() + 1);
    out.push_back(t);
  }
  if (out.empty()) return "no triangles";
  return out;
}

// Words of a text, line by line.
class Lines {
 public:
  explicit Lines(std::string_view text) : rest_(text) {}
  bool next() {
    if (rest_.empty()) return false;
    const std::size_t end = std::min(rest_.find('\n'), rest_.size());
    words_.clear();
    for (std::size_t at = 0; at < end;) {
      const std::size_t from = rest_.find_first_not_of(" \t\r", at);
      if (from >= end) break;
      const std::size_t to = std::min(rest_.find_first_of(" \t\r\n", from), end);
      words_.push_back(rest_.substr(from, to - from));
      at = to;
    }
    rest_.remove_prefix(std::min(end + 1, rest_.size()));
    ++line_;
    return true;
  }
  const std::vector<std::string_view>& words() const { return words_; }
  std::size_t line() const { return line_; }
  /// Words 1 to 3 as a place.
  bool place(V3& out, double scale) const {
    if (words_.size() < 4) return false;
    for (std::size_t k = 0; k < 3; ++k) {
      std::string_view word = words_[k + 1];
      if (word.starts_with('+')) word.remove_prefix(1);
      double value = 0;
      const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
      if (error != std::errc{} || end != word.data() + word.size()) return false;
      out[static_cast<Eigen::Index>(k)] = value * scale + 0.0;
    }
    return sound(out);
  }

 private:
  std::string_view rest_;
  std::vector<std::string_view> words_;
  std::size_t line_ = 0;
};

Read text_stl(std::string_view bytes, double scale) {
  Lines lines(bytes);
  std::vector<Corners> out;
  std::vector<V3> corners;
  bool ended = false;
  while (lines.next()) {
    if (lines.words().empty()) continue;
    const std::string_view first = lines.words().front();
    if (first == "vertex") {
      V3 p = V3::Zero();
      if (!lines.place(p, scale)) return fmt::format("line {}: no place", lines.line());
      corners.push_back(p);
    } else if (first == "endfacet") {
      if (corners.size() != 3) return fmt::format("line {}: not three corners", lines.line());
      out.push_back({corners[0], corners[1], corners[2]});
      corners.clear();
      if (out.size() > kMost) return "too many triangles";
    } else if (first == "endsolid") {
      ended = true;
    } else if (first != "solid" && first != "facet" && first != "outer" && first != "endloop") {
      return fmt::format("line {}: not known in an STL file", lines.line());
    }
  }
  if (!ended || !corners.empty() || out.empty()) return "cut short";
  return out;
}

bool corner_of(std::string_view word, const std::vector<V3>& places, V3& out) {
  word = word.substr(0, word.find('/'));
  long long n = 0;
  const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), n);
  if (error != std::errc{} || end != word.data() + word.size()) return false;
  const long long count = static_cast<long long>(places.size());
  const long long at = n > 0 ? n - 1 : count + n;
  if (n == 0 || at < 0 || at >= count) return false;
  out = places[static_cast<std::size_t>(at)];
  return true;
}

Read obj(std::string_view bytes, double scale) {
  Lines lines(bytes);
  std::vector<V3> places;
  std::vector<Corners> out;
  while (lines.next()) {
    if (lines.words().empty()) continue;
    if (lines.words().front() == "v") {
      V3 p = V3::Zero();
      if (!lines.place(p, scale)) return fmt::format("line {}: no place", lines.line());
      places.push_back(p);
    } else if (lines.words().front() == "f") {
      std::vector<V3> corners(lines.words().size() - 1, V3::Zero());
      for (std::size_t k = 0; k < corners.size(); ++k)
        if (!corner_of(lines.words()[k + 1], places, corners[k]))
          return fmt::format("line {}: no such corner", lines.line());
      if (corners.size() < 3) return fmt::format("line {}: too few corners", lines.line());
      for (std::size_t k = 2; k < corners.size(); ++k)
        out.push_back({corners[0], corners[k - 1], corners[k]});
      if (out.size() > kMost) return "too many triangles";
    }
  }
  if (out.empty()) return "no triangles";
  return out;
}

}  // namespace

Read read_triangles(std::string_view bytes, double mm_per_unit) {
  if (bytes.starts_with("ply\n") || bytes.starts_with("ply\r")) return read_ply_triangles(bytes, mm_per_unit);
  if (bytes.size() >= 84) {
    const std::size_t count = count_of(bytes);
    if (bytes.size() == 84 + 50 * count)
      return count > kMost ? Read("too many triangles") : binary_stl(bytes, mm_per_unit);
  }
  if (bytes.find('\0') != std::string_view::npos) return "the count in its head does not go with its size";
  Lines lines(bytes);
  while (lines.next()) {
    if (lines.words().empty() || lines.words().front().starts_with('#')) continue;
    return lines.words().front() == "solid" ? text_stl(bytes, mm_per_unit) : obj(bytes, mm_per_unit);
  }
  return "empty";
}

}  // namespace hosefit::recheck
