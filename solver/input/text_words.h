// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <charconv>
#include <optional>
#include <string_view>

#include "solver/geometry/vec.h"

/// What the readers of mesh files share.
namespace hosefit {

/// Nothing in a vehicle is farther off; so are no numbers of a scan in its own unit.
inline constexpr double kFarthestMm = 2e4;

inline bool usable(const Vec3& p_mm) {
  return p_mm.allFinite() && p_mm.cwiseAbs().maxCoeff() <= kFarthestMm;
}

/// A whole word as a number in the C locale; a plus sign may stand before it.
template <class Number>
std::optional<Number> number_of(std::string_view word) {
  if (word.starts_with('+')) word.remove_prefix(1);
  Number value{};
  const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
  if (word.empty() || error != std::errc{} || end != word.data() + word.size()) return std::nullopt;
  return value;
}

/// Words of a text, line by line.
class TextWords {
 public:
  explicit TextWords(std::string_view text) : text_(text) {}
  bool next_line() {
    if (rest_ >= text_.size()) return false;
    const std::size_t end = std::min(text_.find('\n', rest_), text_.size());
    line_ = text_.substr(rest_, end - rest_);
    rest_ = end + 1;
    ++number_;
    return true;
  }
  /// Empty at the end of the line.
  std::string_view next_word() {
    std::size_t begin = 0;
    while (begin < line_.size() && is_blank(line_[begin])) ++begin;
    std::size_t end = begin;
    while (end < line_.size() && !is_blank(line_[end])) ++end;
    const std::string_view word = line_.substr(begin, end - begin);
    line_.remove_prefix(end);
    return word;
  }
  std::optional<Vec3> next_point(double mm_per_unit) {
    Vec3 p;
    for (Eigen::Index i = 0; i < 3; ++i) {
      const auto value = number_of<double>(next_word());
      if (!value) return std::nullopt;
      p[i] = *value * mm_per_unit + 0.0;
    }
    if (!usable(p)) return std::nullopt;
    return p;
  }
  std::size_t number() const { return number_; }                      ///< of the line, from 1
  std::size_t rest() const { return std::min(rest_, text_.size()); }  ///< where the next line begins

 private:
  static bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\r'; }
  std::string_view text_, line_;
  std::size_t rest_ = 0, number_ = 0;
};

}  // namespace hosefit
